"""Backups made while others write, and processes killed at any moment of making one or putting one back."""

from __future__ import annotations

import random
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from time import sleep

import pytest

from bot.backup.making import Source, make
from bot.backup.place import FILE_NAME, Place
from bot.backup.restoring import restore
from storage.store import Store
from tests.backup.conftest import NOW, BackUp, note, records
from tests.cli.commands import command, environment

ROOT = Path(__file__).parents[2]
ROUNDS = 12


@contextmanager
def writers(folder: Path, number: int) -> Iterator[list[subprocess.Popen[str]]]:
    """Processes that write message after message, three entries in each; all have begun. They are killed at the end."""
    asked = [sys.executable, "-m", "tests.storage.writer", str(folder)]
    begun = [subprocess.Popen([*asked, str(one)], stdout=subprocess.PIPE, text=True, cwd=ROOT) for one in range(number)]
    try:
        for process in begun:
            assert process.stdout is not None
            assert process.stdout.readline()
        yield begun
    finally:
        for process in begun:
            process.kill()
            process.communicate()


def journal(folder: Path) -> list[tuple[object, ...]]:
    """All entries in the order in which they were written."""
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        return connection.execute("SELECT * FROM entries ORDER BY id").fetchall()


def inbox(folder: Path) -> dict[int, str]:
    """The messages, and whether they were dealt with."""
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        return dict(connection.execute("SELECT id, state FROM inbox").fetchall())


@pytest.mark.slow
def test_backups_while_two_processes_write(tmp_path: Path) -> None:
    """Each is the beginning of the journal as it is in the end, with every message whole; and each begins where the last was."""
    data = Place(tmp_path / "data")
    Store.open(data.folder).close()
    with writers(data.folder, 2) as processes:
        for number in range(6):
            make(Source(data.folder, data.name, data.take), tmp_path / f"{number}.zip", NOW)
            so_far = len(journal(data.folder))
            while len(journal(data.folder)) == so_far:  # on a busy machine a backup may be quicker than the writers
                assert all(process.poll() is None for process in processes)
                sleep(0.01)
        assert all(process.poll() is None for process in processes)
    whole = journal(data.folder)
    lengths = []
    for number in range(6):
        place = Place(tmp_path / f"restored {number}")
        restore(tmp_path / f"{number}.zip", place, NOW)
        found = journal(place.folder)
        assert found == whole[: len(found)]
        done = {message for message, state in inbox(place.folder).items() if state == "done"}
        assert sorted(row[3] for row in found) == sorted(3 * list(done))  # type: ignore[type-var]
        lengths.append(len(found))
    assert lengths == sorted(set(lengths))
    assert lengths[-1] <= len(whole)


@pytest.fixture
def large(place: Place) -> Place:
    """The place of the other tests, with a journal that takes some time to copy."""
    with closing(sqlite3.connect(place.folder / FILE_NAME)) as connection, connection:
        connection.execute(
            "INSERT INTO entries (collection_id, member_id, told_at, kind, mood, zone, fields, words)"
            " WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 40000)"
            " SELECT 1, 1, '2026-03-10 19:05:00.000000', 'note', 'log', 'UTC', '{}', hex(randomblob(40)) FROM n"
        )
    return place


def killed(place: Place, seconds: float, *words: str) -> bool:
    """Run the command and kill it after a while; whether it was killed before it ended."""
    process = subprocess.Popen(
        command(*words), env=environment(place.folder), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    try:
        process.wait(seconds)
    except subprocess.TimeoutExpired:
        process.kill()
    return process.wait() == -signal.SIGKILL


@pytest.mark.slow
def test_a_kill_while_a_backup_is_made(large: Place, tmp_path: Path) -> None:
    """The records are untouched, and the file of that name is the old backup or the new one, whole."""
    target = tmp_path / "b.zip"
    make(Source(large.folder, large.name, large.take), target, NOW)
    before, chance, times = records(large), random.Random(3), 0  # noqa: S311 - moments of a test
    for _ in range(ROUNDS):
        times += killed(large, chance.uniform(0.2, 1.6), "backup", "--replace", str(target))
        assert records(large) == before
        elsewhere = Place(tmp_path / "elsewhere")
        restore(target, elsewhere, NOW)
        assert records(elsewhere) == before
        shutil.rmtree(elsewhere.folder)
    assert times
    make(Source(large.folder, large.name, large.take), target, NOW, replace=True)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["b.zip", "data"]


@pytest.mark.slow
def test_a_kill_while_a_backup_is_put_back(large: Place, tmp_path: Path) -> None:
    """The records are those of before or those of the backup, whole, with either of them in a backup."""
    target = tmp_path / "b.zip"
    make(Source(large.folder, large.name, large.take), target, NOW)
    then = records(large)
    note(large, "told since")
    since = records(large)
    chance, seen = random.Random(5), []  # noqa: S311 - moments of a test
    kept = tmp_path / "kept"
    shutil.copytree(large.folder, kept)
    for _ in range(ROUNDS):
        was_killed = killed(large, chance.uniform(0.3, 2.6), "restore", "--replace", str(target))
        now = records(large)
        assert now in (then, since)
        if now == then:
            (aside,) = large.folder.glob("before-restore-*.zip")
            restore(aside, Place(tmp_path / "aside"), NOW)
            assert records(Place(tmp_path / "aside")) == since
            shutil.rmtree(tmp_path / "aside")
        assert was_killed or now == then
        seen.append(was_killed)
        shutil.rmtree(large.folder)
        shutil.copytree(kept, large.folder)
    assert any(seen)


@pytest.mark.slow
def test_a_kill_while_records_are_moved(large: Place, tmp_path: Path) -> None:
    """The new database has everything or nothing, and the old one is as it was."""
    before, chance, times = records(large), random.Random(7), 0  # noqa: S311 - moments of a test
    for number in range(ROUNDS // 2):
        new = Place(tmp_path / f"new {number}")
        was_killed = killed(large, chance.uniform(0.5, 4), "move-database", str(large.folder), str(new.folder))
        times += was_killed
        assert records(large) == before
        moved = records(new)
        assert moved == before or not any(summary.rows for summary in moved.values())
        assert was_killed or moved == before
    assert times


@pytest.mark.slow
def test_a_process_that_is_put_back_under_is_refused_until_it_ends(place: Place, back_up: BackUp) -> None:
    """A real writer at work: the command says that the database is in use, and does it once the writer is gone."""
    made = back_up()
    asked = command("restore", "--replace", str(made.path))
    with writers(place.folder, 1):
        sleep(0.2)
        refused = subprocess.run(
            asked, env=environment(place.folder), capture_output=True, text=True, check=False, timeout=60
        )
        assert refused.returncode == 2
        assert "in use by another program" in refused.stderr
    assert subprocess.run(asked, env=environment(place.folder), capture_output=True, check=False).returncode == 0


@pytest.mark.slow
def test_what_is_told_while_records_are_moved_is_not_left_behind_unsaid(large: Place, tmp_path: Path) -> None:
    """The status is 1, the last line names the table, and the new database has all that was there when the copying began."""
    before, new = records(large), Place(tmp_path / "new")
    asked = command("move-database", str(large.folder), str(new.folder))
    with subprocess.Popen(asked, env=environment(large.folder), stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stdout.readline()
        note(large, "told meanwhile")
        said = process.stdout.read()
    assert process.returncode == 1, said
    assert "that did not come along (entries)" in said.splitlines()[-1]
    assert records(new) == before
