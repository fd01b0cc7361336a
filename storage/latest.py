"""What matters now of a whole collection, in a few statements: for everybody who lives in it and every place in use.

Of each kind the newest entries, and everything since a day. The search goes along the index of each subject and kind and touches
only what it gives back, so that it costs the same after five years as after one. An entry about a place counts for an occupant
for as long as it lived there (as in storage.walks), through its present home and the latest of its earlier ones.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple, cast

from sqlalchemy import DateTime, String, Text, and_, exists, func, literal, select, true, type_coerce, union, union_all
from sqlalchemy.orm import aliased

from storage import moments
from storage.current import is_current
from storage.entries import Subject
from storage.scopes import Scope, about, enclosures, living, occupants
from storage.tables import REPEATING, Entry, EntrySubject, Occupant, StayRecord

__all__ = ["EARLIER_HOMES", "Home", "Latest", "Mark", "Noted", "Scope", "ToldPlan", "latest", "plans"]

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date, datetime, time

    from sqlalchemy import CTE, ColumnElement, CompoundSelect, ScalarSelect, Select
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
    cleans. Six statements at most, however large the collection. Entries without a day are left out.
    """
    low = moments.day_start(since)
    own = _found(session, occupants(scope), low, each, by_occupant=True)
    placed = _found(session, enclosures(scope), low, each, by_occupant=False)
    earlier = _found(session, _earlier_homes(scope), low, each, by_occupant=False)
    if marks:
        _add_marked(session, own, occupants(scope), marks, by_occupant=True)
        _add_marked(session, placed, enclosures(scope), marks, by_occupant=False)
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


@dataclass(frozen=True, slots=True)
class ToldPlan:
    """A plan, when it was told, and whom it names."""

    note: Noted
    told_at: datetime
    subjects: tuple[Subject, ...]


def plans(session: Session, collection_id: int, since: date) -> list[ToldPlan]:
    """Current plans in the order told: those without a day, those from `since` on, and older ones that repeat."""
    wanted = (
        select(*_COLUMNS, Entry.told_at, EntrySubject.occupant_id, EntrySubject.enclosure_id)
        .outerjoin(EntrySubject, and_(EntrySubject.entry_id == Entry.id, EntrySubject.named))
        .where(Entry.id.in_(_plan_ids(collection_id, since)), Entry.mood == "plan", is_current(Entry.id))
        .order_by(Entry.id, EntrySubject.position)
    )
    found: dict[int, tuple[Noted, datetime]] = {}
    subjects: dict[int, list[Subject]] = defaultdict(list)
    for *columns, told_at, occupant_id, enclosure_id in session.execute(wanted):
        note = Noted._make(columns)
        found[note.id] = note, told_at
        if occupant_id is not None or enclosure_id is not None:
            subjects[note.id].append(Subject(occupant_id, enclosure_id))
    return [ToldPlan(note, told_at, tuple(subjects[note.id])) for note, told_at in found.values()]


def _plan_ids(collection_id: int, since: date) -> CompoundSelect[Any]:
    """The plans that may still matter, each sort by its own index; superseded and retracted ones among them."""
    told = select(Entry.id).where(Entry.collection_id == collection_id)
    planned = told.where(Entry.mood == "plan")
    recent = planned.where(Entry.moment >= moments.day_start(since))
    return union(planned.where(Entry.moment.is_(None)), recent, told.where(REPEATING))


def _found(session: Session, spans: CTE, low: datetime, each: int, *, by_occupant: bool) -> dict[int, list[Noted]]:
    """Entries found for each subject; a span that was asked for twice gives its entries twice."""
    found: dict[int, list[Noted]] = defaultdict(list)
    for subject_id, *columns in session.execute(_statement(spans, low, each, by_occupant=by_occupant)):
        if columns[0] is not None:
            found[subject_id].append(Noted._make(columns))
    return found


