"""Everything that the database holds of one collection, in a form that is the same wherever its rows stand.

An id is told as the place of its row among the rows of the collection, so that two databases with the same records give the same,
whoever else is in them. What is drawn by lot (tokens, codes) is told as being there or not.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from storage.tables import Base

if TYPE_CHECKING:
    from sqlalchemy import Table
    from sqlalchemy.orm import Session

Ranks = Mapping[str, Mapping[int, int]]

OF_NOBODY = frozenset({"accounts", "chats", "turned_away", "leases"})
"""Tables that are about the services, strangers and processes, and no collection."""

STRANGER = "a stranger"
"""How a row of another collection is told."""

_BY_LOT = frozenset({"uid", "token", "code", "code_key", "claimed_by", "lease_until"})

_POINTS = {
    ("inbox", "pressed"): "outbox",
    ("outbox", "replaces"): "outbox",
    ("stays", "from_origin"): "entries",
    ("stays", "until_origin"): "entries",
}
"""Columns that hold ids though no foreign key says so."""

_IN_JSON = {
    "enclosure_id": "enclosures", "to_enclosure_id": "enclosures", "occupant_id": "occupants", "new_occupant_id": "occupants",
    "restores": "entries", "plan": "entries", "entry": "entries", "counted": "entries", "about": "inbox", "undid": "inbox",
    "message": "inbox", "target": "inbox", "put_by": "inbox", "question": "questions", "rows": "pushes", "push": "pushes",
}  # fmt: skip
"""Under which names JSON holds ids of which tables; only whole numbers under them are ids."""

_IN_TEXT = re.compile(r"\b(occupant|place|plan|look-in|left,) (\d+)\b")
_TEXT_OF = {
    "occupant": "occupants", "place": "enclosures", "plan": "entries", "look-in": "entries", "left,": "members",
}  # fmt: skip


def rows_of(session: Session, collection_id: int) -> dict[str, list[dict[str, Any]]]:
    """Every row of a collection, by table, each with its ids told as places."""
    found: dict[str, list[dict[str, Any]]] = {}
    ranks: dict[str, dict[int, int]] = {}
    for table in _tables():
        rows = [dict(row) for row in session.execute(_wanted(table, collection_id, ranks)).mappings()]
        found[table.name] = rows
        if "id" in table.columns:
            ranks[table.name] = {row["id"]: place for place, row in enumerate(rows, 1)}
    return {name: [_told(name, row, ranks) for row in rows] for name, rows in found.items()}


def _tables() -> list[Table]:
    return [table for table in Base.metadata.sorted_tables if table.name not in OF_NOBODY]


def _wanted(table: Table, collection_id: int, ranks: Ranks) -> Any:  # noqa: ANN401 - a statement over any table
    wanted = select(table).order_by(*table.primary_key.columns)
    if table.name == "collections":
        return wanted.where(table.c.id == collection_id)
    if "collection_id" in table.columns:
        return wanted.where(table.c.collection_id == collection_id)
    owner = next(key for key in table.foreign_keys if not key.parent.nullable)
    return wanted.where(owner.parent.in_(list(ranks[owner.column.table.name])))


def _told(table: str, row: Mapping[str, Any], ranks: Ranks) -> dict[str, Any]:
    return {name: _cell(table, name, value, ranks) for name, value in row.items()}


def _cell(table: str, name: str, value: Any, ranks: Ranks) -> Any:  # noqa: ANN401 - any value of the database
    if name in _BY_LOT:
        return value is not None
    if isinstance(value, int) and not isinstance(value, bool):
        of = table if name == "id" else _POINTS.get((table, name)) or _pointed(table, name)
        return value if of is None else _place(of, value, ranks)
    if isinstance(value, dict | list):
        return _json(name, value, ranks)
    return _IN_TEXT.sub(lambda found: _named(found, ranks), value) if name in ("subject", "address") else value


def _pointed(table: str, name: str) -> str | None:
    keys = Base.metadata.tables[table].columns[name].foreign_keys
    return next((key.column.table.name for key in keys), None)


def _json(name: str, value: Any, ranks: Ranks) -> Any:  # noqa: ANN401 - any JSON
    if isinstance(value, dict):
        return {key: _json(key, held, ranks) for key, held in value.items() if key != "path"}
    if isinstance(value, list):
        return [_json(name, held, ranks) for held in value]
    if isinstance(value, str) and name in ("key", "subject"):
        return _IN_TEXT.sub(lambda found: _named(found, ranks), value)
    is_id = isinstance(value, int) and not isinstance(value, bool) and name in _IN_JSON
    return _place(_IN_JSON[name], value, ranks) if is_id else value


def _named(found: re.Match[str], ranks: Ranks) -> str:
    return f"{found[1]} {_place(_TEXT_OF[found[1]], int(found[2]), ranks)}"


def _place(table: str, row_id: int, ranks: Ranks) -> str:
    """Which row of the collection is meant; one of another collection is told as a stranger, and 0 stands for none."""
    place = ranks[table].get(row_id)
    return f"{table} {place}" if place is not None else f"{STRANGER} in {table}" if row_id else "none"
