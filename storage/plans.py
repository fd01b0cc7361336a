"""The plans of a collection that may still matter."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from sqlalchemy import DateTime, and_, bindparam, select, union

from storage import moments
from storage.current import is_current
from storage.entries import Subject
from storage.latest import COLUMNS, Noted
from storage.tables import REPEATING, Entry, EntrySubject

if TYPE_CHECKING:
    from datetime import date, datetime

    from sqlalchemy import CompoundSelect, Select
    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class ToldPlan:
    """A plan, when it was told, and whom it names."""

    note: Noted
    told_at: datetime
    subjects: tuple[Subject, ...]


def plans(session: Session, collection_id: int, since: date) -> list[ToldPlan]:
    """Current plans in the order told: those without a day, those from `since` on, and older ones that repeat."""
    found: dict[int, tuple[Noted, datetime]] = {}
    subjects: dict[int, list[Subject]] = defaultdict(list)
    values = {"of_collection": collection_id, "since": moments.day_start(since)}
    for *columns, told_at, occupant_id, enclosure_id in session.execute(_statement(), values):
        note = Noted._make(columns)
        found[note.id] = note, told_at
        if occupant_id is not None or enclosure_id is not None:
            subjects[note.id].append(Subject(occupant_id, enclosure_id))
    return [ToldPlan(note, told_at, tuple(subjects[note.id])) for note, told_at in found.values()]


@cache
def _statement() -> Select[*tuple[Any, ...]]:
    """Made once: making it costs more than running it."""
    return (
        select(*COLUMNS, Entry.told_at, EntrySubject.occupant_id, EntrySubject.enclosure_id)
        .outerjoin(EntrySubject, and_(EntrySubject.entry_id == Entry.id, EntrySubject.named))
        .where(Entry.id.in_(_ids()), Entry.mood == "plan", is_current(Entry.id))
        .order_by(Entry.id, EntrySubject.position)
    )


def _ids() -> CompoundSelect[Any]:
    """The plans that may still matter, each sort by its own index; superseded and retracted ones among them."""
    told = select(Entry.id).where(Entry.collection_id == bindparam("of_collection"))
    planned = told.where(Entry.mood == "plan")
    recent = planned.where(Entry.moment >= bindparam("since", type_=DateTime()))
    return union(planned.where(Entry.moment.is_(None)), recent, told.where(REPEATING))
