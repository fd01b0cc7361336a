"""Documents of collections in tests: written from a store, brought into another one, and compared."""

from __future__ import annotations

import io
import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from bot.app import SetClock, build
from bot.moving.collection_in import Brought, bring_in
from bot.moving.collection_out import write_document
from storage import households
from storage.store import Store
from tests import databases

LATER = datetime(2026, 6, 1, 9, 0, tzinfo=UTC)

TABLES = (
    "enclosures",
    "occupants",
    "inbox",
    "entries",
    "retractions",
    "roster_changes",
    "vocabulary",
    "stays",
    "members",
)


def document(store: Store, collection_id: int | None = None) -> dict[str, Any]:
    """The document of a collection (of the first), read back by the standard library."""
    found: dict[str, Any] = json.loads(text(store, collection_id))
    return found


def text(store: Store, collection_id: int | None = None) -> str:
    """The same as it is written."""
    out = io.BytesIO()
    with store.read() as session:
        kept = collection_id or households.collections(session)[0].id
        write_document(session, kept, LATER, out)
    return out.getvalue().decode()


def new_house(folder: Path) -> Store:
    """A store with an empty collection, as a first start makes it."""
    store = Store.open(databases.of(folder))
    build(store, SetClock(LATER), folder=folder).prepare(zone="UTC")
    return store


def brought(store: Store, told: dict[str, Any] | str, folder: Path, **how: Any) -> Brought:  # noqa: ANN401 - handed on
    """Bring a document into the first collection, by way of a file in a folder."""
    path = folder / "records.json"
    path.write_text(told if isinstance(told, str) else json.dumps(told), encoding="utf-8")
    with store.read() as session:
        kept = how.pop("collection_id", households.collections(session)[0].id)
    return bring_in(store, kept, path, LATER, **how)


def counted(store: Store) -> dict[str, int]:
    """How many rows the tables have."""
    with store.read() as session:
        connection = session.connection()
        return {
            table: int(connection.exec_driver_sql(f"SELECT count(*) FROM {table}").scalar() or 0)  # noqa: S608 - our own words
            for table in TABLES
        }


def laid_out(told: dict[str, Any]) -> str:
    """A document as the export lays it out: a row on each line."""
    parts = []
    for name, value in told.items():
        rows = [json.dumps(row) for row in value] if isinstance(value, list) else None
        lines = json.dumps(value) if rows is None else "[\n" + ",\n".join(rows) + "\n]" if rows else "[]"
        parts.append(f"{json.dumps(name)}: {lines}")
    return "{\n" + ",\n".join(parts) + "\n}\n"
