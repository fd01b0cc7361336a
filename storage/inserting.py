"""Inserts that can tell what to do where a key is taken already, as by another process a moment ago."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from storage.tables import Base


def insert_into(session: Session, table: type[Base]) -> Any:  # noqa: ANN401 - the insert of either dialect
    """An insert with `on_conflict_do_nothing` and `on_conflict_do_update`: both databases have them, under the same names."""
    if session.get_bind().dialect.name == "postgresql":
        from sqlalchemy.dialects import postgresql  # noqa: PLC0415 - only where it is the database

        return postgresql.insert(table)
    from sqlalchemy.dialects import sqlite  # noqa: PLC0415 - the same

    return sqlite.insert(table)
