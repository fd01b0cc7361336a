"""How a repeating plan stands in a calendar: its days, and the recurrence rule of RFC 5545 (3.3.10) that says the same. Pure.

A plan for every so many days counts from the last act, so its days are those on which it falls if each is done on its day. A plan
for a day of the month that shorter months lack falls on their last day, which a rule says by the last of several days.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from itertools import takewhile
from math import floor
from typing import Any

from bot.care.days import shifted
from bot.care.due.repeats import EARLY, SHORTEST_MONTH, Repeat, next_days

WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")

_FINEST = 12  # as many parts of a day as words can ask for: "three times in five days"


@dataclass(frozen=True, slots=True)
class Series:
    """A repeating plan from its next day on: `rule` are the parts of a recurrence rule, or None where no rule says it.

    Then `days` are all its days up to the end asked for.
    """

    first: date
    rule: Mapping[str, Any] | None
    days: tuple[date, ...] = ()


def series_of(repeat: Repeat, due: date, end: date) -> Series:
    """The series of a plan that falls due on `due` next; without a rule, its days up to `end`."""
    first = slot_from(repeat, due) if repeat.anchored else due
    rule = _rule(repeat, first)
    return Series(
        first, rule, () if rule is not None else tuple(takewhile(lambda day: day <= end, slots(repeat, first)))
    )


def slot_from(repeat: Repeat, day: date) -> date:
    """The first day of an anchored plan that is not before `day`."""
    return next_days(repeat, shifted(day, -EARLY - 1))[0]


def slots(repeat: Repeat, first: date) -> Iterator[date]:
    """The days of a plan from one of them on, each done on its day; up to the end of the calendar."""
    day, turn = first, 0
    while day < date.max - timedelta(days=400):
        yield day
        turn += 1
        day = next_days(repeat, day)[0] if repeat.anchored else shifted(first, floor(turn * _every(repeat)))


def _every(repeat: Repeat) -> Fraction:
    """Days from one act to the next; what would be several times a day is daily."""
    return max(Fraction(1), Fraction(repeat.every_days).limit_denominator(_FINEST))


def _rule(repeat: Repeat, first: date) -> Mapping[str, Any] | None:
    if repeat.weekday is not None:
        return {"freq": "WEEKLY", "interval": max(1, round(repeat.every_days / 7)), "byday": WEEKDAYS[repeat.weekday]}
    if repeat.month_day is not None:
        return _monthly(repeat.month_day, max(1, round(repeat.every_days / 30)))
    every = _every(repeat)
    if every.denominator == 1:
        return {"freq": "DAILY", "interval": int(every)}
    if every.numerator == 7:  # so many times a week: the same days of each week
        days = [first + timedelta(days=floor(turn * every)) for turn in range(every.denominator)]
        return {"freq": "WEEKLY", "interval": 1, "byday": [WEEKDAYS[day.weekday()] for day in days]}
    return None


def _monthly(day: int, step: int) -> Mapping[str, Any]:
    if day <= SHORTEST_MONTH:
        return {"freq": "MONTHLY", "interval": step, "bymonthday": day}
    return {"freq": "MONTHLY", "interval": step, "bymonthday": list(range(SHORTEST_MONTH, day + 1)), "bysetpos": -1}
