"""What matters now of a whole collection, in a few statements: for everybody who lives in it and every place in use.

Of each kind the newest entries, and everything since a day. The search goes along the index of each subject and kind and touches
only what it gives back, so that it costs the same after five years as after one. An entry about a place counts for an occupant
for as long as it lived there (as in storage.walks), through its present home and the latest of its earlier ones.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple, cast

from sqlalchemy import (
    DateTime,
    Integer,
    String,
    Text,
    and_,
    bindparam,
    exists,
    func,
    select,
    type_coerce,
    union_all,
)
from sqlalchemy.orm import aliased

from storage import moments
from storage.current import is_current
from storage.scopes import Scope, about, enclosures, living, occupants
from storage.tables import Entry, EntrySubject, Occupant, StayRecord

__all__ = ["COLUMNS", "EARLIER_HOMES", "Home", "Latest", "Mark", "Noted", "Scope", "latest"]

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date, datetime, time

    from sqlalchemy import CTE, ColumnElement, ScalarSelect, Select
    from sqlalchemy.orm import InstrumentedAttribute, Session

EARLIER_HOMES = 4
"""Of an occupant that has moved often, how many earlier homes are looked through for entries told of the place."""


class Noted(NamedTuple):
    """The parts of a current entry by which care is reckoned, as in EntryRow.

    `moment` is None for a plan without a day. `together`: its words named several subjects.
    """

    id: int
    kind: str
    mood: str
    on: date | None
    at: time | None
    part: str | None
    moment: datetime | None
    origin_id: int
    fields: Mapping[str, Any]
    words: str
    together: bool


@dataclass(frozen=True, slots=True)
class Home:
    """Where an occupant lives: since when (None: since before the records), and the entry that placed it there."""

    enclosure_id: int
    since: date | None
    entry_id: int


@dataclass(frozen=True, slots=True)
class Latest:
    """Newest first: what counts for each living occupant, and what was told of each place in use by its own name."""

    of_occupants: Mapping[int, Sequence[Noted]]
    of_enclosures: Mapping[int, Sequence[Noted]]
    homes: Mapping[int, Home]


@dataclass(frozen=True, slots=True)
class Mark:
    """Entries of a kind whose fields hold a text as JSON has it ('"scope": "full"'), from a day on."""

    kind: str
    text: str
    since: date


def latest(session: Session, scope: Scope, since: date, each: int, marks: Sequence[Mark] = ()) -> Latest:
    """Of each occupant and enclosure in scope the `each` newest entries of every kind, and all from `since` on.

    Of each mark the newest entry comes too, however many others of its kind are newer: a yearly full clean among weekly spot
    cleans. Four statements and two for each mark, however large the collection. Entries without a day are left out.
    """
    of = {**scope.values, "since": moments.day_start(since), "each": each}
    own = _found(session, _statement("occupants", some=scope.some), of)
    placed = _found(session, _statement("enclosures", some=scope.some), of)
    earlier = _found(session, _statement("earlier homes", some=scope.some), of)
    for mark in marks:
        values = {**scope.values, "mark": mark.kind, "text": mark.text, "since": moments.day_start(mark.since)}
        _add(own, _found(session, _marked("occupants", some=scope.some), values))
        _add(placed, _found(session, _marked("enclosures", some=scope.some), values))
    lived = _stays(session, scope)
    of_occupants = {
        occupant_id: {
            note.id: note
            for stay in lived.get(occupant_id, ())
            for note in (placed if stay.lasts else earlier).get(stay.enclosure_id, ())
            if _within(stay, note)
        }
        for occupant_id in {*own, *lived}
    }
    for occupant_id, notes in own.items():
        of_occupants[occupant_id].update({note.id: note for note in notes})
    homes = {stay.occupant_id: stay for stays in lived.values() for stay in stays if stay.lasts}
    return Latest(
        {occupant_id: _newest_first(notes.values()) for occupant_id, notes in of_occupants.items()},
        {
            enclosure_id: _newest_first({note.id: note for note in notes}.values())
            for enclosure_id, notes in placed.items()
        },
        {key: Home(stay.enclosure_id, stay.since, stay.entry_id) for key, stay in homes.items()},
    )


def _found(session: Session, statement: Select[*tuple[Any, ...]], values: Mapping[str, Any]) -> dict[int, list[Noted]]:
    """Entries found for each subject; a span that was asked for twice gives its entries twice."""
    found: dict[int, list[Noted]] = defaultdict(list)
    for subject_id, *columns in session.execute(statement, values):
        if columns[0] is not None:
            found[subject_id].append(Noted._make(columns))
    return found


def _add(found: dict[int, list[Noted]], more: Mapping[int, list[Noted]]) -> None:
    """Add to each subject's entries; those that are there already come twice."""
    for subject_id, notes in more.items():
        found[subject_id] += notes


