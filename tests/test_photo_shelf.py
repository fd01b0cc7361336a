"""The photo shelf: files named by their content, whole or not there, for the owner alone."""

from __future__ import annotations

import os
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.conversation.photo_files import path_of
from bot.photo_shelf import PhotoShelf

PICTURE = b"\x89PNG a picture" * 100


def files(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file())


def test_a_photo_is_kept_under_its_digest(tmp_path: Path) -> None:
    """The file holds what came, byte by byte, under the SHA-256 of it and the ending of its type."""
    digest = PhotoShelf(tmp_path).keep(PICTURE, "image/png")
    assert digest == sha256(PICTURE).hexdigest()
    path = tmp_path / "photos" / digest[:2] / f"{digest}.png"
    assert files(tmp_path) == [path]
    assert path.read_bytes() == PICTURE
    assert path == tmp_path / path_of(digest, "image/png")


def test_the_same_photo_is_one_file(tmp_path: Path) -> None:
    """Sent again it is the same file, left as it was; another photo is another."""
    shelf = PhotoShelf(tmp_path)
    shelf.keep(PICTURE, "image/png")
    (path,) = files(tmp_path)
    before = path.stat()
    assert shelf.keep(PICTURE, "image/png") == path.stem
    assert (path.stat().st_ino, path.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)
    shelf.keep(PICTURE + b"!", "image/png")
    assert len(files(tmp_path)) == 2


def test_a_file_cut_short_is_made_whole(tmp_path: Path) -> None:
    """Where a file of the right name holds less than the photo, the photo takes its place."""
    shelf = PhotoShelf(tmp_path)
    shelf.keep(PICTURE, "image/jpeg")
    (path,) = files(tmp_path)
    path.write_bytes(PICTURE[:10])
    shelf.keep(PICTURE, "image/jpeg")
    assert path.read_bytes() == PICTURE


def test_photos_are_the_owners_alone(tmp_path: Path) -> None:
    """Neither the file nor any folder on the way may be looked into by others, whatever the umask is."""
    before = os.umask(0)
    try:
        PhotoShelf(tmp_path).keep(PICTURE, "image/png")
    finally:
        os.umask(before)
    (path,) = files(tmp_path)
    assert path.stat().st_mode & 0o777 == 0o600
    for folder in (path.parent, path.parent.parent):
        assert folder.stat().st_mode & 0o777 == 0o700


@pytest.mark.parametrize("fails", ["fsync", "replace"])
def test_a_write_that_fails_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails: str) -> None:
    """A full disk is an OSError, and no half of a file stays; afterwards the photo can be kept."""
    shelf = PhotoShelf(tmp_path)

    def full(*_arguments: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(*((os, "fsync", full) if fails == "fsync" else (Path, "replace", full)))
        with pytest.raises(OSError, match="No space"):
            shelf.keep(PICTURE, "image/png")
    assert files(tmp_path) == []
    shelf.keep(PICTURE, "image/png")
    assert len(files(tmp_path)) == 1


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=50)
@given(content=st.binary(), media_type=st.one_of(st.text(), st.sampled_from(["../../x", "image/../..", "image/png\0"])))
def test_no_photo_leaves_the_folder(tmp_path: Path, content: bytes, media_type: str) -> None:
    """Whatever type a service names, the file lies under `photos`, and holds what came."""
    digest = PhotoShelf(tmp_path).keep(content, media_type)
    path = (tmp_path / path_of(digest, media_type)).resolve()
    assert path.is_relative_to(tmp_path.resolve() / "photos")
    assert path.read_bytes() == content
