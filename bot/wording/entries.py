"""One entry in one line: everything that was written, and nothing that was not.

Each kind's phrase takes the fields it knows out of a copy; what is left over is said by its own name, so that no field
can be dropped without a word.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, time
from typing import Any

from bot.wording.beside import say_beside
from bot.wording.days import say_distance, say_full_day
from bot.wording.laid_down import LAID_DOWN, say_every, say_laid_down
from bot.wording.numbers import (
    join_names,
    plural,
    say_count,
    say_humidity,
    say_measure,
    say_range,
    say_temperature,
)
from bot.wording.terms import MEASURES, SIGNS, TASKS, noun

Unsaid = dict[str, Any]
"""The fields of an entry that the line has not said yet."""

# The journal's own bookkeeping: the names that go with these are said in `to` and the subjects.
INTERNAL = frozenset(
    {
        "to_enclosure_id",
        "new_occupant_id",
        "part_of_group",
        "joined",
        "made_place",
        "restores",
        "to_occupant_id",
        "plan",
    }
)


def say_entry(  # noqa: PLR0913, PLR0917 - an entry's own parts, one argument each, as the parse contract names them
    kind: str,
    subjects: Sequence[str],
    fields: Mapping[str, Any],
    on: date | None,
    at: time | None,
    part: str | None,
    today: date,
    units: str = "metric",
    mood: str = "log",
) -> str:
    """Say an entry (`mood` log) or a plan (`mood` plan) in one line: who, what, and the absolute date.

    "group B: fed 3 pre-killed roaches, partly eaten, Mon 2 Mar 2026, night". A note's own words go in fields["text"].
    """
    who = join_names(subjects)
    if mood == "plan" and kind in LAID_DOWN:
        act, when = _laid_down(kind, fields, units, on, today), []
    else:
        act, when = say_act(kind, fields, units, mood), _days(on, today, mood)
    when += [part] if part else []
    when += [f"{at:%H:%M}"] if at else []
    line = ", ".join([act, *when])
    return f"{who}: {line}" if who else line


def say_act(kind: str, fields: Mapping[str, Any], units: str = "metric", mood: str = "log") -> str:
    """Say what was done or is planned, with every field and without names and date: "fed 3 pre-killed roaches, eaten"."""
    if mood == "plan" and kind in LAID_DOWN:
        return _laid_down(kind, fields, units)
    unsaid = {key: value for key, value in fields.items() if value is not None}
    said = _plan(kind, unsaid, units) if mood == "plan" else _PHRASES.get(kind, _plain)(kind, unsaid, units)
    left = [_left_over(key, value) for key, value in unsaid.items() if key not in INTERNAL]
    return ", ".join([said, *left])


def _laid_down(
    kind: str, fields: Mapping[str, Any], units: str, on: date | None = None, today: date | None = None
) -> str:
    unsaid = {key: value for key, value in fields.items() if value is not None}
    said = say_laid_down(kind, unsaid, units, on, today)
    return ", ".join([said, *(_left_over(key, value) for key, value in unsaid.items() if key not in INTERNAL)])


def _days(on: date | None, today: date, mood: str) -> list[str]:
    """The day of an entry in words; a plan may have none."""
    if on is None:
        return [] if mood == "plan" else ["day not known"]
    return [_absolute(on, today, mood)]


def _absolute(on: date, today: date, mood: str) -> str:
    """Say the full date; a plan's also with its distance, since it is the days ahead that a keeper reckons in."""
    return f"{say_full_day(on)} ({say_distance(on, today)})" if mood == "plan" else say_full_day(on)


def _plan(kind: str, unsaid: Unsaid, units: str) -> str:
    if kind == "skip":
        of = unsaid.pop("of", None) or unsaid.pop("task", None)
        head = "skip this once" if of is None else f"skip {noun(of)} this once"
    elif kind == "note" and "text" in unsaid:
        head = f"plan: {unsaid.pop('text')}"
    elif {"amount", "scope"} & unsaid.keys() and kind in {"misting", "cleaning"}:
        head = f"plan: {_PHRASES[kind](kind, unsaid, units)}"
    else:
        head = f"plan to {TASKS[kind]}" if kind in TASKS else f"plan: {noun(kind)}"
    to = unsaid.pop("to", None)
    parts = [head if to is None else f"{head} to {to}"]
    if {"prey", "quantity", "prey_state"} & unsaid.keys():
        parts.append(_food(unsaid))
    if {"measure", "value"} & unsaid.keys():
        parts.append(_measured(unsaid, units))
    every = unsaid.pop("every_days", None)
    if every is not None:
        parts.append(say_every(every))
    return ", ".join(parts)


def _feeding(_kind: str, unsaid: Unsaid, _units: str) -> str:
    outcome = unsaid.pop("outcome", None)
    food = _food(unsaid)
    verb = "offered" if outcome == "refused" else "fed"
    said = f"{verb} {food}" if food else ("offered food" if outcome == "refused" else "fed")
    if outcome is None:
        return said
    ending = {"ate": "eaten" if food else "ate", "partly": "partly eaten"}.get(outcome, outcome)
    uneaten = unsaid.pop("uneaten", None)
    return f"{said}, {ending}" if uneaten is None else f"{said}, {say_range(uneaten)} left over"


