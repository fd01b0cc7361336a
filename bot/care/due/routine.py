"""The tasks that come round: those of the care sheet, and the keeper's own repeats of anything else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from bot.care.due.holds import Hold, feeding_holds, few_moulted, humidity_hold
from bot.care.due.repeats import next_days, ranged, repeat_of
from bot.care.due.scene import Scene
from bot.care.facts import Fact
from bot.care.rules import SHEET_TASKS
from bot.care.sheet import Sourced, Span
from bot.care.tasks import answering_kinds
from bot.care.words import days, nth, number, short_day

_PLACE_KINDS = frozenset({"misting", "watering", "cleaning"})
"""Done to the place: what was done before the present stay began was done to another, or for others."""


@dataclass(frozen=True, slots=True)
class Routine:
    """A task that comes round, before its state is settled.

    `days` are its earliest and latest day, None when nothing tells them; `words` say where they come from; `holds` are its
    own, besides stops and holidays.
    """

    kind: str
    days: tuple[date, date] | None
    words: str
    facts: tuple[Fact, ...] = ()
    plan: Fact | None = None
    holds: tuple[Hold, ...] = ()
    does: tuple[tuple[str, object], ...] = ()
    note: str = ""


def routines(scene: Scene) -> Iterator[Routine]:
    """All tasks that come round for a ward, those of the sheet first."""
    if scene.ward.kind != "place":
        yield from _of_sheet(scene)
    for task, plan in scene.rules.repeats.items():
        if task not in _SHEET_TASKS or scene.ward.kind == "place":
            yield _own(scene, plan)


_SHEET_TASKS = frozenset({*SHEET_TASKS.values(), "full cleaning"})


def _of_sheet(scene: Scene) -> Iterator[Routine]:
    sheet = scene.sheet
    yield _feeding(scene)
    if sheet.misting is not None:
        yield _misting(scene, sheet.misting)
    if sheet.watering is not None:
        yield _routine(scene, "watering", sheet.watering, scene.last("watering"))
    yield from _cleaning(scene)
    if sheet.recount is not None and (scene.ward.kind == "group" or "recount" in scene.rules.repeats):
        yield _routine(scene, "recount", sheet.recount, _counted(scene))


def _feeding(scene: Scene) -> Routine:
    routine = _routine(scene, "feeding", scene.row.feeding, scene.last("feeding"))
    moult = scene.last("moult")
    note = ""
    if scene.body is None and len(scene.sheet.rows) > 1 and routine.plan is None:
        note = f"no size is written, about {number(scene.sheet.assumed_mm.value)} mm is assumed"
    elif moult is not None and few_moulted(scene, moult) and scene.row.after_moult is not None:
        wait = scene.row.after_moult.value[1]
        if (scene.today - moult.day).days < wait:
            note = f"some moulted on {nth(moult.day, scene.today)}: pre-killed only"
    return replace(routine, holds=tuple(feeding_holds(scene)), note=note)


def _misting(scene: Scene, interval: Sourced[Span]) -> Routine:
    routine = _routine(scene, "misting", interval, scene.last("misting"))
    hold = None
    if routine.days is not None and routine.days[0] <= scene.today:
        hold = humidity_hold(scene)
    amount = scene.sheet.misting_amount
    does = (("amount", amount.value),) if amount else ()
    return replace(routine, holds=(hold,) if hold else (), does=does)


def _cleaning(scene: Scene) -> Iterator[Routine]:
    """A full clean stands for a spot clean as well, also while it is itself due."""
    sheet, cleanings = scene.sheet, scene.kinds.get("cleaning", ())
    full = next((fact for fact in cleanings if fact.fields.get("scope") == "full"), None)
    whole = None
    if sheet.full_clean is not None:
        whole = _routine(scene, "full cleaning", sheet.full_clean, full)
        whole = replace(whole, kind="cleaning", does=(("scope", "full"),))
    if sheet.spot_clean is not None and not _falls(scene, whole):
        spot = _routine(scene, "cleaning", sheet.spot_clean, scene.last("cleaning"))
        yield spot if spot.plan else replace(spot, does=(("scope", "spot"),))
    if whole is not None:
        yield whole


def _falls(scene: Scene, routine: Routine | None) -> bool:
    return routine is not None and routine.days is not None and routine.days[0] <= scene.today


def _counted(scene: Scene) -> Fact | None:
    told = [fact for kind in ("count", "move") for fact in scene.kinds.get(kind, ()) if fact.fields.get("count")]
    return max(told, key=lambda fact: (fact.moment, fact.id), default=None)


def _routine(scene: Scene, task: str, interval: Sourced[Span], last: Fact | None) -> Routine:
    plan = scene.rules.repeats.get(task)
    kind = "cleaning" if task == "full cleaning" else task
    skipped = _skipped(scene, kind, plan)
    since = scene.ward.since
    base, start = (last.day, "last") if last else (None, "")
    if base is None or (kind in _PLACE_KINDS and since is not None and since > base):
        base, start = since, "there since"
    facts = (last,) if last and base == last.day else ()
    every = f"every {days(*interval.value)}"
    if plan is not None:
        acted = max(filter(None, (last.day if last else None, skipped)), default=None)
        found: tuple[date, date] | None = next_days(repeat_of(plan), acted)
        words = _since(scene, "last" if last else "", last.day if last else None)
        return Routine(kind, found, f"{words}; {every}, {interval.source}", facts, plan)
    counted = max(filter(None, (base, skipped)), default=None)
    found = ranged(counted, *interval.value) if counted else None
    return Routine(kind, found, f"{_since(scene, start, base)}; {every} by the care sheet", facts)


def _since(scene: Scene, start: str, base: date | None) -> str:
    if base is None or not start:
        return "none is written yet"
    said = short_day(base, scene.today)
    return f"last {said}" if start == "last" else f"none is written since {said}"


def _own(scene: Scene, plan: Fact) -> Routine:
    """A repeat of something that the sheet knows nothing of."""
    last = answered_by(scene, plan)
    acted = max(filter(None, (last.day if last else None, _skipped(scene, plan.kind, plan))), default=None)
    words = _since(scene, "last" if last else "", last.day if last else None)
    interval = float(plan.fields["every_days"])
    said = f"{words}; every {days(interval, interval)}, your words of {nth(plan.told, scene.today)}"
    does = tuple((name, plan.fields[name]) for name in DOES if name in plan.fields)
    return Routine(plan.kind, next_days(repeat_of(plan), acted), said, (last,) if last else (), plan, does=does)


DOES = ("to", "measure", "scope", "amount", "prey", "prey_state", "quantity", "text")
"""Fields of a plan that the entry of its act carries as well."""


def answered_by(scene: Scene, plan: Fact) -> Fact | None:
    """The latest act that may answer a plan: one of its kind (of what is measured), or one that names the plan itself."""
    named = [fact for facts in scene.kinds.values() for fact in facts if fact.fields.get("plan") == plan.id]
    measure = plan.fields.get("measure")
    if plan.kind != "note":
        found = [fact for kind in answering_kinds(plan.kind) for fact in scene.kinds.get(kind, ())]
        named += [fact for fact in found if measure is None or fact.fields.get("measure") == measure]
    return max(named, key=lambda fact: (fact.moment, fact.id), default=None)


def _skipped(scene: Scene, kind: str, plan: Fact | None) -> date | None:
    """The latest day on which the keeper let this task go."""
    told = [
        fact.day
        for fact in scene.rules.skips
        if (plan is not None and fact.fields.get("plan") == plan.id)
        or (
            "of" in fact.fields and SHEET_TASKS.get(fact.fields["of"], fact.fields["of"]) == SHEET_TASKS.get(kind, kind)
        )
    ]
    return max(told, default=None)
