"""Days and clock times as they stand at the beginning of a line: "2026-03-02", "2 March 2026", "03/02/2026", with or without a time.

Numbers such as 03/02/2026 are of one order throughout a file. Where one of them can only be read in one way (31/01/2026) that
settles them all; where none does, the keeper is asked.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, time
from itertools import pairwise
from typing import Literal

from bot.moving.told import ImportFault

Order = Literal["day", "month"]
"""What comes first in 03/02/2026."""

DayAt = tuple[str, "WrittenDay"]
"""Where a day stands ("line 12"), and the day."""

OrderFor = Callable[[Sequence[DayAt], bool], Order]
"""What decides the order for the days of a file; true says that they follow each other in time, as in a chat."""

MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december",
)  # fmt: skip
_MONTH = r"(?P<month>jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\.?"
_WEEKDAY = r"(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*[.,]?\s+)?"
_YEAR_FIRST = re.compile(r"(?P<year>\d{4})(?P<mark>[-/.])(?P<a>\d{1,2})(?P=mark)(?P<b>\d{1,2})(?!\d)")
_YEAR_LAST = re.compile(r"(?P<a>\d{1,2})(?P<mark>[-/.])(?P<b>\d{1,2})(?P=mark)(?P<year>\d{4}|\d{2})(?!\d)")
_DAY_MONTH = re.compile(
    rf"{_WEEKDAY}(?P<day>\d{{1,2}})(?:st|nd|rd|th)?\s+(?:of\s+)?{_MONTH},?\s+(?P<year>\d{{4}})(?!\d)", re.IGNORECASE
)
_MONTH_DAY = re.compile(
    rf"{_WEEKDAY}{_MONTH}\s+(?P<day>\d{{1,2}})(?:st|nd|rd|th)?,?\s+(?P<year>\d{{4}})(?!\d)", re.IGNORECASE
)
_YEARLESS = re.compile(
    rf"{_WEEKDAY}(?:\d{{1,2}}(?:st|nd|rd|th)?\s+(?:of\s+)?{_MONTH}(?![a-z])|{_MONTH.replace('month', 'other')}\s+\d{{1,2}}(?:st|nd|rd|th)?(?!\d)"
    r"|\d{1,2}[/.]\d{1,2}[/.]?(?=\s*(?::|$)))",
    re.IGNORECASE,
)
_TIME = re.compile(
    r"(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::(?P<second>\d{2}))?(?!:?\d)(?:\s?(?P<half>[ap])\.?\s?m\b\.?)?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class WrittenDay:
    """A day as written: `first` and `second` are day and month in an order not yet known, or, `settled`, month and day."""

    words: str
    year: int
    first: int
    second: int
    settled: bool = False

    def day(self, order: Order) -> date:
        """The day, by the order of the file. Raises ValueError for one that the calendar does not have."""
        month, day = (self.second, self.first) if order == "day" and not self.settled else (self.first, self.second)
        return date(self.year, month, day)


def day_at(line: str, start: int = 0) -> tuple[WrittenDay, int] | None:
    """The day that stands in a line at that place, and where it ends; None where there is none with its year."""
    for pattern in (_YEAR_FIRST, _YEAR_LAST, _DAY_MONTH, _MONTH_DAY):
        found = pattern.match(line, start)
        if found is not None:
            return _written(found), found.end()
    return None


def begins_without_year(line: str) -> bool:
    """Whether a line begins with a day and month and no year."""
    return day_at(line) is None and _YEARLESS.match(line) is not None


def time_at(line: str, start: int) -> tuple[time, int] | None:
    """The clock time that stands in a line at that place, and where it ends; None where there is none.

    Raises ValueError for a time that no clock shows.
    """
    found = _TIME.match(line, start)
    if found is None:
        return None
    hour, half = int(found["hour"]), found["half"]
    if half is not None:
        if not 1 <= hour <= 12:
            raise ValueError(f"{found[0]} is no time of the day")
        hour = hour % 12 + (12 if half.lower() == "p" else 0)
    try:
        return time(hour, int(found["minute"]), int(found["second"] or 0)), found.end()
    except ValueError as fault:
        raise ValueError(f"{found[0]} is no time of the day") from fault


def order_of(days: Sequence[DayAt], in_time: bool = False) -> Order | None:  # noqa: FBT001, FBT002 - as OrderFor has it
    """What comes first in the days of a file; None where nothing settles it.

    With `in_time` they are known to follow each other in time, as in a chat, and a reading in which they do not is none.
    Raises ImportFault where one of them settles it one way, and another the other way.
    """
    open_days = in_doubt(days)
    day_first = next(((where, one) for where, one in open_days if one.first > 12 >= one.second), None)
    month_first = next(((where, one) for where, one in open_days if one.second > 12 >= one.first), None)
    if day_first and month_first:
        raise ImportFault(
            f"The days of this file are written in two ways: {day_first[1].words} ({day_first[0]}) has the day first, "
            f"{month_first[1].words} ({month_first[0]}) the month. Say --day-first or --month-first; the others are then reported."
        )
    if day_first or month_first:
        return "day" if day_first else "month"
    if not open_days:
        return "day"
    return _order_in_time([one for _where, one in days]) if in_time else None


def in_doubt(days: Sequence[DayAt]) -> list[DayAt]:
    """The days that are another day when day and month change places."""
    return [(where, one) for where, one in days if not one.settled and one.first != one.second]


def _order_in_time(days: Sequence[WrittenDay]) -> Order | None:
    """The one order by which days follow each other; None where both do, or neither."""
    orders: tuple[Order, ...] = ("day", "month")
    fitting = [order for order in orders if _follow(days, order)]
    return fitting[0] if len(fitting) == 1 else None


def _follow(days: Sequence[WrittenDay], order: Order) -> bool:
    try:
        return all(early <= late for early, late in pairwise(one.day(order) for one in days))
    except ValueError:
        return False


def _written(found: re.Match[str]) -> WrittenDay:
    parts = found.groupdict()
    year = int(parts["year"])
    if "month" in parts:
        month = next(place for place, name in enumerate(MONTHS, 1) if name.startswith(parts["month"].lower()[:3]))
        return WrittenDay(found[0], year, month, int(parts["day"]), settled=True)
    first, second = int(parts["a"]), int(parts["b"])
    if found.re is _YEAR_FIRST:
        return WrittenDay(found[0], year, first, second, settled=True)
    return WrittenDay(found[0], year if year > 99 else 2000 + year, first, second)
