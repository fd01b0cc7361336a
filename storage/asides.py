"""Notes that carry fields of their own, of a whole collection: meters checked over salt, feeders in stock."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import Text, or_, select, type_coerce

from storage.current import is_current
from storage.entries import EntryRow, rows
from storage.tables import NOTES, Entry

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy.orm import Session


def notes_with(session: Session, collection_id: int, names: Sequence[str]) -> list[EntryRow]:
    """Current notes of a collection that have one of these fields, in the order in which they happened.

    Every note of the collection is looked at, by their own index, and nothing else of the journal.
    """
    held = or_(*(type_coerce(Entry.fields, Text).contains(f'"{name}"') for name in names))
    told = select(Entry.id).where(Entry.collection_id == collection_id, Entry.mood == "log", NOTES)
    wanted = told.where(held, is_current(Entry.id)).order_by(Entry.moment.nulls_first(), Entry.id)
    return rows(session, list(session.scalars(wanted)))
