"""Lineage: which group was split off which, joined into which, or hatched as whose brood."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from storage.current import is_current
from storage.tables import Entry, Lineage

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import ColumnElement
    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class LineageRow:
    """`child_id` came from `parent_id`: `how` is split, join or brood; `entry_id` the entry that says so."""

    child_id: int
    parent_id: int
    how: str
    on: date | None
    entry_id: int | None


def add_lineage(
    session: Session, child_id: int, parent_id: int, how: str, entry_id: int | None, on: date | None
) -> None:
    """Note where an occupant came from. It holds as long as the entry, or a correction of it, does."""
    session.add(Lineage(child_id=child_id, parent_id=parent_id, how=how, entry_id=entry_id, on=on))
    session.flush()


def parents(session: Session, occupant_id: int) -> list[LineageRow]:
    """What an occupant came from, first to last."""
    return _rows(session, Lineage.child_id == occupant_id)


def children(session: Session, occupant_id: int) -> list[LineageRow]:
    """What came from an occupant, first to last."""
    return _rows(session, Lineage.parent_id == occupant_id)


def _rows(session: Session, condition: ColumnElement[bool]) -> list[LineageRow]:
    found = session.scalars(select(Lineage).where(condition).order_by(Lineage.id)).all()
    return [
        LineageRow(row.child_id, row.parent_id, row.how, row.on, row.entry_id)
        for row in found
        if row.entry_id is None or _holds(session, row.entry_id)
    ]


def _holds(session: Session, entry_id: int) -> bool:
    """Whether the entry, or a correction in the same chain, is current."""
    entry = session.get_one(Entry, entry_id)
    origin_id = entry.origin_id or entry.id
    chain = select(Entry.id).where((Entry.id == origin_id) | (Entry.origin_id == origin_id))
    return session.scalar(chain.where(is_current(Entry.id)).limit(1)) is not None