def _spans(whose: str, *, some: bool) -> tuple[CTE, bool]:
    """Whose entries are looked for, and whether these are occupants."""
    if whose == "occupants":
        return occupants(some=some), True
    return (enclosures if whose == "enclosures" else _earlier_homes)(some=some), False


@cache
def _statement(whose: str, *, some: bool) -> Select[*tuple[Any, ...]]:
    """Entries of each span: of every kind present in it, from the `each`-th newest or from `since` on, whichever is earlier.

    Made once, as `_marked` is: making it costs more than running it.
    """
    spans, by_occupant = _spans(whose, some=some)
    kinds = _kinds_present(spans, by_occupant=by_occupant)
    subject, of_kind = kinds.c.subject, kinds.c.kind
    newest = select(_moment).where(
        *about(EntrySubject, subject, by_occupant=by_occupant),
        EntrySubject.kind == of_kind,
        _moment >= kinds.c.low,
        _moment <= kinds.c.high,
        is_current(EntrySubject.entry_id),
    )
    newest = newest.order_by(_moment.desc()).limit(bindparam("each", type_=Integer())).correlate(kinds)
    either = union_all(select(_SINCE.label("moment")), select(newest.subquery().c.moment)).subquery()
    floor = select(func.min(either.c.moment)).scalar_subquery()
    mine = aliased(EntrySubject, name="mine")
    wanted = and_(
        *about(mine, subject, by_occupant=by_occupant),
        mine.kind == of_kind,
        mine.moment >= floor,
        mine.moment <= kinds.c.high,
        is_current(mine.entry_id),
    )
    # Outer joins hold the database to this order: subjects, then their stretch of the index, then the entries.
    joined = select(subject, *COLUMNS).select_from(kinds).outerjoin(mine, wanted)
    return joined.outerjoin(Entry, Entry.id == mine.entry_id)


@cache
def _marked(whose: str, *, some: bool) -> Select[*tuple[Any, ...]]:
    """The newest entry of each subject that bears a mark."""
    spans, by_occupant = _spans(whose, some=some)
    newest = (
        select(EntrySubject.entry_id)
        .join(_told, _told.id == EntrySubject.entry_id)
        .where(*about(EntrySubject, spans.c.subject, by_occupant=by_occupant))
        .where(EntrySubject.kind == bindparam("mark"), _moment >= _SINCE, is_current(EntrySubject.entry_id))
        .where(type_coerce(_told.fields, Text()).contains(bindparam("text", type_=Text())))
        .order_by(_moment.desc(), EntrySubject.origin_id.desc(), EntrySubject.entry_id.desc())
        .limit(1)
        .correlate(spans)
        .scalar_subquery()
    )
    return select(spans.c.subject, *COLUMNS).select_from(spans).outerjoin(Entry, Entry.id == newest)


