"""A backup holds the records, the settings and the photos, is checked, and harms nothing where it cannot be made."""

from __future__ import annotations

import sqlite3
import stat
import zipfile
from contextlib import closing
from pathlib import Path

import pytest

from bot.backup import archive
from bot.backup.faults import BackupFault
from bot.backup.making import DamagedRecords, Source, make
from bot.backup.place import FILE_NAME, Place
from bot.backup.restoring import restore
from bot.backup.workplace import workplace
from storage.faults import StorageFault
from tests.backup.conftest import NOW, PICTURES, SETTINGS, SPOKEN_OF, BackUp, contents, note, records


def test_what_is_restored_is_what_was_backed_up(place: Place, elsewhere: Place, back_up: BackUp) -> None:
    """Every table, every photo and the settings, in a folder that was not there."""
    made = back_up()
    done = restore(made.path, elsewhere, NOW)
    assert (done.aside, done.own_settings) == (None, False)
    assert records(elsewhere) == records(place)
    assert (elsewhere.folder / "settings.toml").read_text() == SETTINGS
    assert sorted(path.read_bytes() for path in elsewhere.folder.glob("photos/*/*")) == sorted(PICTURES)
    assert not list(elsewhere.folder.glob(".rackside-*"))


def test_a_backup_says_what_it_holds(back_up: BackUp) -> None:
    """Counts of rows, both photos, and the one whose file is nowhere."""
    said = back_up().manifest
    assert (said.made_at, said.entries, len(said.photos)) == (NOW, said.rows["entries"], len(PICTURES))
    assert said.missing == (SPOKEN_OF,)
    assert said.entries > 0


def test_a_backup_made_while_the_bot_is_at_work_has_all_that_was_committed(
    place: Place, elsewhere: Place, opened: object, back_up: BackUp
) -> None:
    """What lies in the write-ahead log alone is in it too."""
    assert opened
    note(place, "only in the log yet")
    assert (place.folder / f"{FILE_NAME}-wal").stat().st_size > 0
    restore(back_up().path, elsewhere, NOW)
    assert records(elsewhere) == records(place)


def test_a_backup_is_for_its_owner_alone(back_up: BackUp) -> None:
    """And so is what is unpacked of it by other means."""
    made = back_up()
    assert stat.S_IMODE(made.path.stat().st_mode) == 0o600
    with zipfile.ZipFile(made.path) as held:
        assert {info.external_attr >> 16 for info in held.infolist()} == {0o600}
        assert held.testzip() is None


def test_keys_and_tokens_are_not_in_it(place: Place, back_up: BackUp) -> None:
    """A second device with the same keys would part from the first."""
    (place.folder / "matrix").mkdir()
    (place.folder / "matrix" / "account.json").write_text("a token")
    (place.folder / "pictures").mkdir()
    (place.folder / "pictures" / "chart.png").write_bytes(b"drawn anew when asked for")
    with zipfile.ZipFile(back_up().path) as held:
        names = set(held.namelist())
    assert {name.partition("/")[0] for name in names} == {FILE_NAME, "settings.toml", "photos", "manifest.json"}


def test_the_same_records_at_the_same_moment_make_the_same_file(back_up: BackUp) -> None:
    """Byte for byte."""
    assert back_up("one.zip").path.read_bytes() == back_up("two.zip").path.read_bytes()


def test_a_file_of_that_name_is_left_alone(back_up: BackUp, tmp_path: Path) -> None:
    """Unless it is to be replaced."""
    path = tmp_path / "backup.zip"
    path.write_text("something else")
    with pytest.raises(BackupFault, match="is there already"):
        back_up()
    assert path.read_text() == "something else"
    assert back_up(replace=True).path == path
    assert zipfile.is_zipfile(path)


def test_a_folder_is_no_file(back_up: BackUp, tmp_path: Path) -> None:
    """Neither one that is there, nor a file in one that is not."""
    with pytest.raises(BackupFault, match="is a folder"):
        back_up(".")
    with pytest.raises(BackupFault, match=r"gone is not there"):
        back_up("gone/backup.zip")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["data"]


