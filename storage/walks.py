"""Walking the journal newest first, along indexes, through the stays.

An entry about a place counts for an occupant for as long as it lived there, and an entry that names an occupant shows in the history of
the place where it then lived. Both are worked out here from the stays: the history of one subject is a handful of spans, each a walk
along one index that stops as soon as it has enough.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from functools import cache
from typing import TYPE_CHECKING, cast

from sqlalchemy import DateTime, Integer, bindparam, select, tuple_, union_all

from storage import moments
from storage.current import is_current
from storage.entries import EntryRow, rows
from storage.tables import Entry, EntrySubject, StayRecord

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date, datetime

    from sqlalchemy import CompoundSelect, Select
    from sqlalchemy.orm import InstrumentedAttribute, Session
    from sqlalchemy.sql.expression import Tuple

Position = tuple["datetime", int, int]
"""Place of an entry in the order of a history: moment, origin, id."""

WHOLE = 1_000_000
"""A limit that asks for a whole history."""

_LARGEST = 2**31 - 1  # above every id, and within a column of whole numbers on any database


@dataclass(frozen=True, slots=True)
class _Span:
    """Entries on one subject from one point of time up to another, both (moment, origin) and included."""

    occupant_id: int | None
    enclosure_id: int | None
    start: tuple[datetime, int]
    end: tuple[datetime, int]


@dataclass(frozen=True, slots=True)
class _Reach:
    """How far a walk goes: from just before `high` (not included) down to the moment `low`, at most `limit` entries."""

    low: datetime
    high: Position
    limit: int


def last_of_kind(
    session: Session,
    *,
    occupant_id: int | None = None,
    enclosure_id: int | None = None,
    kind: str | None = None,
    before: date | None = None,
    moods: Sequence[str] = ("log",),
    limit: int = 1,
) -> list[EntryRow]:
    """The newest current entries of a kind (None: of any) on an occupant or an enclosure, newest first.

    `before` leaves out that day and all after it. ValueError unless exactly one of the two is given.
    """
    until = None if before is None else before - timedelta(days=1)
    kinds = None if kind is None else (kind,)
    return history(
        session,
        occupant_id=occupant_id,
        enclosure_id=enclosure_id,
        kinds=kinds,
        until=until,
        moods=moods,
        limit=limit,
    )


def history(  # noqa: PLR0913 - a question has these parts
    session: Session,
    *,
    occupant_id: int | None = None,
    enclosure_id: int | None = None,
    kinds: Sequence[str] | None = None,
    since: date | None = None,
    until: date | None = None,
    moods: Sequence[str] = ("log",),
    limit: int,
    before: int | None = None,
) -> list[EntryRow]:
    """Current entries on an occupant or an enclosure, newest first, at most `limit`.

    `since` and `until` are included. `before` is the id of the last entry of the page before (it may have been corrected meanwhile).
    ValueError unless exactly one of occupant and enclosure is given.
    """
    if (occupant_id is None) == (enclosure_id is None):
        raise ValueError("a history is of an occupant or of an enclosure")
    high = (moments.day_end(until), _LARGEST, _LARGEST)
    if before is not None:
        high = min(high, _position(session, before))
    reach = _Reach(moments.day_start(since), high, limit)
    newest: dict[int, Position] = {}
    for span in _spans(session, occupant_id, enclosure_id):
        if len(newest) >= limit and _lowest(newest, limit) > (*span.end, _LARGEST):
            break
        for mood in moods:
            for together in _together(kinds, limit):
                newest.update(_walk(session, span, mood, together, reach))
    ordered = sorted(newest, key=newest.__getitem__, reverse=True)
    return rows(session, ordered[:limit])


def _together(kinds: Sequence[str] | None, limit: int) -> Sequence[Sequence[str] | None]:
    """The kinds that one walk looks for: all at once for a whole history, each by itself where it may stop at a page's end."""
    if kinds is None:
        return (None,)
    return (kinds,) if limit >= WHOLE else [(kind,) for kind in kinds]


def _lowest(newest: dict[int, Position], limit: int) -> Position:
    """Position of the last entry of the page as it stands."""
    return sorted(newest.values(), reverse=True)[limit - 1]


