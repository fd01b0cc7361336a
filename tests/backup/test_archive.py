"""A file that is no whole backup is refused with a sentence, whatever was done to it, and nothing is unpacked from it."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.backup import archive
from bot.backup.faults import BackupFault, BadBackup
from bot.backup.place import Place
from bot.backup.restoring import restore
from tests.backup.conftest import NOW, BackUp, contents


def members(path: Path) -> dict[str, bytes]:
    """What a zip holds, as general tools see it."""
    with zipfile.ZipFile(path) as held:
        return {name: held.read(name) for name in held.namelist()}


def rewritten(path: Path, held: dict[str, bytes], **said: Any) -> Path:  # noqa: ANN401 - any JSON
    """A zip with other members, and other words in its manifest."""
    told = json.loads(held["manifest.json"]) | said
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as into:
        for name, content in (held | {"manifest.json": json.dumps(told).encode()}).items():
            into.writestr(name, content)
    return path


def refused(path: Path, elsewhere: Place, words: str) -> None:
    """Restoring says these words and leaves nothing."""
    with pytest.raises(BadBackup, match=words):
        restore(path, elsewhere, NOW)
    assert not elsewhere.folder.exists() or contents(elsewhere.folder) == {}


@pytest.mark.parametrize("content", [b"", b"a shopping list", b"PK\x05\x06" + bytes(18), b"PK\x03\x04" * 40])
def test_a_file_that_is_no_backup_is_called_so(content: bytes, tmp_path: Path, elsewhere: Place) -> None:
    """Nothing, plain words, an empty zip, and something that begins like one."""
    (tmp_path / "file").write_bytes(content)
    refused(tmp_path / "file", elsewhere, "no backup made by Rackside")


def test_a_file_that_is_not_there_or_is_a_folder(tmp_path: Path, elsewhere: Place) -> None:
    """Each has its sentence."""
    with pytest.raises(BackupFault, match=r"gone\.zip is not there"):
        restore(tmp_path / "gone.zip", elsewhere, NOW)
    with pytest.raises(BackupFault, match="cannot be read: Is a directory"):
        restore(tmp_path, elsewhere, NOW)


@pytest.mark.parametrize(
    "name", ["../outside", "/etc/outside", "photos/../../outside", "matrix/account.json", "photos/ab/cd.png"]
)
def test_names_that_no_backup_has_are_refused(name: str, back_up: BackUp, tmp_path: Path, elsewhere: Place) -> None:
    """Be they in the manifest or not; nothing is written outside of the folder, nor a login into it."""
    held = members(back_up().path)
    said = json.loads(held["manifest.json"])["members"] | {name: {"size": 1, "sha256": "00"}}
    before = contents(tmp_path)
    refused(rewritten(tmp_path / "one.zip", held | {name: b"x"}, members=said), elsewhere, "holds files that no backup")
    refused(rewritten(tmp_path / "two.zip", held | {name: b"x"}), elsewhere, "not what its manifest says")
    for made in ("one.zip", "two.zip"):
        (tmp_path / made).unlink()
    assert contents(tmp_path) == before


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"rackside_backup": 2}, "made by a newer Rackside"),
        ({"rackside_backup": None, "members": {}}, "holds files that no backup"),
        ({"members": []}, "no backup made by Rackside"),
        ({"made_at": "2026-03-10"}, "no backup made by Rackside"),
        ({"made_at": 7}, "no backup made by Rackside"),
        ({"rows": {"entries": 1}}, "is not the one that its manifest tells of"),
        ({"schema": "0001"}, "is not the one that its manifest tells of"),
        ({"photos_apart": ["../../outside"]}, "holds files that no backup"),
    ],
)
def test_a_manifest_is_not_believed(
    said: dict[str, Any], words: str, back_up: BackUp, tmp_path: Path, elsewhere: Place
) -> None:
    """Neither its form nor what it says."""
    refused(rewritten(tmp_path / "other.zip", members(back_up().path), **said), elsewhere, words)


def test_a_member_given_twice_is_refused(back_up: BackUp, tmp_path: Path, elsewhere: Place) -> None:
    """Which of the two would count depends on who reads it."""
    path = back_up().path
    with pytest.warns(UserWarning, match="Duplicate name"), zipfile.ZipFile(path, "a") as into:
        into.writestr("settings.toml", 'zone = "UTC"')
    refused(path, elsewhere, "not what its manifest says")
    assert tmp_path.exists()


def test_a_member_that_unpacks_to_more_than_it_can_is_refused(
    back_up: BackUp, tmp_path: Path, elsewhere: Place
) -> None:
    """Sizes are held against each other before anything is read, and no more is read than was promised."""
    held = members(back_up().path)
    told = json.loads(held["manifest.json"])["members"]
    told["settings.toml"]["size"] = 5
    refused(rewritten(tmp_path / "other.zip", held, members=told), elsewhere, "has not the size it should have")
    content = bytes(3_000_000)
    lying = rewritten(tmp_path / "lying.zip", held | {"settings.toml": content}, members=told)
    refused(lying, elsewhere, "has not the size it should have")


@pytest.fixture(scope="module")
def remembered() -> dict[str, bytes]:
    """The bytes of a backup, made once for all examples."""
    return {}


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.floats(0, 1, exclude_max=True), st.integers(1, 255), st.booleans())
def test_a_changed_byte_is_found_or_changes_nothing(
    remembered: dict[str, bytes],
    back_up: BackUp,
    tmp_path: Path,
    where: float,
    change: int,
    cut: bool,  # noqa: FBT001 - what is drawn
) -> None:
    """Whichever byte is changed, or wherever the file is cut off, what is read is what was put there or nothing."""
    if not remembered:
        path = back_up().path
        remembered["file"] = path.read_bytes()
        remembered.update(members(path))
    good = remembered["file"]
    at = int(where * len(good))
    (tmp_path / "spoilt.zip").write_bytes(good[:at] if cut else good[:at] + bytes([good[at] ^ change]) + good[at + 1 :])
    try:
        with archive.reading(tmp_path / "spoilt.zip") as found:
            for number, name in enumerate(found.manifest.members):
                (tmp_path / f"out-{number}").unlink(missing_ok=True)
                found.unpack(name, tmp_path / f"out-{number}")
                assert (tmp_path / f"out-{number}").read_bytes() == remembered[name]
        assert not cut
    except BadBackup as fault:
        assert str(tmp_path / "spoilt.zip") in str(fault)  # noqa: PT017 - a sentence is one of the two good ends