def test_a_folder_without_records_makes_no_backup(tmp_path: Path) -> None:
    """And is not made into one with an empty database."""
    (tmp_path / "empty").mkdir()
    place = Place(tmp_path / "empty")
    with pytest.raises(StorageFault, match="There are no records"):
        make(Source(place.folder, place.name, place.take), tmp_path / "backup.zip", NOW)
    assert contents(tmp_path) == {}


def test_no_backup_is_made_of_a_damaged_database(place: Place, back_up: BackUp) -> None:
    """A good backup of the same name stays."""
    good = back_up().path.read_bytes()
    damage(place.folder / FILE_NAME)
    before = contents(place.folder)
    with pytest.raises(DamagedRecords, match="older ones stay as they are"):
        back_up(replace=True)
    assert (place.folder.parent / "backup.zip").read_bytes() == good
    assert contents(place.folder) == before


def test_no_backup_is_made_of_rows_that_point_nowhere(place: Place, back_up: BackUp) -> None:
    """Such a database could be put back nowhere but in SQLite, and says itself that something is lost."""
    with closing(sqlite3.connect(place.folder / FILE_NAME)) as connection, connection:
        connection.execute("INSERT INTO tags (collection_id, enclosure_id, tag, tag_key) VALUES (1, 999, 'top', 'top')")
    with pytest.raises(DamagedRecords, match=r"a row of tags points to one of enclosures that is not there"):
        back_up()
    with closing(sqlite3.connect(place.folder / FILE_NAME)) as connection, connection:
        connection.execute("DELETE FROM tags WHERE enclosure_id = 999")
        connection.execute("DROP TABLE alembic_version")
    with pytest.raises(StorageFault, match="is not a database of Rackside"):
        back_up()


def damage(file: Path) -> None:
    """Overwrite pages in the middle of a database."""
    held = bytearray(file.read_bytes())
    third = len(held) // 3 // 4096 * 4096
    held[third : 2 * third] = bytes(range(256)) * (third // 256)
    file.write_bytes(held)


def test_a_spoilt_photo_is_kept_as_it_is_and_told_of(place: Place, elsewhere: Place, back_up: BackUp) -> None:
    """A damaged picture may be better than none."""
    (first, *_) = sorted(place.folder.glob("photos/*/*"))
    first.write_bytes(b"half a pict")
    made = back_up()
    name = str(first.relative_to(place.folder))
    assert set(made.manifest.missing) == {name, SPOKEN_OF}
    assert set(restore(made.path, elsewhere, NOW).missing) == {name, SPOKEN_OF}
    assert (elsewhere.folder / name).read_bytes() == b"half a pict"


def test_what_killed_processes_left_is_cleared_away(back_up: BackUp, tmp_path: Path) -> None:
    """And what one that lives is at work on is not."""
    (tmp_path / ".rackside-left.partial").mkdir()
    (tmp_path / ".rackside-left.partial" / FILE_NAME).write_text("half")
    with workplace(tmp_path) as held:
        back_up()
        assert held.is_dir()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["backup.zip", "data"]


def test_a_backup_with_photos_apart_finds_them_beside_it(place: Place, elsewhere: Place, back_up: BackUp) -> None:
    """They lie once for all backups of that folder, as links where that can be."""
    beside = place.folder.parent
    made = [back_up(name, apart=beside) for name in ("one.zip", "two.zip")]
    (shelf,) = beside.glob("photos")
    assert sorted(path.read_bytes() for path in shelf.glob("*/*")) == sorted(PICTURES)
    assert all(path.stat().st_nlink == 2 for path in shelf.glob("*/*"))
    with archive.reading(made[0].path) as held:
        assert not any(name.startswith("photos/") for name in held.manifest.members)
    assert restore(made[1].path, elsewhere, NOW).missing == (SPOKEN_OF,)
    assert sorted(path.read_bytes() for path in elsewhere.folder.glob("photos/*/*")) == sorted(PICTURES)
