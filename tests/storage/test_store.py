"""The database is opened safely, and what is wrong with it is said in one sentence."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from storage import engines, households, inbox
from storage.engines import BUSY_SECONDS
from storage.faults import StorageFault
from storage.store import FILE_NAME, Store
from tests import databases
from tests.storage.keeper import NOW, Keeper

NOBODY = 65534


@contextmanager
def unprivileged() -> Iterator[None]:
    """The superuser may write everywhere; be somebody else for a while."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)


def pragma(store: Store, name: str, *, writes: bool) -> object:
    with store.write() if writes else store.read() as session:
        return session.scalar(text(f"PRAGMA {name}"))


@pytest.mark.sqlite_only("by its PRAGMAs")
@pytest.mark.parametrize("writes", [False, True])
def test_every_connection_is_set_up(store: Store, *, writes: bool) -> None:
    """Write-ahead log, a flush at every commit (2 is FULL), foreign keys held, and waiting for other writers."""
    assert pragma(store, "journal_mode", writes=writes) == "wal"
    assert pragma(store, "synchronous", writes=writes) == 2
    assert pragma(store, "foreign_keys", writes=writes) == 1
    assert pragma(store, "busy_timeout", writes=writes) == BUSY_SECONDS * 1000 >= 5000


def test_a_new_folder_is_for_its_owner_alone(tmp_path: Path) -> None:
    """The data folder is made with mode 0700; the store knows it."""
    store = Store.open(tmp_path / "data")
    assert (tmp_path / "data").stat().st_mode & 0o777 == 0o700
    assert store.directory == tmp_path / "data"
    assert (tmp_path / "data" / FILE_NAME).exists()
    store.close()


def test_folders_above_are_made_only_when_asked(tmp_path: Path) -> None:
    """A mistyped path is not made up; a fresh machine's user data folder is."""
    with pytest.raises(StorageFault, match="is not there"):
        Store.open(tmp_path / "none" / "data")
    Store.open(tmp_path / "none" / "data", make_parents=True).close()
    assert (tmp_path / "none" / "data").stat().st_mode & 0o777 == 0o700


@pytest.mark.sqlite_only("of its file and of one in memory")
def test_a_database_may_be_named_by_address(directory: Path) -> None:
    """An SQLAlchemy address of the same file opens the same database; one in memory has no folder."""
    store = Store.open(f"sqlite:///{directory / FILE_NAME}")
    assert store.directory == directory
    store.close()
    memory = Store.open("sqlite://")
    with memory.write() as session:
        Keeper(session)
    with memory.read() as session:
        assert len(households.collections(session)) == 1
    assert memory.directory is None
    memory.close()


def test_what_a_failing_writer_wrote_is_gone(store: Store) -> None:
    """All of a transaction or nothing."""

    def fail() -> None:
        with store.write() as session:
            Keeper(session)
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fail()
    with store.read() as session:
        assert households.collections(session) == []


@pytest.mark.sqlite_only("PostgreSQL refuses it")
def test_what_a_reader_writes_is_dropped(store: Store) -> None:
    """A read session never commits."""
    with store.read() as session:
        Keeper(session)
    with store.read() as session:
        assert households.collections(session) == []


def test_foreign_keys_are_held(store: Store) -> None:
    """An entry of a collection that is not there is refused."""
    with pytest.raises(IntegrityError), store.write() as session:
        households.add_member(session, 99, "console", "x", "X", "owner", NOW)


def _add_tries(directory: Path, message_id: int, times: int, errors: list[Exception]) -> None:
    store = Store.open(databases.of(directory))
    try:
        for _ in range(times):
            with store.write() as session:
                households.hold(session, 1)
                found = inbox.row(session, message_id)
                assert found is not None
                inbox.mark_failed(session, message_id, str(found.tries))
    except Exception as error:  # noqa: BLE001 - whatever it is, it is told
        errors.append(error)
    finally:
        store.close()


