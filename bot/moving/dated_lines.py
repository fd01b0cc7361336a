"""Plain lines with a day each: "2026-03-02 fed B 3 crickets", or a day as a heading with lines below it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, time

from bot.moving.told import Contents, ImportFault, Told, numbered
from bot.moving.written_days import Order, OrderFor, WrittenDay, begins_without_year, day_at, time_at

DAY_END = time(23, 59)
"""When a line without a time counts as said: whatever part of the day its words name has come by then."""

_MARKS = re.compile(r"[\s#>*\u2022\u00b7-]*")
_BETWEEN = re.compile(r"[\s,;:T|\u2013\u2014-]*")


@dataclass(frozen=True, slots=True)
class _Line:
    """A line: `day` as it stands there, `at` the time, `rest` the words; `fault` says what is wrong with it."""

    number: int
    day: WrittenDay | None
    at: time | None
    rest: str
    fault: str = ""

    @property
    def where(self) -> str:
        return f"line {self.number}"


def is_dated(text: str) -> bool:
    """Whether the first line with anything in it begins with a day."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return day_at(first, _skip(_MARKS, first, 0)) is not None


def read_lines(text: str, order_for: OrderFor) -> Contents:
    """The lines of a diary. Raises ImportFault where no line begins with a day."""
    lines = [_line(number, line) for number, line in enumerate(text.splitlines(), 1) if line.strip()]
    days = [(one.where, one.day) for one in lines if one.day is not None]
    if not days:
        raise ImportFault("No line begins with a day such as 2026-03-02 or 2 March 2026.")
    order = order_for(days, False)  # noqa: FBT003 - as OrderFor has it
    unreadable: list[str] = []
    told = tuple(numbered(_told(lines, order, unreadable)))
    return Contents("lines with a day each", "", told, unreadable=tuple(unreadable), records=True)


def _told(lines: list[_Line], order: Order, unreadable: list[str]) -> Iterator[Told]:
    """Each line with words as something told on its day, or on that of the line above which has one."""
    day, why = None, "no day stands above it"
    for line in lines:
        if line.day is not None or line.fault:
            day, why = None, "the day above it cannot be read"
        try:
            day = line.day.day(order) if line.day is not None else day
        except ValueError:
            unreadable.append(f"{line.where}: {line.day.words if line.day else ''} is no day of the calendar.")
            continue
        if line.fault:
            unreadable.append(f"{line.where}: {line.fault}.")
        elif day is None:
            unreadable.append(f"{line.where}: {why}.")
        elif line.rest:
            yield Told(datetime.combine(day, line.at or DAY_END), line.rest, "", line.where)


def _line(number: int, written: str) -> _Line:
    start = _skip(_MARKS, written, 0)
    if begins_without_year(written[start:]):
        return _Line(number, None, None, "", "its day has no year")
    found = day_at(written, start)
    day, end = found or (None, start)
    begin = _skip(_BETWEEN, written, end) if found else start
    try:
        clock = time_at(written, begin)
    except ValueError as fault:
        return _Line(number, day, None, "", str(fault))
    if clock is None:
        return _Line(number, day, None, written[begin:].strip())
    return _Line(number, day, clock[0], written[_skip(_BETWEEN, written, clock[1]) :].strip())


def _skip(pattern: re.Pattern[str], line: str, start: int) -> int:
    found = pattern.match(line, start)
    return start if found is None else found.end()
