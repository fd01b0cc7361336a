"""When a repeating plan falls next.

A plan for every so many days counts from the last act: done late, the next one is late as well. A plan for a weekday
("every other sunday") keeps to that weekday, and one for a day of the month ("monthly on the 31st") to that day; in a
month that has no such day it falls on the month's last day, where RFC 5545 would leave the month out, since an animal must
not go without for a whole month.
"""

from __future__ import annotations

import re
from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, floor

from bot.care.days import shifted
from bot.care.facts import Fact, middle
from bot.care.words import ordinal

EARLY = 1
"""Days by which an act may come before its planned day and still answer it."""

SHORTEST_MONTH = 28
"""Days of the shortest month; a later day of the month is not in every one."""

_WEEKDAY = re.compile(r"\b(mon|tues|wednes|thurs|fri|satur|sun)days?\b", re.IGNORECASE)
_WEEKDAYS = ("mon", "tues", "wednes", "thurs", "fri", "satur", "sun")
_MONTH_DAY = re.compile(r"\bthe\s+(\d{1,2})(?:st|nd|rd|th)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Repeat:
    """How a plan repeats: every so many days, or on a weekday (0 is Monday) or a day of the month from `start` on."""

    every_days: float
    start: date
    weekday: int | None = None
    month_day: int | None = None
    given: bool = False

    @property
    def anchored(self) -> bool:
        """Whether the days are those of the calendar, and do not move with the acts."""
        return self.weekday is not None or self.month_day is not None


def repeat_of(plan: Fact) -> Repeat:
    """Read the repeat of a plan; its fields `weekday` and `month_day` go before what its words say."""
    every = middle(plan.fields.get("every_days")) or 1.0
    weekday = month_day = None
    if _by_week(every):
        weekday = _told(plan, "weekday", _weekday_in(plan.words))
    elif _by_month(every):
        month_day = _told(plan, "month_day", _month_day_in(plan.words))
    return Repeat(every, plan.on or plan.told, weekday, month_day, given=plan.on is not None)


def say_anchor(every: float, words: str) -> str:
    """What a repeat of so many days keeps to by its words: "on Sundays", "on the 31st, in …"; empty where to no day."""
    weekday = _weekday_in(words) if _by_week(every) else None
    if weekday is not None:
        return f"on {_WEEKDAYS[weekday].capitalize()}days"
    day = _month_day_in(words) if _by_month(every) else None
    if day is None:
        return ""
    short = ", in shorter months on their last day" if day > SHORTEST_MONTH else ""
    return f"on the {ordinal(day)}{short}"


def _by_week(every: float) -> bool:
    """Whether so many days are whole weeks, so that a repeat may keep to a weekday."""
    return every % 7 == 0


def _by_month(every: float) -> bool:
    """Whether so many days stand for months, so that a repeat may keep to a day of the month."""
    return every % 30 == 0 or every == 31


def next_days(repeat: Repeat, last: date | None) -> tuple[date, date]:
    """The earliest and the latest day of the next occurrence after the last act; both the same but for 3.5 days and such."""
    if repeat.anchored:
        # What was done the day before a slot was done for it.
        bound = repeat.start if last is None else max(repeat.start, shifted(last, EARLY + 1))
        day = _weekly(repeat, bound) if repeat.weekday is not None else _monthly(repeat, bound)
        return day, day
    if last is None or (repeat.given and last < shifted(repeat.start, -EARLY)):
        return repeat.start, repeat.start
    return ranged(last, repeat.every_days, repeat.every_days)


def ranged(last: date, low: float, high: float) -> tuple[date, date]:
    """The earliest and the latest day by a range of days from the last act; beyond the calendar, its last day."""
    return shifted(last, max(1, floor(low))), shifted(last, max(1, ceil(high)))


def _weekly(repeat: Repeat, bound: date) -> date:
    first = repeat.start + timedelta(days=((repeat.weekday or 0) - repeat.start.weekday()) % 7)
    steps = max(0, ceil((bound - first).days / repeat.every_days))
    return shifted(first, steps * repeat.every_days)


def _monthly(repeat: Repeat, bound: date) -> date:
    step = max(1, round(repeat.every_days / 30))
    year, month = repeat.start.year, repeat.start.month
    while (day := _of_month(year, month, repeat.month_day or 1)) < bound:
        year, month = year + (month - 1 + step) // 12, (month - 1 + step) % 12 + 1
        if year > date.max.year:
            return date.max
    return day


def _of_month(year: int, month: int, day: int) -> date:
    """The day of a month, or the month's last where it has no such day."""
    return date(year, month, min(day, monthrange(year, month)[1]))


def _told(plan: Fact, name: str, said: int | None) -> int | None:
    value = plan.fields.get(name)
    return said if value is None else int(value)


def _weekday_in(words: str) -> int | None:
    found = _WEEKDAY.search(words)
    return _WEEKDAYS.index(found[1].lower()) if found else None


def _month_day_in(words: str) -> int | None:
    found = _MONTH_DAY.search(words)
    return int(found[1]) if found and 1 <= int(found[1]) <= 31 else None
