"""The keeper's own rules, which stand above the care sheet: intervals, bands, stops, told in the keeper's words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from bot.care.facts import Fact, middle, order
from bot.care.sheet import CareSheet, Sourced, Span
from bot.care.words import full_day

SHEET_TASKS: Mapping[str, str] = {
    "feeding": "feeding",
    "misting": "misting",
    "watering": "watering",
    "cleaning": "cleaning",
    "recount": "recount",
    "count": "recount",
}
"""Kinds of plan that set the interval of a task of the sheet, with that task."""

NO_PLANS = frozenset({"stop", "rule", "away", "skip"})
"""Entries of mood plan that are rules and no tasks."""


@dataclass(frozen=True, slots=True)
class Stop:
    """No reminders of a task (`of` None: of none at all) from the day it was told, up to but not including `until`."""

    of: str | None
    since: date
    until: date | None
    fact: Fact


@dataclass(frozen=True, slots=True)
class Rules:
    """What the keeper has laid down for one ward; later words replace earlier ones.

    `repeats` are the repeating plans by task, `dated` the plans for one day. `bands` holds humidity_pct and temperature_c,
    `amounts` light or heavy by task, `numbers` settling_days and look_in_days; each with the fact that says it.
    `skips` are single occurrences let go.
    """

    repeats: Mapping[str, Fact] = field(default_factory=dict)
    dated: tuple[Fact, ...] = ()
    stops: tuple[Stop, ...] = ()
    bands: Mapping[str, Fact] = field(default_factory=dict)
    amounts: Mapping[str, Fact] = field(default_factory=dict)
    numbers: Mapping[str, Fact] = field(default_factory=dict)
    skips: tuple[Fact, ...] = ()


def rules_of(facts: Iterable[Fact]) -> Rules:
    """Read the rules from the plans that still hold, in the order in which they were told."""
    rules = Rules()
    for fact in sorted(facts, key=order):  # what was brought in later may have been told earlier
        rules = _with(rules, fact)
    return rules


def task_of(fact: Fact) -> str:
    """Name the task that a plan sets: its kind, a measurement with what is measured, a note with its words."""
    kind = SHEET_TASKS.get(fact.kind, fact.kind)
    if kind == "cleaning" and fact.fields.get("scope") == "full":
        return "full cleaning"
    if kind == "measurement":
        return f"{kind} {fact.fields.get('measure') or ''}".strip()
    return f"note {fact.fields.get('text') or fact.words}" if kind == "note" else kind


def covers(stop: Stop, kind: str) -> bool:
    """Whether a stop is for a kind of task."""
    return stop.of is None or SHEET_TASKS.get(stop.of, stop.of) == SHEET_TASKS.get(kind, kind)


def own_words(fact: Fact) -> str:
    """Name the keeper's own words as a source: "your own words, 2 Mar 2026"."""
    return f"your own words, {full_day(fact.told)}"


def effective(sheet: CareSheet, rules: Rules) -> CareSheet:
    """The sheet with the keeper's own values put in, each with the keeper's words as its source."""
    changed: dict[str, object] = {}
    for name, fact in rules.bands.items():
        low, high = fact.fields[name]
        changed[name] = Sourced((float(low), float(high)), own_words(fact))
    for name, fact in rules.numbers.items():
        value = fact.fields[name]
        changed[name] = Sourced(int(value) if name == "settling_days" else tuple(map(int, value)), own_words(fact))
    for name, field_name in (("misting", "misting"), ("watering", "watering"), ("recount", "recount")):
        if name in rules.repeats:
            changed[field_name] = _interval(rules.repeats[name])
    if "misting" in rules.amounts:
        fact = rules.amounts["misting"]
        changed["misting_amount"] = Sourced(str(fact.fields["amount"]), own_words(fact))
    if "cleaning" in rules.repeats:
        changed["spot_clean"] = _interval(rules.repeats["cleaning"])
    if "full cleaning" in rules.repeats:
        changed["full_clean"] = _interval(rules.repeats["full cleaning"])
    if "feeding" in rules.repeats:
        interval = _interval(rules.repeats["feeding"])
        changed["rows"] = tuple(replace(row, feeding=interval) for row in sheet.rows)
    return replace(sheet, **changed)  # type: ignore[arg-type]  # names and values are paired just above


def _interval(fact: Fact) -> Sourced[Span]:
    days = float(fact.fields["every_days"])
    return Sourced((days, days), own_words(fact))


def _with(rules: Rules, fact: Fact) -> Rules:
    if fact.kind == "rule":
        return _ruled(rules, fact)
    if fact.kind == "stop":
        return _stopped(rules, fact)
    if fact.kind == "skip":
        return replace(rules, skips=(*rules.skips, fact))
    if fact.kind == "away":
        return rules
    if middle(fact.fields.get("every_days")) is not None:
        return _repeated(rules, fact)
    return replace(rules, dated=(*rules.dated, fact))


def _repeated(rules: Rules, fact: Fact) -> Rules:
    """A repeat replaces the earlier one of its task, and takes up again what was stopped."""
    task = task_of(fact)
    amounts = dict(rules.amounts)
    if fact.fields.get("amount"):
        amounts[task] = fact
    stops = tuple(stop for stop in rules.stops if stop.of is None or not covers(stop, fact.kind))
    return replace(rules, repeats={**rules.repeats, task: fact}, amounts=amounts, stops=stops)


def _stopped(rules: Rules, fact: Fact) -> Rules:
    """A stop without an end does away with the plans of its kind told before it; one with an end holds them."""
    told = fact.fields.get("until")
    until = date.fromisoformat(told) if isinstance(told, str) else told or fact.on
    stop = Stop(fact.fields.get("of"), fact.told, until, fact)
    rules = replace(rules, stops=(*(old for old in rules.stops if old.of != stop.of), stop))
    if until is not None:
        return rules
    dated = tuple(plan for plan in rules.dated if not covers(stop, plan.kind))
    repeats = {task: plan for task, plan in rules.repeats.items() if not covers(stop, plan.kind)}
    return replace(rules, dated=dated, repeats=repeats)


def _ruled(rules: Rules, fact: Fact) -> Rules:
    fields = fact.fields
    if fields.get("back"):
        others = {task: plan for task, plan in rules.repeats.items() if plan.kind not in SHEET_TASKS}
        return Rules(repeats=others, dated=rules.dated, skips=rules.skips)
    if fields.get("resume"):
        of = fields.get("task")
        return replace(rules, stops=tuple(stop for stop in rules.stops if of is not None and not covers(stop, of)))
    if fields.get("task") and fields.get("every_days") is not None:
        rules = _repeated(rules, replace(fact, kind=str(fields["task"])))
    elif fields.get("task") and fields.get("amount"):
        rules = replace(rules, amounts={**rules.amounts, str(fields["task"]): fact})
    bands = {name: fact for name in ("humidity_pct", "temperature_c") if _is_band(fields.get(name))}
    numbers = {name: fact for name in ("settling_days", "look_in_days") if fields.get(name) is not None}
    return replace(rules, bands={**rules.bands, **bands}, numbers={**rules.numbers, **numbers})


def _is_band(value: object) -> bool:
    return isinstance(value, list | tuple) and len(value) == 2 and None not in value
