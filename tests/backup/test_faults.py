"""A full disk, a folder that may not be written, a damaged file: one sentence, and what was there is there still."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from subprocess import CompletedProcess

import pytest

from bot.backup.place import FILE_NAME, Place
from bot.backup.restoring import restore
from bot.photo_shelf import PhotoShelf
from storage.copying import summary_of
from storage.store import Store
from tests.backup.conftest import NOW, contents, note, records
from tests.backup.sickness import fill_up, ordinary, small_disk, with_small_files
from tests.cli.commands import rackside, set_up

pytestmark = pytest.mark.slow

SAID = ("say", "fed B 3 crickets")


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of eight megabytes."""
    with small_disk(tmp_path / "disk", 8) as mounted:
        yield mounted


def told(done: CompletedProcess[str], words: str) -> None:
    """It ended with one sentence that has these words, and nothing else."""
    assert done.returncode == 2, (done.stdout, done.stderr)
    assert done.stdout == ""
    (line,) = done.stderr.splitlines()
    assert line.startswith("rackside: ")
    assert words in line


def test_saying_on_a_full_disk(disk: Path) -> None:
    """What was confirmed before is there, and once there is room it goes on."""
    data = set_up(disk / "data")
    assert rackside(data, *SAID).returncode == 0
    before = records(Place(data))
    filler = fill_up(disk)
    told(rackside(data, *SAID), " full")
    filler.unlink()
    assert records(Place(data)) == before
    assert rackside(data, *SAID).returncode == 0


