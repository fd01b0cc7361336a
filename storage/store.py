"""The database: opening it, and sessions to read and to write.

A directory holds `rackside.sqlite3`; an SQLAlchemy URL names any other database. Opening makes what is missing and brings an older
schema up to date. SQLite runs with a write-ahead log, a flush to the disk at every commit, and foreign keys held; a writer
takes its lock when it begins, so that two writers wait for each other and neither finds the database locked half-way.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from sqlalchemy import Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, OperationalError
from sqlalchemy.orm import Session
from sqlalchemy.pool import StaticPool

from storage.faults import StorageFault
from storage.schema import bring_up_to_date

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy.engine import URL

FILE_NAME = "rackside.sqlite3"
BUSY_SECONDS = 15
CACHE_KILOBYTES = (
    32_000  # at most, and only as needed: the indexes of a long journal outgrow the 2,000 that is the default
)
_WRITES = "rackside_writes"


class Store:
    """An open database. `directory` is the folder that holds it, None when it is not a file."""

    def __init__(self, engine: Engine, directory: Path | None) -> None:
        self.directory = directory
        self._readers = engine
        self._writers = engine.execution_options(**{_WRITES: True})

    @classmethod
    def open(cls, where: str | Path, *, make_parents: bool = False) -> Self:
        """Open the database of a directory or of an SQLAlchemy URL, and make or upgrade it where needed.

        The directory is made, for its owner alone, when it is missing; folders above it only with `make_parents`.
        Raises StorageFault when the database cannot be used.
        """
        if isinstance(where, str) and "://" in where:
            return cls._of_url(_url(where))
        directory = Path(where)
        _prepare(directory, make_parents=make_parents)
        return cls._of_url(make_url("sqlite://").set(database=str(directory / FILE_NAME)))

    @classmethod
    def _of_url(cls, url: URL) -> Self:
        engine = _engine(url)
        store = cls(engine, _directory(url))
        try:
            with _faults(url):
                _check_writable(url)
                bring_up_to_date(store._readers, store._writers)
        except StorageFault:
            engine.dispose()
            raise
        return store

    @property
    def engine(self) -> Engine:
        """The engine below, for tests and tools."""
        return self._readers

    @contextmanager
    def write(self) -> Iterator[Session]:
        """A session that writes: committed at the end, rolled back on an error. StorageFault when the disk or the file fails."""
        with _faults(self._readers.url), Session(self._writers) as session, session.begin():
            yield session

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A session that reads one unchanging state; whatever it writes is dropped."""
        with _faults(self._readers.url), Session(self._readers) as session:
            yield session

    def close(self) -> None:
        """Let go of the database."""
        self._readers.dispose()


def _url(text: str) -> URL:
    try:
        return make_url(text)
    except ArgumentError as error:
        raise StorageFault(f"{text!r} is not the address of a database.") from error


def _directory(url: URL) -> Path | None:
    if url.get_backend_name() != "sqlite" or url.database in {None, "", ":memory:"}:
        return None
    return Path(str(url.database)).parent


def _prepare(directory: Path, *, make_parents: bool) -> None:
    """See to the folder of the database. Raises StorageFault."""
    try:
        directory.mkdir(mode=0o700, parents=make_parents, exist_ok=True)
    except FileExistsError as error:
        raise StorageFault(f"The data folder {directory} is a file, not a folder.") from error
    except FileNotFoundError as error:
        raise StorageFault(f"The data folder {directory} cannot be made: {directory.parent} is not there.") from error
    except OSError as error:
        raise StorageFault(f"The data folder {directory} cannot be made: {error.strerror}.") from error


def _check_writable(url: URL) -> None:
    """Raise StorageFault when the folder or the file of an SQLite database may not be written."""
    directory = _directory(url)
    if directory is None:
        return
    for path in (directory, Path(str(url.database))):
        if path.exists() and not os.access(path, os.W_OK, effective_ids=os.access in os.supports_effective_ids):
            raise StorageFault(
                f"{path} cannot be written to; choose another data folder, or change who may write there."
            )


def _engine(url: URL) -> Engine:
    if url.get_backend_name() != "sqlite":
        return create_engine(url)
    options: dict[str, Any] = {"connect_args": {"timeout": BUSY_SECONDS, "check_same_thread": False}}
    if _directory(url) is None:
        options["poolclass"] = StaticPool  # a database in memory lives as long as its one connection
    engine = create_engine(url, **options)
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    return engine


def _set_up(connection: sqlite3.Connection, _record: object) -> None:
    """What SQLite must be told on each new connection."""
    connection.isolation_level = None  # transactions are begun by `_begin`, not by the driver
    connection.execute(f"PRAGMA busy_timeout = {BUSY_SECONDS * 1000}")
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute(f"PRAGMA cache_size = {-CACHE_KILOBYTES}")
    if connection.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
        connection.execute("PRAGMA journal_mode = WAL")


def _begin(connection: Connection) -> None:
    """Begin a transaction: a writer takes the lock at once, a reader when it reads."""
    writes = connection.get_execution_options().get(_WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def _faults(url: URL) -> Iterator[None]:
    """Turn what the database says into a sentence; errors of our own statements pass as they are."""
    try:
        yield
    except DBAPIError as error:
        sentence = _sentence(url, error)
        if sentence is None:
            raise
        raise StorageFault(sentence) from error


def _sentence(url: URL, error: DBAPIError) -> str | None:
    where = url.database if url.get_backend_name() == "sqlite" else url.render_as_string(hide_password=True)
    said = str(error.orig)
    for words, sentence in _SENTENCES.items():
        if words in said:
            return sentence.format(where=where)
    return f"The database {where} cannot be used: {said}." if isinstance(error, OperationalError) else None


_SENTENCES = {
    "file is not a database": "{where} is not a Rackside database; choose another data folder, or move that file away.",
    "malformed": "The database {where} is damaged; put a backup in its place.",
    "disk is full": "The disk is full: {where} could not be written. Nothing was lost of what was confirmed before.",
    "readonly": "The database {where} cannot be written to; change who may write there.",
    "unable to open": "The database {where} cannot be opened; see whether its folder is there and may be written to.",
    "locked": "The database {where} is in use by another program; try again in a moment.",
}
