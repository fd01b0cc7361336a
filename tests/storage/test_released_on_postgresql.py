"""On PostgreSQL too every released schema comes up to the newest one with the rows that lie in it.

What was kept is SQLite; its rows are put into a PostgreSQL of the same revision, made by the migrations up to there.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from alembic import command
from sqlalchemy import Connection, Insert, MetaData, Table, Text, cast, create_engine, insert, literal, text

from storage import schema
from storage.engines import POSTGRESQL
from storage.store import Store
from storage.tables import Base
from tests import databases
from tests.storage import test_schema, witness
from tests.storage.test_released import FOLDER, KEPT, as_seen_then

pytestmark = pytest.mark.parametrize("database", [POSTGRESQL], indirect=True, scope="session")


def rows_of(revision: str) -> dict[str, list[dict[str, Any]]]:
    """Every row that is kept of that schema, by table, as SQLite has it."""
    with closing(sqlite3.connect(":memory:")) as kept:
        kept.executescript((FOLDER / f"{revision}.sql").read_text(encoding="utf-8"))
        kept.row_factory = sqlite3.Row
        tables = [row["name"] for row in kept.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {table: [dict(row) for row in kept.execute(f"SELECT * FROM {table}")] for table in tables}  # noqa: S608


def put_in(connection: Connection, rows: dict[str, list[dict[str, Any]]]) -> None:
    """Put them into the tables there are, in an order that foreign keys allow. Moments are without a zone, and UTC."""
    connection.execute(text("SET TIME ZONE 'UTC'"))
    there = MetaData()
    there.reflect(connection)
    order = [table.name for table in Base.metadata.sorted_tables if table.name in rows]
    assert {*order, "alembic_version"} == set(rows)
    for name in order:
        for row in rows[name]:
            connection.execute(_written_out(there.tables[name], row))


def _written_out(table: Table, row: dict[str, Any]) -> Insert:
    """The row with each value as text, which PostgreSQL reads as what the column holds."""
    return insert(table).values(
        {
            name: None if value is None else cast(literal(str(value), Text()), table.c[name].type)
            for name, value in row.items()
        }
    )


@pytest.fixture(params=KEPT)
def revision(request: pytest.FixtureRequest) -> str:
    """One of the schemas kept."""
    return str(request.param)


@pytest.fixture
def store(revision: str, tmp_path: Path) -> Iterator[Store]:
    """A PostgreSQL as a program of that schema would have left it, opened by the present program."""
    where = str(databases.empty(tmp_path / "data"))
    engine, config = create_engine(where), schema.configuration()
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, revision)
        put_in(connection, rows_of(revision))
    engine.dispose()
    opened = Store.open(where)
    yield opened
    opened.close()


def test_the_present_program_sees_what_the_old_one_saw(store: Store, revision: str) -> None:
    """Journal, roster, stays, taught words, members and head counts; and the schema is that of a new database."""
    then, now = as_seen_then(revision), witness.seen(store)
    assert [{what: one[what] for what in before} for one, before in zip(now, then, strict=True)] == then
    test_schema.test_migrations_make_what_the_models_describe(store)
