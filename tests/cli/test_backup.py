"""`rackside backup` and `rackside restore` as a keeper meets them."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from storage import households, photos
from storage.store import FILE_NAME, Store
from storage.tables import Inbox
from tests.cli.commands import rackside, set_up

pytestmark = pytest.mark.slow

NOW = datetime(2026, 3, 3, 19, 5, tzinfo=UTC)
MESSAGE = {
    "collection_id": 1,
    "channel": "telegram",
    "chat": "100",
    "key": "1",
    "revision": 0,
    "text": "look at B",
    "state": "done",
    "tries": 0,
}


def test_a_backup_made_and_put_back(tmp_path: Path) -> None:
    """What is said of each, word for word, and that a question is answered as before."""
    data, backup = set_up(tmp_path / "data"), tmp_path / "b.zip"
    assert rackside(data, "say", "fed B 3 crickets").returncode == 0
    asked = rackside(data, "say", "when did B last eat").stdout
    made = rackside(data, "backup", str(backup))
    assert made.returncode == 0
    kilobytes = f"{backup.stat().st_size / 1000:.0f} kB"
    assert made.stdout == f"{backup}: {kilobytes}, 3 entries and no photos, read back and found whole.\n"
    assert rackside(data, "say", "fed B 5 roaches").returncode == 0
    refused = rackside(data, "restore", str(backup))
    assert refused.returncode == 2
    assert refused.stderr == (
        f"rackside: There are records in {data}/rackside.sqlite3 already, and nothing was changed. With --replace they are put"
        " aside first.\n"
    )
    done = rackside(data, "restore", "--replace", str(backup))
    assert done.returncode == 0, done.stderr
    first, second = done.stdout.splitlines()
    assert first.startswith(f"{data}/rackside.sqlite3 is now as it was on ")
    assert first.endswith(": 3 entries and no photos.")
    (aside,) = data.glob("before-restore-*.zip")
    assert second == f"What was there before is in {aside}."
    assert rackside(data, "say", "when did B last eat").stdout == asked


def test_a_keeper_with_matrix_is_told_that_its_login_is_not_in_it(tmp_path: Path) -> None:
    """Since two devices with one set of keys would part ways."""
    data = set_up(tmp_path / "data")
    (data / "matrix").mkdir()
    assert "The Matrix login is not in it" in rackside(data, "backup", str(tmp_path / "b.zip")).stdout


def test_a_missing_photo_is_told(tmp_path: Path) -> None:
    """By number, with the name of the first; the backup is made all the same."""
    data = set_up(tmp_path / "data")
    store = Store.open(data)
    with store.write() as session:
        owner = households.members(session, 1)[0].id
        session.add(Inbox(**MESSAGE, member_id=owner, sent_at=NOW))
        session.flush()
        photos.keep(session, photos.want(session, 1, 1, "telegram", {}), "5e" * 32, "image/jpeg", 2048)
    store.close()
    made = rackside(data, "backup", str(tmp_path / "b.zip"))
    assert made.returncode == 0
    assert f"1 photo is missing or spoilt: photos/5e/{'5e' * 32}.jpg" in made.stdout
    assert made.stdout == rackside(data, "backup", "--replace", str(tmp_path / "b.zip")).stdout


def test_where_daily_copies_go_is_a_setting(tmp_path: Path) -> None:
    """One that is no folder's name is refused by its own name; the doctor knows of none that are wanted."""
    data = set_up(tmp_path / "data")
    (data / "settings.toml").write_text("copies = 7\n")
    refused = rackside(data, "doctor")
    assert (refused.returncode, refused.stdout) == (2, "")
    assert "copies in " in refused.stderr
    assert "is no folder" in refused.stderr
    (data / "settings.toml").write_text('copies = "none"\n')
    assert "no daily copies of the records, as the settings say" in rackside(data, "doctor").stdout
    told = rackside(data, "doctor", settings={"RACKSIDE_COPIES": str(tmp_path / "stick")}).stdout
    assert "no daily copy of the records yet" in told


def test_records_of_a_newer_program_are_left_as_they_are(tmp_path: Path) -> None:
    """Nothing is said in them, copied from them or put in their place unsaid; a backup is made, for that newer program."""
    data, older = set_up(tmp_path / "data"), tmp_path / "older.zip"
    assert rackside(data, "backup", str(older)).returncode == 0
    with closing(sqlite3.connect(data / FILE_NAME)) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    before = (data / FILE_NAME).read_bytes()
    for words in (("say", "fed B"), ("doctor",), ("move-database", str(data), str(tmp_path / "new"))):
        done = rackside(data, *words)
        assert (done.returncode, done.stdout) == (2, "")
        assert "The database was written by a newer Rackside (schema 9999" in done.stderr
    assert rackside(data, "backup", str(tmp_path / "newer.zip")).returncode == 0
    refused = rackside(tmp_path / "empty", "restore", str(tmp_path / "newer.zip"))
    assert refused.returncode == 2
    assert "newer Rackside" in refused.stderr
    assert "There are records in" in rackside(data, "restore", str(older)).stderr
    assert (data / FILE_NAME).read_bytes() == before