def test_a_backup_to_a_full_disk(disk: Path, tmp_path: Path) -> None:
    """The one that was to be replaced stays, and nothing half made beside it."""
    data = set_up(tmp_path / "data")
    assert rackside(data, "backup", str(disk / "b.zip")).returncode == 0
    before, size = contents(disk), (data / FILE_NAME).stat().st_size
    for spare in (0, size // 3, size + 4096):  # for the copy of the database, and for the archive beside it
        filler = fill_up(disk, spare)
        told(rackside(data, "backup", "--replace", str(disk / "b.zip")), "The disk is full")
        filler.unlink()
        assert contents(disk) == before
    assert rackside(data, "backup", "--replace", str(disk / "b.zip")).returncode == 0


def test_a_backup_where_files_may_not_grow(tmp_path: Path) -> None:
    """As under a quota: at the copy of the database, or at the archive."""
    data = set_up(tmp_path / "data")
    told(with_small_files(data, 100_000, "backup", str(tmp_path / "b.zip")), "b.zip cannot be written: the disk")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["data"]


def test_putting_back_on_a_full_disk(disk: Path, tmp_path: Path) -> None:
    """At every step at which the disk may turn out to be full, the records are those of before or those of the backup."""
    data = set_up(disk / "data")
    backup = tmp_path / "b.zip"
    assert rackside(data, "backup", str(backup)).returncode == 0
    then = records(Place(data))
    assert rackside(data, *SAID).returncode == 0
    since = records(Place(data))
    ended = set()
    size = (data / FILE_NAME).stat().st_size
    for spare in (0, 3 * size + 40_000, 3 * size + 80_000, 3 * size + 160_000, 8 * size):
        filler = fill_up(disk, spare)
        done = rackside(data, "restore", "--replace", str(backup))
        filler.unlink()
        ended.add(done.returncode)
        if done.returncode == 0:
            break
        assert "is full" in done.stderr or "There is no room" in done.stderr
        told(done, str(disk))
        assert records(Place(data)) == since
    assert ended == {0, 2}
    assert records(Place(data)) == then


def test_putting_back_where_files_may_not_grow(tmp_path: Path) -> None:
    """Where the backup is unpacked, and in the very transaction that exchanges the database: the records are those of before."""
    data, backup = set_up(tmp_path / "data"), tmp_path / "b.zip"
    assert rackside(data, "backup", str(backup)).returncode == 0
    assert rackside(data, *SAID).returncode == 0
    since, size = records(Place(data)), (data / FILE_NAME).stat().st_size
    told(with_small_files(data, size // 2, "restore", "--replace", str(backup)), "The disk is full")
    assert records(Place(data)) == since
    told(with_small_files(data, size + 1000, "restore", "--replace", str(backup)), "The disk failed, or has no room")
    assert len(list(data.glob("before-restore-*.zip"))) == 1  # so it was at the last step
    assert records(Place(data)) == since


def test_a_photo_on_a_full_disk(disk: Path) -> None:
    """It is not there at all, and can be kept once there is room."""
    shelf, content = PhotoShelf(disk), bytes(range(256)) * 4000
    filler = fill_up(disk, 500_000)
    with pytest.raises(OSError, match="No space left"):
        shelf.keep(content, "image/png")
    assert [path.name for path in disk.rglob("*") if path.is_file()] == ["filler"]
    filler.unlink()
    assert (disk / "photos" / shelf.keep(content, "image/png")[:2]).is_dir()


def test_folders_that_may_not_be_written(tmp_path: Path) -> None:
    """Those of the records, of the backup, and of what is put back."""
    data, closed = set_up(tmp_path / "data"), tmp_path / "closed"
    assert ordinary(data, "backup", str(tmp_path / "b.zip")).returncode == 0
    closed.mkdir()
    for folder in (closed, data):
        folder.chmod(0o500)
    before = contents(tmp_path)
    told(ordinary(data, "backup", str(closed / "b.zip")), f"{closed}")
    told(ordinary(data, "backup", "--replace", str(closed / "b.zip")), "may not be written")
    told(ordinary(data, *SAID), "cannot be written")
    told(ordinary(data, "restore", "--replace", str(tmp_path / "b.zip")), "may not be written")
    told(ordinary(closed / "new", "restore", str(tmp_path / "b.zip")), "may not be written")
    assert contents(tmp_path) == before
    for folder in (closed, data):
        folder.chmod(0o700)


def test_records_on_a_disk_that_can_only_be_read(tmp_path: Path) -> None:
    """A backup is made of them all the same, as a disk that begins to fail is often found so; a log left by a kill comes along."""
    data, killed = Place(set_up(tmp_path / "data")), Place(tmp_path / "killed")
    store = Store.open(data.folder)
    note(data, "told last")
    shutil.copytree(data.folder, killed.folder)
    store.close()
    assert (killed.folder / f"{FILE_NAME}-wal").exists()
    for place in (data, killed):
        for path in (place.folder, *place.folder.rglob("*")):
            path.chmod(0o500 if path.is_dir() else 0o400)
        backup = tmp_path / f"{place.folder.name}.zip"
        done = ordinary(place.folder, "backup", str(backup))
        assert done.returncode == 0, done.stderr
        restore(backup, Place(tmp_path / f"{place.folder.name} again"), NOW)
    with closing(sqlite3.connect(tmp_path / "killed again" / FILE_NAME)) as connection:
        assert connection.execute("SELECT words FROM entries ORDER BY id DESC").fetchone() == ("told last",)


def _flipped(file: Path) -> None:
    held = bytearray(file.read_bytes())
    third = len(held) // 3
    held[third : 2 * third] = bytes(byte ^ 0x5A for byte in held[third : 2 * third])
    file.write_bytes(held)


def _cut_short(file: Path) -> None:
    file.write_bytes(file.read_bytes()[: 4096 * 12 + 77])


def _scribbled(file: Path) -> None:
    file.write_bytes(b"no database at all" * 1000)


@pytest.mark.parametrize("spoil", [_flipped, _cut_short, _scribbled])
def test_a_damaged_database(spoil: object, tmp_path: Path) -> None:
    """Talking and looking after it say so; no backup is made of it; and a backup put back makes it whole, with the rest put aside."""
    assert callable(spoil)
    data, backup = set_up(tmp_path / "data"), tmp_path / "b.zip"
    assert rackside(data, "backup", str(backup)).returncode == 0
    then, good = records(Place(data)), backup.read_bytes()
    spoil(data / FILE_NAME)
    left = (data / FILE_NAME).read_bytes()
    for words in (SAID, ("doctor",), ("backup", "--replace", str(backup)), ("restore", str(backup))):
        done = rackside(data, *words)
        assert done.returncode in {1, 2}, (words, done.stdout)
        said = done.stdout + done.stderr
        assert "Traceback" not in said, said
        assert any(sign in said for sign in ("damaged", "not a Rackside database", "LOOK", "are records")), said
    assert (data / FILE_NAME).read_bytes() == left
    assert backup.read_bytes() == good
    done = rackside(data, "restore", "--replace", str(backup))
    assert done.returncode == 0, done.stderr
    assert records(Place(data)) == then
    assert [path.read_bytes() for path in data.glob(f"before-restore-*/{FILE_NAME}")] == [left]


def test_a_damaged_log_costs_what_stood_in_it_alone(tmp_path: Path) -> None:
    """SQLite reads a write-ahead log up to the first frame that is not whole (its manual, "WAL-mode File Format", 4.1 to 4.4)."""
    data, killed = Place(set_up(tmp_path / "data")), Place(tmp_path / "killed")
    store = Store.open(data.folder)
    before = summary_of(store)
    for number in range(20):
        note(data, f"told as number {number}")
    shutil.copytree(data.folder, killed.folder)  # as a kill would leave it
    store.close()
    log = killed.folder / f"{FILE_NAME}-wal"
    held = bytearray(log.read_bytes())
    held[len(held) // 2] ^= 0xFF
    log.write_bytes(held)
    assert rackside(killed.folder, "backup", str(tmp_path / "b.zip")).returncode == 0
    assert rackside(killed.folder, "doctor").returncode in {0, 1}
    now, whole = records(killed), records(data)
    assert before["entries"].rows < now["entries"].rows < whole["entries"].rows
    restore(tmp_path / "b.zip", Place(tmp_path / "new"), NOW)
    assert records(Place(tmp_path / "new"))["entries"] == now["entries"]
