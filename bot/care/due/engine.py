"""The due engine: everything that is to be done for a ward, with its state, its reason and what it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from itertools import chain

from bot.care.due.holds import Hold, away_hold, governing, stop_hold
from bot.care.due.model import DUE, HELD, NOT_YET, OVERDUE, Away, Task, Ward
from bot.care.due.routine import Routine, routines
from bot.care.due.scene import Scene, scene_of
from bot.care.due.single import LEFTOVERS, dated, leftovers, looking_in, passed_limit
from bot.care.words import short_day


def tasks(ward: Ward, now: datetime, away: Sequence[Away] = ()) -> tuple[Task, ...]:
    """All tasks of a ward at a local moment: live prey first, then by the sheet, own repeats, look-ins, plans for a day.

    A closed or empty enclosure has none. A plan for a day that has come takes the place of the sheet's own task of its kind.
    """
    if ward.empty:
        return ()
    scene = scene_of(ward, now, away)
    planned = tuple(dated(scene))
    taken = {one.kind for one in planned if one.days is not None and one.days[0] <= scene.today}
    coming = chain(leftovers(scene), (one for one in routines(scene) if one.plan or one.kind not in taken))
    once = chain(looking_in(scene), passed_limit(scene), planned)
    return tuple(_task(scene, one) for one in chain(coming, once))


def _task(scene: Scene, one: Routine) -> Task:
    state = _state(one.days, scene.today)
    holds = [*one.holds, *_general(scene, one, state)]
    if holds:
        return _held(scene, one, holds)
    return _made(scene, one, state, one.days, None, _reason(one))


def _state(days: tuple[date, date] | None, today: date) -> str:
    if days is None or today < days[0]:
        return NOT_YET
    return DUE if today <= days[1] else OVERDUE


def _general(scene: Scene, one: Routine, state: str) -> Iterator[Hold]:
    """Stops hold whatever they name; a holiday holds what would be due.

    Live prey still in there is asked about all the same: it can injure a moulting animal, and "no reminders" is about chores.
    """
    asked = scene.rules.stops and one.kind != LEFTOVERS
    stop = stop_hold(scene, "check" if one.kind == "look-in" else one.kind, one.plan) if asked else None
    if stop is not None:
        yield stop
    if state in {DUE, OVERDUE} and scene.away and (hold := away_hold(scene)) is not None:
        yield hold


def _held(scene: Scene, one: Routine, holds: list[Hold]) -> Task:
    hold = governing(holds)
    until = hold.until
    days = None
    if until is not None and one.days is not None:
        days = (max(one.days[0], until), max(one.days[1], until))
    head = f"held until {short_day(until, scene.today)}" if until else "held"
    if hold.what == "humidity":
        head = "skipped"
    because = "; ".join(one.because for one in (hold, *(other for other in holds if other is not hold)))
    return _made(scene, one, HELD, days, hold, f"{head}: {because}", [fact.id for one in holds for fact in one.facts])


def _reason(one: Routine) -> str:
    return f"{one.words}; {one.note}" if one.note else one.words


def _made(
    scene: Scene,
    one: Routine,
    state: str,
    days: tuple[date, date] | None,
    hold: Hold | None,
    reason: str,
    held_by: Sequence[int] = (),
) -> Task:
    plan = one.plan
    rests = dict.fromkeys([*(fact.id for fact in one.facts), *held_by, *([plan.id] if plan else [])])
    return Task(
        ward=scene.ward.name,
        place=scene.ward.place,
        kind=one.kind,
        state=state,
        earliest=days[0] if days else None,
        latest=days[1] if days else None,
        until=hold.until if hold else None,
        reason=reason,
        rests_on=tuple(rests),
        plan=plan.id if plan else None,
        at=plan.at if plan else None,
        part=plan.part if plan else _PARTS.get(one.kind),
        reckoned=one.days[0] if one.days else None,
        hold=hold.what if hold else None,
        does=dict(one.does),
    )


_PARTS = {"look-in": "evening", "leftovers": "morning"}
"""Parts of the day that belong to a task: spiders are nocturnal, and live prey is taken out the next morning."""