def _statement(spans: CTE, low: datetime, each: int, *, by_occupant: bool) -> Select[*tuple[Any, ...]]:
    """Entries of each span: of every kind present in it, from the `each`-th newest or from `low` on, whichever is earlier."""
    kinds = _kinds_present(spans, by_occupant=by_occupant)
    subject, of_kind = kinds.c.subject, kinds.c.kind
    newest = select(_moment).where(
        *about(EntrySubject, subject, by_occupant=by_occupant),
        EntrySubject.kind == of_kind,
        _moment >= kinds.c.low,
        _moment <= kinds.c.high,
        is_current(EntrySubject.entry_id),
    )
    newest = newest.order_by(_moment.desc()).limit(each).correlate(kinds)
    either = union_all(select(literal(low, DateTime()).label("moment")), select(newest.subquery().c.moment)).subquery()
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
    joined = select(subject, *_COLUMNS).select_from(kinds).outerjoin(mine, wanted)
    return joined.outerjoin(Entry, Entry.id == mine.entry_id)


def _add_marked(
    session: Session, found: dict[int, list[Noted]], spans: CTE, marks: Sequence[Mark], *, by_occupant: bool
) -> None:
    """Add to each subject's entries the newest of each mark; those that are there already come twice."""
    wanted = union_all(*(select(*_mark_columns(mark)) for mark in marks)).cte("marks")
    newest = (
        select(EntrySubject.entry_id)
        .join(_told, _told.id == EntrySubject.entry_id)
        .where(*about(EntrySubject, spans.c.subject, by_occupant=by_occupant))
        .where(EntrySubject.kind == wanted.c.kind, wanted.c.low <= _moment, is_current(EntrySubject.entry_id))
        .where(type_coerce(_told.fields, Text()).contains(wanted.c.text))
        .order_by(_moment.desc(), EntrySubject.origin_id.desc(), EntrySubject.entry_id.desc())
        .limit(1)
        .correlate(spans, wanted)
        .scalar_subquery()
    )
    each = spans.join(wanted, true())
    statement = select(spans.c.subject, *_COLUMNS).select_from(each).outerjoin(Entry, Entry.id == newest)
    for subject_id, *columns in session.execute(statement):
        if columns[0] is not None:
            found[subject_id].append(Noted._make(columns))


def _mark_columns(mark: Mark) -> tuple[ColumnElement[Any], ...]:
    low = literal(moments.day_start(mark.since), DateTime())
    return literal(mark.kind).label("kind"), literal(mark.text).label("text"), low.label("low")


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


def _earlier_homes(scope: Scope) -> CTE:
    stay = _latest_stays(scope)
    edges = (stay.c.from_moment.label("low"), stay.c.until_moment.label("high"))
    return select(stay.c.enclosure_id.label("subject"), *edges).where(stay.c.until_moment < moments.END).cte("spans")


def _latest_stays(scope: Scope) -> CTE:
    """The latest stays of each living occupant, whose number does not grow however often it moves."""
    newest_first = (StayRecord.until_moment.desc(), StayRecord.until_origin.desc())
    number = func.row_number().over(partition_by=StayRecord.occupant_id, order_by=newest_first).label("number")
    numbered = select(StayRecord, number).join(Occupant, Occupant.id == StayRecord.occupant_id)
    numbered_stays = numbered.where(StayRecord.collection_id == scope.collection_id, *living(scope)).cte()
    return select(numbered_stays).where(numbered_stays.c.number <= EARLIER_HOMES + 1).cte("latest_stays")


def _stays(session: Session, scope: Scope) -> dict[int, list[_Stay]]:
    stay = _latest_stays(scope)
    edges = (stay.c.from_moment, stay.c.from_origin, stay.c.until_moment, stay.c.until_origin)
    wanted = select(stay.c.occupant_id, stay.c.enclosure_id, stay.c.entry_id, stay.c.since, *edges)
    lived: dict[int, list[_Stay]] = defaultdict(list)
    for row in session.execute(wanted):
        lived[row[0]].append(_Stay._make(row))
    return lived


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
_second = aliased(EntrySubject)
_told = aliased(Entry)
_COLUMNS = (
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
