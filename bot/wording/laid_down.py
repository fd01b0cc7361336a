"""What a keeper has laid down for good, in words: rules, times away, stops."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

from bot.wording.days import say_distance, say_full_day
from bot.wording.numbers import join_names, say_humidity, say_number, say_temperature
from bot.wording.terms import noun

LAID_DOWN = frozenset({"rule", "away", "stop"})
"""Plans that set how things are kept and are no tasks."""


def say_laid_down(
    kind: str, unsaid: dict[str, Any], units: str = "metric", on: date | None = None, today: date | None = None
) -> str:
    """Say a rule, a time away or a stop without its names: "humidity 55 to 65 % from now on, by your own words".

    What it says is taken out of `unsaid`. `on` is the day up to which a stop holds. With `today` days are also told by their distance.
    """
    if kind == "stop":
        return _stop(unsaid, on, today)
    return _away(unsaid, today) if kind == "away" else _rule(unsaid, units)


def _stop(unsaid: dict[str, Any], on: date | None, today: date | None) -> str:
    of, every = unsaid.pop("of", None), unsaid.pop("every_days", None)
    said = "no reminders" if of is None else f"no reminders of {noun(of)}"
    if on is not None:
        said += f" until {say_full_day(on)}" + (f" ({say_distance(on, today)})" if today else "")
    return said if every is None else f"{said}, {say_every(every)}"


def _away(unsaid: dict[str, Any], today: date | None) -> str:
    since, until = (date.fromisoformat(unsaid.pop(name)) for name in ("since", "until"))
    days = (until - since).days + 1
    when = f"on {say_full_day(since)}" if days == 1 else f"from {say_full_day(since)} to {say_full_day(until)}"
    ahead = f", {say_distance(since, today)}" if today and since > today else ""
    return f"away for {_days(days)}, {when}{ahead}; what falls due then waits until you are back"


def _rule(unsaid: dict[str, Any], units: str) -> str:
    if unsaid.pop("back", None):
        return "by the care sheet again from now on; what you had laid down yourself no longer holds"
    if unsaid.pop("resume", None):
        of = unsaid.pop("task", None)
        return "reminders again from now on" if of is None else f"reminders of {noun(of)} again from now on"
    said = [say(unsaid.pop(name), units) for name, say in _VALUES.items() if name in unsaid]
    return " ".join(part for part in (join_names(said), "from now on, by your own words") if part)


def say_every(days: float) -> str:
    """Say a repeat: "every day", "every 3.5 days"."""
    return "every day" if days == 1 else f"every {say_number(days)} days"


def _days(count: float) -> str:
    return f"{say_number(count)} day{'' if count == 1 else 's'}"


def _on_days(days: Sequence[int]) -> str:
    return f"day{'' if len(days) == 1 else 's'} {join_names([str(day) for day in days])}"


_VALUES: Mapping[str, Callable[[Any, str], str]] = {
    "humidity_pct": lambda value, _units: f"humidity {say_humidity(value).removesuffix(' humidity')}",
    "temperature_c": lambda value, units: f"temperature {say_temperature(value, units)}",
    "settling_days": lambda value, _units: f"{_days(value)} to settle after a move before food is offered",
    "look_in_days": lambda value, _units: f"look-ins after a move on {_on_days(value)}",
}
"""The words for each value that a rule can set."""
