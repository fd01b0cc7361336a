"""The animals and places of a collection as the due engine takes them, and its tasks in the order in which one walks the shelves.

Everybody who lives alone is one ward with its enclosure. Of those who share an enclosure each is a ward; the care of the place
itself (misting, water, cleaning) goes by the one that has lived there longest and is told under the place's name, and so are
plans for one day that name the place. Plans that name nobody make one more ward, without a name.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from bot.answers.view import Place, View
from bot.answers.ward_book import PLACE_TASKS, Book, Told, by_subject, heads_of
from bot.care.days import shifted
from bot.care.due import Away, Fact, Task, Ward, tasks
from storage.latest import Latest, Mark, Scope, latest
from storage.plans import ToldPlan, plans

WINDOW = 60
"""Everything of these days is looked at, and of each kind at least the `EACH` newest entries."""

EACH = 6

MARKS = (
    ("cleaning", '"scope": "full"', 400),
    ("measurement", '"measure": "body"', 1100),
    ("measurement", '"measure": "legspan"', 1100),
    ("observation", '"premoult"', 100),
)
"""Seldom entries among many others of their kind, each looked for this many days back (as long as the care sheets ask)."""

PLANS_KEPT = 366
"""A plan for one day that nobody has answered for a year is forgotten; repeating ones hold for good."""

_SHELF = re.compile(
    r"\b(?:shel(?:f|ves)|racks?|rows?|bays?|cabinets?|tables?|benches|bench|walls?|rooms?)\b", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Round:
    """All that a look at some wards needs: the wards in walking order, and the days on which the keeper is away."""

    wards: tuple[Ward, ...]
    away: tuple[Away, ...]


def wards(view: View, subjects: Sequence[str] = ()) -> list[Ward]:
    """The wards of the places named (of their roster names; none: of the whole collection), in walking order."""
    return list(make_round(view, subjects).wards)


def away(view: View) -> tuple[Away, ...]:
    """The days on which the keeper is away, as told."""
    return _away(_plans(view))


def due_list(view: View, subjects: Sequence[str] = ()) -> list[Task]:
    """Every task, whatever its state, of those named (none: of the whole collection), in walking order."""
    asked = names_asked(view, subjects)
    return [task for task in tasks_of(view, make_round(view, subjects)) if not asked or task.ward in asked]


def tasks_of(view: View, made: Round) -> list[Task]:
    """Every task of a round that is made already, in walking order."""
    now = local_now(view)
    shared = {place.enclosure.name for place in view.places if place.enclosure and len(place.residents) > 1}
    return [_of_place(task, shared) for ward in made.wards for task in tasks(ward, now, made.away)]


def make_round(view: View, subjects: Sequence[str] = ()) -> Round:
    """The wards as `wards` gives them, the head count of a group only where a moult asks for it."""
    places = _places(view, subjects)
    scope = Scope(view.collection_id, *(_ids(places) if subjects else (None, None)))
    noted = latest(view.session, scope, shifted(view.today, -WINDOW), EACH, _marks(view))
    told = _plans(view)
    book = Book(view, noted, by_subject(told), tuple(fact for fact, named in told if not named))
    found = [ward for place in places for ward in book.wards_of(place)]
    if not subjects:
        found += book.nobodys()
    return Round(tuple(found), _away(told))


def bare_wards(view: View, subjects: Sequence[str]) -> list[Ward]:
    """The wards of those named with their sheets and rules alone: no entry is looked up."""
    told = _plans(view)
    book = Book(view, Latest({}, {}, {}), by_subject(told), tuple(fact for fact, named in told if not named))
    return [ward for place in _places(view, subjects) for ward in book.wards_of(place)]


def with_heads(view: View, made: Round, names: Container[str] | None = None) -> Round:
    """The round with the head count of every group, or of those named."""
    groups = {one.name: one for place in view.places for one in place.residents}

    def counted(ward: Ward) -> Ward:
        wanted = ward.count is None and ward.name in groups and (names is None or ward.name in names)
        return replace(ward, count=heads_of(view, groups[ward.name])) if wanted else ward

    return replace(made, wards=tuple(counted(ward) for ward in made.wards))


def local_now(view: View) -> datetime:
    """The keeper's wall time, as the reckoning of care takes it."""
    return view.now.astimezone(view.zone).replace(tzinfo=None)


def names_asked(view: View, subjects: Iterable[str]) -> frozenset[str]:
    """Ward names that a question means: a name, the place where it lives, and for a place all who live there."""
    asked: set[str] = set()
    for target in view.targets(subjects) if subjects else ():
        asked.update(one.name for one in (target, *view.animals(target)))
        if target.occupant is not None:
            asked.update(
                place.enclosure.name for place in view.places if place.enclosure and target.occupant in place.residents
            )
    return frozenset(asked)


def _of_place(task: Task, shared: set[str]) -> Task:
    return replace(task, ward=task.place) if task.place in shared and task.kind in PLACE_TASKS else task


def _places(view: View, subjects: Sequence[str]) -> list[Place]:
    """Places in walking order: by shelf, those of one shelf and those without as they stand on the roster."""
    asked = names_asked(view, subjects)
    found = [
        place
        for place in view.places
        if not asked
        or asked & {one.name for one in place.residents}
        or (place.enclosure and place.enclosure.name in asked)
    ]
    return sorted(found if asked or not subjects else [], key=_shelf)


def _shelf(place: Place) -> tuple[bool, tuple[tuple[bool, int, str], ...]]:
    tags = place.enclosure.tags if place.enclosure else ()
    shelf = next((tag for tag in tags if _SHELF.search(tag)), None)
    parts = re.findall(r"\d+|\D+", (shelf or "").casefold())
    natural = tuple((part.isdigit(), int(part) if part.isdigit() else 0, part) for part in parts)
    return shelf is None, natural  # "shelf 2" before "shelf 10"


def _ids(places: Iterable[Place]) -> tuple[frozenset[int], frozenset[int]]:
    places = list(places)
    occupants = frozenset(one.id for place in places for one in place.residents)
    return occupants, frozenset(place.enclosure.id for place in places if place.enclosure)


def _marks(view: View) -> tuple[Mark, ...]:
    return tuple(Mark(kind, text, shifted(view.today, -days)) for kind, text, days in MARKS)


def _plans(view: View) -> list[Told]:
    found = plans(view.session, view.collection_id, shifted(view.today, -PLANS_KEPT))
    return [(_plan(view, one), one.subjects) for one in found]


def _plan(view: View, plan: ToldPlan) -> Fact:
    note, told = plan.note, plan.told_at.astimezone(view.zone).replace(tzinfo=None)
    return Fact(note.id, note.kind, note.mood, note.on, told, note.fields, note.words, note.at, note.part)


def _away(told: Iterable[Told]) -> tuple[Away, ...]:
    facts = [fact for fact, _subjects in told if fact.kind == "away"]
    spans = [(_day(fact.fields.get("since")) or fact.day, _day(fact.fields.get("until")), fact) for fact in facts]
    return tuple(Away(since, until or since, fact.id) for since, until, fact in spans)


def _day(told: object) -> date | None:
    return date.fromisoformat(told) if isinstance(told, str) else told if isinstance(told, date) else None
