"""The statements that a piece of work sends to the database, to ask the database how it finds what they want."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from sqlalchemy import event

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine

Statement = tuple[str, object]


@contextmanager
def statements_of(engine: Engine | Connection) -> Iterator[list[Statement]]:
    """The statements sent inside the block, each with its parameters, in their order."""
    sent: list[Statement] = []

    def note(_connection: Connection, _cursor: object, statement: str, parameters: object, *_rest: object) -> None:
        sent.append((statement, parameters))

    event.listen(engine, "before_cursor_execute", note)
    try:
        yield sent
    finally:
        event.remove(engine, "before_cursor_execute", note)


def sqlite_steps(connection: Connection, statement: str, parameters: object) -> list[str]:
    """The steps in which SQLite carries a statement out, in its own words."""
    plan = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", parameters).fetchall()  # type: ignore[arg-type]
    return [str(row[-1]) for row in plan]
