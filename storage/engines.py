"""The two databases that Rackside keeps its records in, and how each is opened.

SQLite runs with a write-ahead log, a flush to the disk at every commit, and foreign keys held; a writer takes its lock when it
begins, so that two writers wait for each other and neither finds the database locked half-way.

On PostgreSQL writers run side by side (READ COMMITTED), and those of one collection wait for each other where they begin
(`storage.households.hold`); a reader sees one unchanging state (REPEATABLE READ) and cannot write. A connection that was idle is
tried before it is used, so that a server that was started again is found again.
"""

from __future__ import annotations

import sqlite3
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError
from sqlalchemy.pool import StaticPool

from storage.faults import StorageFault

SQLITE, POSTGRESQL = "sqlite", "postgresql"

BUSY_SECONDS = 15
AGAIN_SECONDS = 0.01
CONNECT_SECONDS = 10
CACHE_KILOBYTES = (
    32_000  # at most, and only as needed: the indexes of a long journal outgrow the 2,000 that is the default
)
STUCK_SECONDS = 60
"""After so long within a transaction without a word the server gives a process up: it was stopped, or its machine is gone, and what it
has locked is free again."""
IDLE_CONNECTIONS, MOST_CONNECTIONS = 4, 40
"""How many connections to a server one process keeps, and opens at most: more than it has threads that may ask at once."""

_WRITES = "rackside_writes"
_DRIVERS = {"sqlite": SQLITE, "sqlite+pysqlite": SQLITE, "postgresql": POSTGRESQL, "postgresql+psycopg": POSTGRESQL}


@dataclass(frozen=True, slots=True)
class Engines:
    """One database: `base` for whoever manages it, `readers` and `writers` for sessions; all share its connections."""

    base: Engine
    readers: Engine
    writers: Engine


def url_of(text: str) -> URL:
    """The address of a database, from its text. Raises StorageFault, without the text, which may hold a password."""
    try:
        url = make_url(text)
        kind = _DRIVERS[url.drivername]
    except (ArgumentError, ValueError, KeyError):
        raise StorageFault(
            "The address of the database is not one that I know; write it like "
            "postgresql://rackside@localhost/rackside or sqlite:////srv/rackside/rackside.sqlite3."
        ) from None
    if kind == POSTGRESQL and not url.database:
        raise StorageFault(
            "The address of the database does not say which; write it like postgresql://localhost/rackside."
        )
    return url if kind == SQLITE else url.set(drivername="postgresql+psycopg")


def directory_of(url: URL) -> Path | None:
    """The folder that holds the file of an SQLite database; None for any other."""
    if url.get_backend_name() != SQLITE or url.database in {None, "", ":memory:"}:
        return None
    return Path(str(url.database)).parent


def engines(url: URL) -> Engines:
    """The engines of a database; nothing is connected yet."""
    if url.get_backend_name() == POSTGRESQL:
        return _postgresql(url)
    base = _sqlite(url)
    return Engines(base, base, base.execution_options(**{_WRITES: True}))


def _postgresql(url: URL) -> Engines:
    told: dict[str, Any] = {
        "connect_timeout": CONNECT_SECONDS,
        "application_name": "rackside",
        "options": f"-c timezone=UTC -c lock_timeout={BUSY_SECONDS}s -c idle_in_transaction_session_timeout={STUCK_SECONDS}s",
    }
    base = create_engine(
        url,
        connect_args={name: value for name, value in told.items() if name not in url.query},
        pool_pre_ping=True,
        pool_size=IDLE_CONNECTIONS,
        max_overflow=MOST_CONNECTIONS - IDLE_CONNECTIONS,
    )
    event.listen(base, "connect", _check_encoding)
    readers = base.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)
    return Engines(base, readers, base)


def _check_encoding(connection: Any, _record: object) -> None:  # noqa: ANN401 - the driver's, which SQLite does without
    """Raise StorageFault for a database that cannot hold every character."""
    held = connection.info.parameter_status("server_encoding")
    if held != "UTF8":
        raise StorageFault(f"The database keeps text as {held}, which not every word fits into; make one with UTF8.")


def _sqlite(url: URL) -> Engine:
    options: dict[str, Any] = {"connect_args": {"timeout": BUSY_SECONDS, "check_same_thread": False}}
    if directory_of(url) is None:
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
    _keep_a_log_ahead(connection)


def _keep_a_log_ahead(connection: sqlite3.Connection) -> None:
    """Set the write-ahead log where the file does not have it yet.

    SQLite does not wait here for another process that opens the same new file: it says at once that it is busy, whatever its timeout
    (waiting with a lock held could be waiting for each other). So the waiting is ours.
    """
    if connection.execute("PRAGMA journal_mode").fetchone()[0] == "wal":
        return
    patience = time.monotonic() + BUSY_SECONDS
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as fault:
            if fault.sqlite_errorcode != sqlite3.SQLITE_BUSY or time.monotonic() > patience:
                raise
            time.sleep(AGAIN_SECONDS)
        else:
            return


def _begin(connection: Connection) -> None:
    """Begin a transaction: a writer takes the lock at once, a reader when it reads."""
    writes = connection.get_execution_options().get(_WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