def _food(unsaid: Unsaid) -> str:
    """Say quantity, state and prey: "3 pre-killed roaches each", "roaches", "3", "live food"; empty when none is told."""
    quantity, prey, state = (unsaid.pop(key, None) for key in ("quantity", "prey", "prey_state"))
    name = " ".join(word for word in (state, prey) if word)
    if quantity is None:
        food = plural(name) if prey else f"{state} food" if state else ""
    else:
        food = say_count(quantity, name) if prey else " ".join(word for word in (say_range(quantity), state) if word)
    each = unsaid.pop("each", None)
    return f"{food} each".strip() if each else food


def _misting(_kind: str, unsaid: Unsaid, _units: str) -> str:
    amount = unsaid.pop("amount", None)
    return "misted" if amount is None else f"{amount} misting"


def _cleaning(_kind: str, unsaid: Unsaid, _units: str) -> str:
    scope = unsaid.pop("scope", None)
    return "cleaned" if scope is None else f"{scope} clean"


def _moult(_kind: str, unsaid: Unsaid, _units: str) -> str:
    number = unsaid.pop("number", None)
    return "moulted" if number is None else say_count(number, "moult")


def _move(_kind: str, unsaid: Unsaid, _units: str) -> str:
    to, count = unsaid.pop("to", None), unsaid.pop("count", None)
    where = "" if to is None else f" to {to}"
    if unsaid.get("part_of_group"):
        return f"{'some' if count is None else say_range(count)} split off{where}"
    return f"moved{where}" + ("" if count is None else f", {say_range(count)} in")


def _placed(_kind: str, unsaid: Unsaid, _units: str) -> str:
    to = unsaid.pop("to", None)
    return "placed" if to is None else f"placed in {to}"


def _count(_kind: str, unsaid: Unsaid, _units: str) -> str:
    count = unsaid.pop("count", None)
    return "counted" if count is None else f"counted {say_range(count)}"


def _measurement(_kind: str, unsaid: Unsaid, units: str) -> str:
    return _measured(unsaid, units) or "measured"


def _measured(unsaid: Unsaid, units: str) -> str:
    measure, value = unsaid.pop("measure", None), unsaid.pop("value", None)
    name = MEASURES.get(measure, measure) if measure else ""
    said = "" if value is None else say_measure(value, measure or "legspan", units)
    return " ".join(word for word in (name, said) if word)


def _reading(_kind: str, unsaid: Unsaid, units: str) -> str:
    temperature, humidity = unsaid.pop("temperature_c", None), unsaid.pop("humidity_pct", None)
    said = [] if temperature is None else [say_temperature(temperature, units)]
    said += [] if humidity is None else [say_humidity(humidity)]
    meter = unsaid.pop("meter", None)
    return f"{', '.join(said) or 'reading'}{'' if meter is None else f' by {meter}'}"


def _observation(_kind: str, unsaid: Unsaid, _units: str) -> str:
    signs = unsaid.pop("signs", None) or ()
    return "; ".join(SIGNS.get(sign, sign.replace("_", " ")) for sign in signs) or "seen"


def _death(_kind: str, unsaid: Unsaid, _units: str) -> str:
    number, cause = unsaid.pop("number", None), unsaid.pop("cause", None)
    said = "death" if number is None else f"{say_range(number)} died"
    return said if cause is None else f"{said}, cause: {cause}"


def _arrival(_kind: str, unsaid: Unsaid, _units: str) -> str:
    number = unsaid.pop("number", None)
    return "arrived" if number is None else f"{say_range(number)} arrived"


def _departure(_kind: str, unsaid: Unsaid, _units: str) -> str:
    number = unsaid.pop("number", None)
    return "left the collection" if number is None else f"{say_range(number)} left the collection"


def _sac(_kind: str, unsaid: Unsaid, _units: str) -> str:
    stage, number = unsaid.pop("stage", None), unsaid.pop("number", None)
    said = "egg sac" if stage is None else f"egg sac {stage}"
    brood = "young" if stage == "hatched" else "eggs or young"
    return said if number is None else f"{said}, {say_range(number)} {brood}"


def _plain(kind: str, unsaid: Unsaid, _units: str) -> str:
    text = unsaid.pop("text", None)
    said = {"watering": "watered", "pairing": "paired", "ended": "no longer kept apart"}.get(kind, noun(kind))
    return said if text is None else f"{said}: {text}"


def _note(kind: str, unsaid: Unsaid, units: str) -> str:
    """A note's own words, unless its fields say all of it."""
    beside = say_beside(unsaid, units)
    if beside is None:
        return _plain(kind, unsaid, units)
    unsaid.pop("text", None)
    return beside


def _left_over(key: str, value: object) -> str:
    """Say a field that no phrase knows, by its own name: nothing written goes unsaid."""
    name = key.replace("_", " ")
    if isinstance(value, list | tuple):
        numbers = len(value) == 2 and all(edge is None or isinstance(edge, int | float) for edge in value)
        words = [SIGNS.get(str(item), str(item)) for item in value]
        return f"{name} {say_range(value) if numbers else join_names(words)}"
    return name if value is True else f"{name} {value}"


_PHRASES: Mapping[str, Callable[[str, Unsaid, str], str]] = {
    "feeding": _feeding,
    "misting": _misting,
    "cleaning": _cleaning,
    "moult": _moult,
    "move": _move,
    "placed": _placed,
    "count": _count,
    "measurement": _measurement,
    "reading": _reading,
    "observation": _observation,
    "death": _death,
    "arrival": _arrival,
    "departure": _departure,
    "sac": _sac,
    "note": _note,
}
