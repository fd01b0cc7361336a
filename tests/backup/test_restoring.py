"""Putting back loses nothing: it refuses, or puts aside what was there, and the old log is never taken for the new one's."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from bot.backup.faults import BackupFault
from bot.backup.making import Source, make
from bot.backup.place import FILE_NAME, Place
from bot.backup.restoring import Restored, restore
from fixtures import schemas
from storage import snapshots
from storage.faults import StorageFault
from storage.store import Store
from tests.backup.conftest import NOW, SPOKEN_OF, BackUp, contents, note, records

LATER = NOW + timedelta(days=1)


def put_back(place: Place, path: Path) -> Restored:
    return restore(path, place, LATER, replace=True)


def test_records_that_are_there_are_not_written_over(place: Place, back_up: BackUp) -> None:
    """Without `replace` nothing is touched."""
    made = back_up()
    note(place, "told since")
    before = contents(place.folder)
    with pytest.raises(BackupFault, match=r"There are records in .* already, and nothing was changed"):
        restore(made.path, place, LATER)
    assert contents(place.folder) == before


def test_what_was_there_is_put_aside_and_can_be_put_back(place: Place, back_up: BackUp) -> None:
    """The records since the backup are in a backup of their own, with their photos beside it."""
    then = records(place)
    made = back_up()
    note(place, "told since")
    since = records(place)
    done = put_back(place, made.path)
    assert records(place) == then
    assert done.aside == place.folder / "before-restore-2026-03-11T19-05-00Z.zip"
    again = put_back(place, done.aside)
    assert again.aside == place.folder / "before-restore-2026-03-11T19-05-00Z-2.zip"
    assert again.missing == (SPOKEN_OF,)
    assert records(place) == since


def test_a_place_in_use_is_left_alone(place: Place, back_up: BackUp, opened: Store) -> None:
    """A program that has it open and does nothing is enough, as `rackside run` at night."""
    made = back_up()
    note(place, "told since")
    with opened.read():
        pass
    before = records(place)
    with pytest.raises(BackupFault, match=r"in use by another program\. Stop `rackside run`"):
        put_back(place, made.path)
    assert records(place) == before
    assert not list(place.folder.glob("before-restore-*"))


def test_photos_are_only_added(place: Place, back_up: BackUp) -> None:
    """One that came since stays, one that was lost comes back, and one that was spoilt is whole again."""
    made = back_up()
    lost, spoilt = sorted(place.folder.glob("photos/*/*"))
    whole = contents(place.folder / "photos")
    lost.unlink()
    spoilt.write_bytes(b"half")
    newer = place.folder / "photos" / "newer.png"
    newer.write_bytes(b"came since")
    put_back(place, made.path)
    now = contents(place.folder / "photos")
    assert {name: now[name] for name in whole} == whole
    assert newer.read_bytes() == b"came since"


def test_settings_of_the_folder_are_not_written_over_where_nothing_was_put_aside(
    back_up: BackUp, elsewhere: Place, place: Place
) -> None:
    """Of a folder that held only settings; where records were put aside, their settings are there with them."""
    made = back_up()
    elsewhere.folder.mkdir(parents=True)
    own = elsewhere.folder / "settings.toml"
    own.write_text('zone = "Asia/Tokyo"\n')
    assert restore(made.path, elsewhere, LATER).own_settings
    assert own.read_text() == 'zone = "Asia/Tokyo"\n'
    done = put_back(elsewhere, made.path)
    assert not done.own_settings
    assert own.read_text() == (place.folder / "settings.toml").read_text()
    assert done.aside is not None
    restore(done.aside, Place(elsewhere.folder.parent / "third"), LATER)
    assert (elsewhere.folder.parent / "third" / "settings.toml").read_text() == 'zone = "Asia/Tokyo"\n'


def test_a_log_left_behind_is_not_applied_to_what_is_put_back(place: Place, back_up: BackUp) -> None:
    """Neither that of a program that was killed, nor one whose database is gone."""
    then = records(place)
    made = back_up()
    leave_a_log(place)
    put_back(place, made.path)
    assert records(place) == then
    leave_a_log(place)
    (place.folder / FILE_NAME).unlink()
    restore(made.path, place, LATER)
    assert records(place) == then


def leave_a_log(place: Place) -> None:
    """Have the folder as a kill leaves it: with a write-ahead log that holds what was told last."""
    beside = place.folder.parent / "killed"
    with closing(sqlite3.connect(place.folder / FILE_NAME)) as connection:
        connection.execute("SELECT count(*) FROM entries").fetchone()
        note(place, "told last")
        shutil.copytree(place.folder, beside)
    shutil.rmtree(place.folder)
    beside.rename(place.folder)
    assert (place.folder / f"{FILE_NAME}-wal").stat().st_size > 0


@pytest.mark.parametrize("revision", sorted(path.stem for path in schemas.folder().glob("*.sql")))
def test_a_backup_of_an_older_schema_is_brought_up_to_date(revision: str, tmp_path: Path, elsewhere: Place) -> None:
    """Its own records are not touched by making the backup, and the restored ones are those of an upgrade."""
    old = Place(tmp_path / "old")
    old.folder.mkdir()
    with closing(sqlite3.connect(old.folder / FILE_NAME)) as database:
        database.executescript((schemas.folder() / f"{revision}.sql").read_text(encoding="utf-8"))
    before = contents(old.folder)
    made = make(Source(old.folder, old.name, old.take), tmp_path / "old.zip", NOW)
    assert made.manifest.schema == revision
    assert contents(old.folder) == before
    restore(made.path, elsewhere, NOW)
    upgraded, expected = records(elsewhere), records(old)
    assert {name: of.rows for name, of in upgraded.items()} == {name: of.rows for name, of in expected.items()}
    assert upgraded["entries"] == expected["entries"]


def test_a_backup_of_a_newer_schema_is_refused(place: Place, back_up: BackUp, elsewhere: Place) -> None:
    """With a sentence, and neither what is there nor an empty folder is touched; nor does it make a backup useless."""
    then = back_up("then.zip")
    records_then = records(place)
    with closing(sqlite3.connect(place.folder / FILE_NAME)) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    newer = back_up("newer.zip")
    before = contents(place.folder)
    for target in (place, elsewhere):
        with pytest.raises(StorageFault, match="newer Rackside"):
            put_back(target, newer.path)
    assert contents(place.folder) == before
    assert contents(elsewhere.folder) == {}
    done = put_back(place, then.path)  # whoever goes back to an older program
    assert records(place) == records_then
    assert done.aside is not None


def test_what_is_left_of_a_damaged_database_is_put_aside(place: Place, back_up: BackUp) -> None:
    """Byte for byte, whether SQLite can still open it or not; without `replace` it stays where it is."""
    then = records(place)
    made = back_up()
    file = place.folder / FILE_NAME
    for number, spoil in enumerate((_flip, _cut, _scribble)):
        spoil(file)
        left = file.read_bytes()
        with pytest.raises((BackupFault, StorageFault)):
            restore(made.path, place, LATER)
        assert file.read_bytes() == left, spoil
        done = restore(made.path, place, LATER + timedelta(seconds=number), replace=True)
        assert done.aside is not None
        assert (done.aside / FILE_NAME).read_bytes() == left
        assert records(place) == then


def test_nobody_comes_in_while_a_damaged_database_is_exchanged(
    place: Place, back_up: BackUp, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another process that tries at the last moment finds it in use, though its bytes were read and put aside by then."""
    made, tried = back_up(), []
    _flip(place.folder / FILE_NAME)
    put = snapshots.put
    ask = "import sqlite3, sys; sqlite3.connect(sys.argv[1], timeout=0.1).execute('SELECT count(*) FROM members')"

    def put_while_another_asks(fresh: Path, live: sqlite3.Connection) -> None:
        asked = [sys.executable, "-c", ask, str(place.folder / FILE_NAME)]
        tried.append(subprocess.run(asked, capture_output=True, text=True, check=False).stderr)
        put(fresh, live)

    monkeypatch.setattr(snapshots, "put", put_while_another_asks)
    assert put_back(place, made.path).aside is not None
    (said,) = tried
    assert "database is locked" in said


def _flip(file: Path) -> None:
    """Spoil the middle."""
    held = bytearray(file.read_bytes())
    third = len(held) // 3
    held[third : 2 * third] = bytes(byte ^ 0xA5 for byte in held[third : 2 * third])
    file.write_bytes(held)


def _cut(file: Path) -> None:
    """Cut the end off, in the middle of a page."""
    held = file.read_bytes()
    file.write_bytes(held[: len(held) // 2 + 1000])


def _scribble(file: Path) -> None:
    """Put something else in the place of its heading, so that it is no database any more."""
    held = file.read_bytes()
    file.write_bytes(b"a shopping list" * 8 + held[120:])
