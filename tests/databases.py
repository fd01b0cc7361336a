"""Which database the tests run on, and a fresh one for each.

Everything a test keeps lies in a folder. On SQLite the database is a file in it; on PostgreSQL the folder holds a file with the
address of a database of its own on the server of the test run. `of(folder)` is what `Store.open` takes in either case, in the test
itself and in processes that it starts.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

from psycopg import Connection
from psycopg.sql import SQL, Identifier
from sqlalchemy import event, make_url
from sqlalchemy.pool import Pool

from bot.secret import Secret
from bot.settings import Settings
from storage.engines import POSTGRESQL, SQLITE
from storage.store import FILE_NAME, Store
from storage.tables import Base
from tests.postgresql import Server, of_run

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

ADDRESS = "database-address"

_EMPTY = "e"
"""How the names of databases begin that were made without tables: what a test makes of such a one is no use to others."""

_SEQUENCES = "SELECT sequencename FROM pg_sequences WHERE last_value IS NOT NULL"


@dataclass
class _Chosen:
    """The engine in use, where the server of this run has its folder, which databases the present test has, and which are free.

    `connections` are those to databases of the present test.
    """

    engine: str = SQLITE
    folder: Path | None = None
    made: list[str] = field(default_factory=list)
    free: list[str] = field(default_factory=list)
    template: str | None = None
    connections: list[Connection] = field(default_factory=list)


@event.listens_for(Pool, "connect")
def _note(connection: object, _record: object) -> None:
    """Remember each connection to a database of the present test, so that one that a test leaves open is closed at its end."""
    if isinstance(connection, Connection) and connection.info.dbname in _chosen.made:
        _chosen.connections.append(connection)


_chosen = _Chosen()


def choose(engine: str, folder: Path | None) -> None:
    """From now on new databases are of this engine. Raises NoServer where it is PostgreSQL and there can be none."""
    _chosen.engine, _chosen.folder = engine, folder
    if engine == POSTGRESQL:
        server()


def engine() -> str:
    """The engine in use: sqlite or postgresql."""
    return _chosen.engine


def server() -> Server:
    """The PostgreSQL server of this test run, started if need be. Raises NoServer."""
    assert _chosen.folder is not None, "the server is had in a test run only"
    return of_run(_chosen.folder)


def of(folder: Path) -> str | Path:
    """The database of a folder, for `Store.open`: on PostgreSQL it is made, with the tables, where the folder has none."""
    address = folder / ADDRESS
    if address.exists():
        return address.read_text()
    if _chosen.engine == SQLITE or (folder / FILE_NAME).exists():
        return folder
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return _like(folder, None)


def settings(folder: Path) -> Settings:
    """What `opened` takes for the database of a folder."""
    where = of(folder)
    return Settings(database=Secret(where)) if isinstance(where, str) else Settings()


def empty(folder: Path) -> str | Path:
    """The same with a database that has no tables yet."""
    if _chosen.engine == SQLITE:
        return folder
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return _emptied(folder)


def copy(folder: Path, target: Path) -> Path:
    """A folder with all that is in it, the database too, under another name; nobody may have the database open."""
    shutil.copytree(folder, target)
    address = target / ADDRESS
    if address.exists():
        _like(target, str(make_url(address.read_text()).database))
    return target


@contextmanager
def passing(store: Store) -> Iterator[Session]:
    """A session that writes, and of which nothing is left."""

    class Enough(Exception):
        pass

    with suppress(Enough), store.write() as session:
        yield session
        raise Enough


def bytes_written(folder: Path) -> bytes:
    """Every byte in a folder, its database, the log of that, and whatever else; on a server every value of the database too."""
    found = [path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()]
    where = of(folder)
    if isinstance(where, str):
        store = Store.open(where)
        with store.read() as session:
            for table in Base.metadata.sorted_tables:
                rows = session.connection().exec_driver_sql(f"SELECT * FROM {table.name}").all()  # noqa: S608 - our own names
                found += [str(value).encode() for row in rows for value in row]
        store.close()
    return b"\n".join(found)


def lasting() -> None:
    """What has been made so far is for more than the present test."""
    _chosen.made.clear()


def drop_made() -> None:
    """The databases of the present test may be had by others, whoever still uses them."""
    for connection in _chosen.connections:
        connection.close()
    _chosen.connections.clear()
    for name in _chosen.made:
        (_drop if name.startswith(_EMPTY) else _chosen.free.append)(name)
    _chosen.made.clear()


def _emptied(folder: Path) -> str:
    """A new database without tables."""
    name = f"{_EMPTY}{uuid4().hex}"
    _create(name, "template1")
    return _kept(folder, name)


def _like(folder: Path, like: str | None) -> str:
    """A database with all tables, and in them what is in another database, or nothing.

    To make one anew takes a server a quarter of a second, so one that has become free is emptied and filled.
    """
    if _chosen.free:
        name = _chosen.free.pop()
        _clear(name)
    else:
        name = f"r{uuid4().hex}"
        _create(name, _template())
    if like is not None:
        _fill(name, like)
    return _kept(folder, name)


def _kept(folder: Path, name: str) -> str:
    _chosen.made.append(name)
    url = server().url(name)
    (folder / ADDRESS).write_text(url)
    return url


def _template() -> str:
    """An empty database with all tables, made once by each process."""
    if _chosen.template is None:
        name = f"t{uuid4().hex}"
        _create(name, "template1")
        Store.open(server().url(name)).close()
        _chosen.template = name
    return _chosen.template


def _create(name: str, like: str) -> None:
    with server().connect() as connection:
        connection.execute(SQL("CREATE DATABASE {} TEMPLATE {}").format(Identifier(name), Identifier(like)))


def _drop(name: str) -> None:
    with server().connect() as connection:
        connection.execute(SQL("DROP DATABASE IF EXISTS {} WITH (FORCE)").format(Identifier(name)))


def _clear(name: str) -> None:
    """Empty all tables, and count from one again."""
    with server().connect(name) as connection:
        connection.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )
        connection.execute("SET session_replication_role = replica")  # no trigger refuses it
        used = list(map(Identifier, _used(connection)))
        for table in used:
            connection.execute(SQL("DELETE FROM {}").format(table))
        if used:  # TRUNCATE would make the files of all tables anew, which takes longer
            connection.execute(SQL("VACUUM {}").format(SQL(", ").join(used)))
        for (sequence,) in connection.execute(
            _SEQUENCES
        ).fetchall():  # also of a table that a transaction has left empty
            connection.execute(SQL("ALTER SEQUENCE {} RESTART").format(Identifier(sequence)))


def _fill(name: str, like: str) -> None:
    """Copy what is in the tables of one database into those of another, and where the counting has come to."""
    with server().connect(like) as source, server().connect(name) as target, target.transaction():
        target.execute("SET LOCAL session_replication_role = replica")
        for table in _used(source):
            columns = SQL(", ").join(map(Identifier, Base.metadata.tables[table].columns.keys()))
            with source.cursor().copy(SQL("COPY {} ({}) TO STDOUT").format(Identifier(table), columns)) as out:
                rows = b"".join(out)
            with target.cursor().copy(SQL("COPY {} ({}) FROM STDIN").format(Identifier(table), columns)) as into:
                into.write(rows)
        for (sequence,) in source.execute(_SEQUENCES).fetchall():
            last = source.execute(SQL("SELECT last_value FROM {}").format(Identifier(sequence))).fetchone()
            target.execute("SELECT setval(%s, %s)", (sequence, *(last or ())))


def _used(connection: Connection) -> list[str]:
    """The tables that hold, or once held, a row."""
    found = connection.execute(
        "SELECT relname FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace "
        "AND relname <> 'alembic_version' AND pg_relation_size(oid) > 0"
    )
    return [name for (name,) in found]