def _position(session: Session, entry_id: int) -> Position:
    found = session.get(Entry, entry_id)
    if found is None:
        raise LookupError(f"there is no entry {entry_id}")
    return (found.moment or moments.BEGINNING, found.origin_id or found.id, found.id)


def _spans(session: Session, occupant_id: int | None, enclosure_id: int | None) -> list[_Span]:
    """Its own entries first, then those by way of its stays, the latest stay first."""
    own = _Span(occupant_id, enclosure_id, (moments.BEGINNING, 0), (moments.END, 0))
    owner = StayRecord.occupant_id == occupant_id if enclosure_id is None else StayRecord.enclosure_id == enclosure_id
    wanted = select(StayRecord).where(owner)
    latest_first = wanted.order_by(StayRecord.until_moment.desc(), StayRecord.until_origin.desc())
    return [own, *(_other_side(stay, by_occupant=enclosure_id is None) for stay in session.scalars(latest_first))]


def _other_side(stay: StayRecord, *, by_occupant: bool) -> _Span:
    # The end is included: the move that ends a stay belongs to the history of the place that was left, too.
    start, end = (stay.from_moment, stay.from_origin), (stay.until_moment, stay.until_origin)
    if by_occupant:
        return _Span(None, stay.enclosure_id, start, end)
    return _Span(stay.occupant_id, None, start, end)


def _walk(
    session: Session, span: _Span, mood: str, kinds: Sequence[str] | None, reach: _Reach
) -> Iterator[tuple[int, Position]]:
    """The newest current entries of one mood and these kinds in a span, as far as the reach goes."""
    by_occupant = span.enclosure_id is None
    statement = _walk_statement(by_occupant=by_occupant, kinds=len(kinds or ()))
    bounds = {
        "subject": span.occupant_id if by_occupant else span.enclosure_id,
        "mood": mood,
        "low": max(reach.low, span.start[0]),
        "high": min(reach.high[0], span.end[0]),
        "limit": reach.limit,
    }
    edges = {"start": span.start, "end": span.end, "before": reach.high}
    edge_values = {f"{name}_{place}": value for name, edge in edges.items() for place, value in enumerate(edge)}
    of_kinds = {f"kind_{place}": kind for place, kind in enumerate(kinds or ())}
    for moment, origin_id, entry_id in session.execute(statement, {**bounds, **edge_values, **of_kinds}):
        yield entry_id, (moment, origin_id, entry_id)


@cache
def _walk_statement(
    *, by_occupant: bool, kinds: int
) -> Select[datetime, int, int] | CompoundSelect[datetime, int, int]:
    """A walk along `ix_entry_subjects_kind`, of so many kinds, or for 0 `_all`. Made once: making it costs more than running it.

    Several kinds are so many stretches of the index; asked for with one IN, a database may read through all entries instead.

    `low` and `high` bound the walk in the index; the comparisons of several columns then settle entries of one moment.
    """
    moment = cast("InstrumentedAttribute[datetime]", EntrySubject.moment)  # never NULL between two bounds
    order = (moment, EntrySubject.origin_id, EntrySubject.entry_id)
    mine, other = EntrySubject.occupant_id, EntrySubject.enclosure_id
    if not by_occupant:
        mine, other = other, mine
    conditions = [
        mine == bindparam("subject"),
        other.is_(None),
        EntrySubject.mood == bindparam("mood"),
        moment >= bindparam("low"),
        moment <= bindparam("high"),
        tuple_(*order[:2]) >= _edge("start", 2),
        tuple_(*order[:2]) <= _edge("end", 2),
        tuple_(*order) < _edge("before", 3),
        is_current(EntrySubject.entry_id),
    ]
    walk = select(*order).where(*conditions)
    of_kind = [walk.where(EntrySubject.kind == bindparam(f"kind_{place}")) for place in range(kinds)]
    if kinds > 1:
        return union_all(*of_kind)
    newest_first = (of_kind[0] if of_kind else walk).order_by(*(column.desc() for column in order))
    return newest_first.limit(bindparam("limit", type_=Integer()))


def _edge(name: str, size: int) -> Tuple:
    types = (DateTime(), Integer(), Integer())[:size]
    return tuple_(*(bindparam(f"{name}_{place}", type_=column) for place, column in enumerate(types)))
