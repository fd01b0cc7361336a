"""SQLite databases as whole files: a consistent copy while others write, a look whether one is whole, and one put in place of another.

All of it goes through SQLite itself, never by copying or renaming files under it: a write-ahead log that stayed behind must not be
applied to a database it does not belong to.
"""

from __future__ import annotations

import errno
import os
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from storage.faults import StorageFault

WAIT_SECONDS = 15
IN_USE_SECONDS = 1
"""How long a database that somebody else has open is waited for, before it is called in use."""

_DAMAGED = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}
_OF_READING = {sqlite3.SQLITE_IOERR_READ, sqlite3.SQLITE_IOERR_SHORT_READ}
_BUSY = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}
_SENTENCES = {
    sqlite3.SQLITE_FULL: "The disk is full: {where} could not be written.",
    sqlite3.SQLITE_IOERR: "The disk failed, or has no room: {where} could not be read or written.",
    sqlite3.SQLITE_READONLY: "{where} cannot be written to; change who may write there.",
    sqlite3.SQLITE_CANTOPEN: "The database {where} cannot be opened; see whether its folder is there and may be written to.",
}


class DamagedDatabase(StorageFault):
    """The file is no database any more, or what it holds is not whole; `what` is wrong."""

    def __init__(self, path: Path | str, what: str) -> None:
        super().__init__(f"The database {path} is damaged ({what}).")
        self.what = what


class DatabaseInUse(StorageFault):
    """Another program has the database open."""


@dataclass(frozen=True, slots=True)
class Contents:
    """What a database file holds: the revision of its schema, and the number of rows of each table."""

    schema: str
    rows: Mapping[str, int]


def take(source: Path, into: Path) -> None:
    """Copy a database as it stands at one moment into a new file, while others may go on writing. Raises StorageFault.

    From a disk that can only be read, as one that is failing often is, it is copied too.
    """
    with _faults(source), closing(_readable(source)) as connection:
        take_from(connection, source, into)


def _readable(path: Path) -> sqlite3.Connection:
    """A connection that can read a database, even where nothing can be written beside it. Raises sqlite3.Error."""
    modes = ["rw", "ro"]
    if not path.with_name(f"{path.name}-wal").exists():
        modes.append("ro&immutable=1")  # nobody has it open, so that it may be read without any lock
    for mode in modes[:-1]:
        connection = _open(path, mode)
        if _reads(connection):
            return connection
    return _open(path, modes[-1])


def _reads(connection: sqlite3.Connection) -> bool:
    """Whether a connection reads; it is closed where it would have to write something first. Raises sqlite3.Error."""
    try:
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.Error as fault:
        connection.close()
        if _code(fault) not in {sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN}:
            raise
        return False
    return True


def take_from(connection: sqlite3.Connection, source: Path, into: Path) -> None:
    """As `take`, from a connection that is open already. Raises StorageFault; OSError where there is no room for the copy."""
    with _faults(source):
        # The state is settled before the copying begins: `backup` itself would wait for ever for a database that is locked.
        connection.execute("BEGIN")
        try:
            connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
            with closing(sqlite3.connect(into, isolation_level=None)) as copy:
                _back_up(connection, copy, into)
        finally:
            connection.execute("ROLLBACK")


def _back_up(connection: sqlite3.Connection, copy: sqlite3.Connection, into: Path) -> None:
    try:
        copy.execute("PRAGMA synchronous = OFF")  # a file that is only read again once it is part of another
        copy.execute("PRAGMA locking_mode = EXCLUSIVE")  # no memory in a file for others: nobody else opens it
        connection.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")  # one file, without a log beside it
    except sqlite3.Error as fault:
        if _code(fault) == sqlite3.SQLITE_FULL:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(into)) from fault
        if _code(fault) == sqlite3.SQLITE_IOERR and fault.sqlite_errorcode not in _OF_READING:
            raise OSError(errno.EIO, "the disk failed, or has no room", str(into)) from fault
        raise


def look(path: Path, called: Path | str | None = None) -> Contents:
    """See whether a database that nobody writes is whole, and what it holds. Raises DamagedDatabase, StorageFault.

    `called` is what the keeper knows it by, where that is not its path.
    """
    called = called or path
    with _faults(called), closing(_open(path, "ro")) as connection:
        names = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        if "alembic_version" not in names:
            raise StorageFault(f"{called} is not a database of Rackside.")
        said = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
        if said != "ok":
            raise DamagedDatabase(called, said.splitlines()[-1])
        stray = connection.execute("PRAGMA foreign_key_check").fetchone()
        if stray is not None:
            raise DamagedDatabase(called, f"a row of {stray[0]} points to one of {stray[2]} that is not there")
        (schema,) = connection.execute("SELECT version_num FROM alembic_version").fetchone() or ("none",)
        counted = sorted(name for name in names if name != "alembic_version" and not name.startswith("sqlite_"))
        rows = {name: connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in counted}  # noqa: S608 - names of tables, as the database has them
    return Contents(str(schema), rows)


@contextmanager
def alone(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection to a database, made if it is missing, that nobody else can open until it is given back.

    Raises DatabaseInUse while somebody has it open, even one who does nothing with it; DamagedDatabase; StorageFault.
    """
    with _faults(path), closing(_open(path, "rwc", IN_USE_SECONDS)) as connection:
        # In this mode SQLite wants the file for itself with the first lock, and keeps it until the connection is closed.
        connection.execute("PRAGMA locking_mode = EXCLUSIVE")
        connection.execute("BEGIN EXCLUSIVE")
        connection.execute("COMMIT")
        yield connection


def holds_records(connection: sqlite3.Connection, path: Path) -> bool:
    """Whether a collection is kept in a database, or anything of another program. Raises StorageFault."""
    with _faults(path):
        names = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        if "collections" not in names:
            return bool(names - {"alembic_version"})
        return bool(connection.execute("SELECT count(*) FROM collections").fetchone()[0])


def put(source: Path, connection: sqlite3.Connection) -> None:
    """Have a database hold what the file `source` holds, in one transaction: all of it or, after any fault, what it held.

    It may be a damaged one, as long as SQLite can open it at all. Raises sqlite3.Error.
    """
    try:
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA journal_mode = WAL")
    except sqlite3.DatabaseError as fault:
        if _code(fault) not in _DAMAGED:  # which cannot be asked about itself, and is in these modes already
            raise
    with closing(_open(source, "ro")) as fresh:
        fresh.backup(connection)


def _open(path: Path, mode: str, seconds: float = WAIT_SECONDS) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=seconds, isolation_level=None)


@contextmanager
def _faults(path: Path | str) -> Iterator[None]:
    """Turn what SQLite says into a sentence."""
    try:
        yield
    except sqlite3.Error as fault:
        code = _code(fault)
        if code in _DAMAGED:
            raise DamagedDatabase(path, str(fault)) from fault
        if code in _BUSY:
            raise DatabaseInUse(f"The database {path} is in use by another program.") from fault
        said = _SENTENCES.get(code, "The database {where} cannot be used: {said}.")
        raise StorageFault(said.format(where=path, said=fault)) from fault


def _code(fault: sqlite3.Error) -> int:
    """SQLite's primary result code."""
    return int(getattr(fault, "sqlite_errorcode", sqlite3.SQLITE_ERROR)) & 0xFF