def _kinds_present(spans: CTE, *, by_occupant: bool) -> CTE:
    """The kinds told of each subject, one step along the index for each: (subject, low, high, kind), kind None at the end."""
    edges = (spans.c.subject, spans.c.low, spans.c.high)
    first = select(*edges, _next_kind(spans.c.subject, None, by_occupant=by_occupant).label("kind"))
    present = first.cte("present", recursive=True)
    following = _next_kind(present.c.subject, present.c.kind, by_occupant=by_occupant)
    step = select(present.c.subject, present.c.low, present.c.high, following).where(present.c.kind.is_not(None))
    return present.union_all(step)


def _next_kind(subject: ColumnElement[int], kind: ColumnElement[str] | None, *, by_occupant: bool) -> ScalarSelect[str]:
    wanted = select(func.min(EntrySubject.kind)).where(*about(EntrySubject, subject, by_occupant=by_occupant))
    return (wanted if kind is None else wanted.where(EntrySubject.kind > kind)).scalar_subquery()


def _earlier_homes(*, some: bool) -> CTE:
    stay = _latest_stays(some=some)
    edges = (stay.c.from_moment.label("low"), stay.c.until_moment.label("high"))
    return select(stay.c.enclosure_id.label("subject"), *edges).where(stay.c.until_moment < moments.END).cte("spans")


def _latest_stays(*, some: bool) -> CTE:
    """The latest stays of each living occupant, whose number does not grow however often it moves."""
    newest_first = (StayRecord.until_moment.desc(), StayRecord.until_origin.desc())
    number = func.row_number().over(partition_by=StayRecord.occupant_id, order_by=newest_first).label("number")
    numbered = select(StayRecord, number).join(Occupant, Occupant.id == StayRecord.occupant_id)
    numbered_stays = numbered.where(StayRecord.collection_id == bindparam("of_collection"), *living(some=some)).cte()
    return select(numbered_stays).where(numbered_stays.c.number <= EARLIER_HOMES + 1).cte("latest_stays")


def _stays(session: Session, scope: Scope) -> dict[int, list[_Stay]]:
    lived: dict[int, list[_Stay]] = defaultdict(list)
    for row in session.execute(_stays_statement(some=scope.some), scope.values):
        lived[row[0]].append(_Stay._make(row))
    return lived


@cache
def _stays_statement(*, some: bool) -> Select[*tuple[Any, ...]]:
    stay = _latest_stays(some=some)
    edges = (stay.c.from_moment, stay.c.from_origin, stay.c.until_moment, stay.c.until_origin)
    return select(stay.c.occupant_id, stay.c.enclosure_id, stay.c.entry_id, stay.c.since, *edges)


class _Stay(NamedTuple):
    occupant_id: int
    enclosure_id: int
    entry_id: int
    since: date | None
    from_moment: datetime
    from_origin: int
    until_moment: datetime
    until_origin: int

    @property
    def lasts(self) -> bool:
        """Whether it lives there now."""
        return self.until_moment == moments.END


def _within(stay: _Stay, note: Noted) -> bool:
    # Both ends are included: the move that ends a stay belongs to the place that was left, too.
    place = (note.moment or moments.BEGINNING, note.origin_id)
    return (stay.from_moment, stay.from_origin) <= place <= (stay.until_moment, stay.until_origin)


def _newest_first(notes: Iterable[Noted]) -> list[Noted]:
    return sorted(notes, key=lambda note: (note.moment or moments.BEGINNING, note.origin_id, note.id), reverse=True)


_moment = cast("InstrumentedAttribute[datetime]", EntrySubject.moment)  # never NULL between two bounds
_SINCE = bindparam("since", type_=DateTime())
_second = aliased(EntrySubject)
_told = aliased(Entry)
COLUMNS = (
    Entry.id,
    type_coerce(Entry.kind, String()),  # of our own making, and never escaped
    type_coerce(Entry.mood, String()),
    Entry.on,
    Entry.at,
    type_coerce(Entry.part, String()),
    Entry.moment,
    func.coalesce(Entry.origin_id, Entry.id),
    Entry.fields,
    Entry.words,
    exists().where(_second.entry_id == Entry.id, _second.position == 1, _second.named),
)
"""What a statement selects for a Noted."""