def test_two_writers_wait_for_each_other(store: Store, directory: Path) -> None:
    """Two threads that each read and then write in a collection a hundred times: neither finds it locked, no write is lost."""
    with store.write() as session:
        message_id = Keeper(session).message()
    errors: list[Exception] = []
    threads = [threading.Thread(target=_add_tries, args=(directory, message_id, 100, errors)) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with store.read() as session:
        found = inbox.row(session, message_id)
    assert errors == []
    assert found is not None
    assert found.tries == 200


@pytest.mark.slow
def test_processes_that_start_at_once_make_one_database(tmp_path: Path) -> None:
    """Four processes open a folder that is not there yet and write in it; all four succeed."""
    program = (
        "import sys; from storage.store import Store; from storage import households\n"
        "with Store.open(sys.argv[1]).write() as session: households.create_collection(session, 'one', 'UTC')"
    )
    where = databases.empty(tmp_path / "data")
    command = [sys.executable, "-c", program, str(where)]
    started = [subprocess.Popen(command, stderr=subprocess.PIPE) for _ in range(4)]
    said = [process.communicate()[1].decode() for process in started]
    assert said == [""] * 4
    store = Store.open(where)
    with store.read() as session:
        assert len(households.collections(session)) == 4
    store.close()


def test_a_file_that_is_no_database_is_left_alone(tmp_path: Path) -> None:
    """The sentence names the file, and the file is not touched."""
    (tmp_path / FILE_NAME).write_text("my shopping list " * 100)
    with pytest.raises(StorageFault, match=r"rackside\.sqlite3 is not a Rackside database"):
        Store.open(tmp_path)
    assert (tmp_path / FILE_NAME).read_text().startswith("my shopping list")


def test_the_database_of_another_program_is_left_alone(tmp_path: Path) -> None:
    """A database with other tables is not migrated."""
    with sqlite3.connect(tmp_path / FILE_NAME) as other:
        other.execute("CREATE TABLE recipes (id INTEGER)")
    other.close()
    with pytest.raises(StorageFault, match="another program"):
        Store.open(tmp_path)


@pytest.mark.sqlite_only("by the bytes of its file")
def test_a_damaged_database_is_said_to_be_damaged(directory: Path) -> None:
    """Pages of rubbish give a sentence that speaks of a backup."""
    file = directory / FILE_NAME
    whole = file.read_bytes()
    file.write_bytes(whole[:100] + b"\xa5" * (len(whole) - 100))
    with pytest.raises(StorageFault, match="damaged"):
        Store.open(directory)


def test_a_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    """So is one below a file."""
    (tmp_path / "data").write_text("")
    with pytest.raises(StorageFault, match="is a file"):
        Store.open(tmp_path / "data")
    with pytest.raises(StorageFault, match="cannot be made"):
        Store.open(tmp_path / "data" / "below")


def test_what_is_no_address_is_refused() -> None:
    """An address that cannot be read is a fault, not a traceback."""
    with pytest.raises(StorageFault, match="not one that I know"):
        Store.open("://")


@pytest.mark.sqlite_only("by who may write its file")
@pytest.mark.parametrize("protected", ["folder", "file", "new folder"])
def test_what_may_not_be_written_is_refused(directory: Path, protected: str) -> None:
    """A read-only folder or file, and a folder that may not be made: one sentence each, and no file is made."""
    for path in (directory, *list(directory.parents)[:3]):
        path.chmod(0o755)
    (directory / FILE_NAME).chmod(0o444 if protected == "file" else 0o666)
    directory.chmod(0o777 if protected == "file" else 0o555)
    where = directory / "new" if protected == "new folder" else directory
    with unprivileged(), pytest.raises(StorageFault, match=r"cannot be (written|made)"):
        Store.open(where)
    assert [path.name for path in directory.iterdir()] == [FILE_NAME]
    directory.chmod(0o700)


@pytest.mark.sqlite_only("by a PRAGMA")
def test_a_full_disk_is_said_to_be_full(store: Store) -> None:
    """SQLite's own limit of pages stands in for a full disk; the next write works when there is room again."""

    def fill(pages: int) -> None:
        with store.write() as session:
            session.execute(text(f"PRAGMA max_page_count = {pages}"))
            households.create_collection(session, "x" * 100_000, "UTC")

    with pytest.raises(StorageFault, match="disk is full"):
        fill(1)
    fill(1_000_000)
    with store.read() as session:
        assert len(households.collections(session)) == 1


@pytest.mark.sqlite_only("by a lock on its file")
def test_a_lock_that_does_not_end_is_a_fault(directory: Path, store: Store) -> None:
    """Another program that keeps the lock gives a sentence after the wait."""
    other = sqlite3.connect(directory / FILE_NAME, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with store.read() as session:
        session.execute(text("PRAGMA busy_timeout = 10"))
    with pytest.raises(StorageFault, match="in use by another program"), store.write() as session:
        Keeper(session)
    other.close()


@pytest.mark.sqlite_only("by a lock on its file")
def test_a_new_file_that_another_process_is_just_making_is_waited_for(tmp_path: Path) -> None:
    """SQLite refuses at once, without its wait, to begin a log beside a file in which somebody writes; the store waits."""
    other = sqlite3.connect(tmp_path / FILE_NAME, isolation_level=None, check_same_thread=False)
    other.execute("BEGIN IMMEDIATE")
    done = threading.Timer(0.3, other.rollback)
    done.start()
    store = Store.open(tmp_path)
    assert pragma(store, "journal_mode", writes=False) == "wal"
    store.close()
    done.join()
    other.close()


@pytest.mark.sqlite_only("by a lock on its file")
def test_a_new_file_in_which_somebody_never_stops_writing_is_a_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After the wait there is a sentence."""
    monkeypatch.setattr(engines, "BUSY_SECONDS", 0)
    with closing(sqlite3.connect(tmp_path / FILE_NAME, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StorageFault, match="in use by another program"):
            Store.open(tmp_path)


@pytest.mark.sqlite_only("what a server says so is a mistake of ours")
def test_an_error_of_the_database_without_a_sentence_of_its_own_is_still_a_fault(store: Store) -> None:
    """What SQLite says is passed on, with the name of the database."""
    with pytest.raises(StorageFault, match="no such table"), store.read() as session:
        session.execute(text("SELECT * FROM nowhere"))
