"""Scales: round numbers and days for the axes, and long rows of points made few. Days are numbers counted as `toordinal` does."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import pairwise
from math import ceil, floor, log10
from statistics import median

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
DAY_STEPS = (1, 2, 7, 14)
MONTH_STEPS = (1, 2, 3, 6)
YEAR_STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000)
LEAST_SPAN = 4.0
"""Days that an axis shows at least, so that a single point has a place."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A place on an axis of days with its words, and with the year under them where that is new."""

    at: float
    words: str
    year: str = ""


@dataclass(frozen=True, slots=True)
class Bucket:
    """Points of one stretch of an axis made one: the middle of where they lie, their least, median and greatest, how many."""

    at: float
    low: float
    middle: float
    high: float
    number: int


def day_number(day: date | datetime) -> float:
    """A day, or a local moment, as a number of days."""
    if isinstance(day, datetime):
        return day.toordinal() + (day.hour * 3600 + day.minute * 60 + day.second) / 86_400
    return float(day.toordinal())


def full_day(day: date) -> str:
    """Say a day as the British do: "3 Apr 2026"."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def widened(first: float, last: float) -> tuple[float, float]:
    """Ends of an axis of days around what it shows: a little room on both sides, four days at least."""
    room = max((last - first) * 0.02, (LEAST_SPAN - (last - first)) / 2, 0.3)
    return max(first - room, date.min.toordinal()), min(last + room, date.max.toordinal())


def date_ticks(first: float, last: float, most: int) -> list[Tick]:
    """At most so many days, months or years between two ends, in words: "2 Mar", "Mar", "2024"."""
    start, end = date.fromordinal(ceil(first)), date.fromordinal(floor(last))
    length = (end - start).days
    for step in (step for step in DAY_STEPS if length <= step * (most + 1)):
        days = list(_days(start, end, step))
        if len(days) <= most:
            return _worded(days, months=False)
    for step in (step for step in MONTH_STEPS if length <= 31 * step * (most + 1)):
        days = list(_months(start, end, step))
        if len(days) <= most:
            return _worded(days, months=True)
    for step in YEAR_STEPS:
        years = [year for year in range(start.year, end.year + 1) if year % step == 0 and date(year, 1, 1) >= start]
        if len(years) <= most + most // 3:  # a year is shorter than a date
            break
    return [Tick(date(year, 1, 1).toordinal(), str(year)) for year in years]


def number_ticks(low: float, high: float, most: int, *, whole: bool = False) -> list[float]:
    """Round numbers, evenly apart, at most so many (three or more), of which the first and last hold the range between them."""
    if high - low < 1e-9 * max(1.0, abs(high)):
        low, high = low - 1, high + 1
    step = 10.0 ** floor(log10((high - low) / most))
    step = max(step, 1.0) if whole else step
    sizes = (step * factor for factor in (1, 2, 2.5, 5, 10, 20, 25, 50, 100))
    for size in sizes:
        if whole and size % 1:
            continue
        bottom, top = floor(low / size + 1e-9), ceil(high / size - 1e-9)
        if top - bottom < most:
            break
    return [number * size for number in range(bottom, max(top, bottom + 1) + 1)]


def bucketed(points: Iterable[tuple[float, float]], most: int) -> list[Bucket]:
    """Points (x, y) as they are, in order of x, or where there are more than `most` as that many stretches at most."""
    ordered = sorted(points)  # by x, and by y where x is the same
    if len(ordered) <= most:
        return [Bucket(x, y, y, y, 1) for x, y in ordered]
    start, length = ordered[0][0], (ordered[-1][0] - ordered[0][0]) / most
    ends = [bisect_left(ordered, (start + number * length,)) for number in range(1, most)]
    groups = (ordered[first:end] for first, end in pairwise([0, *ends, len(ordered)]))
    return [_bucket(group) for group in groups if group]


def spaced(values: Sequence[float], apart: float) -> list[list[int]]:
    """Indices of ascending values, gathered wherever the next lies nearer than `apart` to the first of its group."""
    groups: list[list[int]] = []
    for index, value in enumerate(values):
        if groups and value - values[groups[-1][0]] < apart:
            groups[-1].append(index)
        else:
            groups.append([index])
    return groups


def _bucket(points: Sequence[tuple[float, float]]) -> Bucket:
    values = [y for _x, y in points]
    return Bucket(median(x for x, _y in points), min(values), median(values), max(values), len(values))


def _days(start: date, end: date, step: int) -> Iterator[date]:
    """Every so many days; whole weeks begin on Mondays."""
    first = start.toordinal()
    if step % 7 == 0:
        first += -start.weekday() % 7
    return (date.fromordinal(number) for number in range(first, end.toordinal() + 1, step))


def _months(start: date, end: date, step: int) -> Iterator[date]:
    """The first of every so many months, counted from January."""
    for number in range(start.year * 12 + start.month - 1, end.year * 12 + end.month):
        day = date(number // 12, number % 12 + 1, 1)
        if number % step == 0 and start <= day <= end:
            yield day


def _worded(days: Sequence[date], *, months: bool) -> list[Tick]:
    ticks, year = [], None
    for day in days:
        words = MONTHS[day.month - 1] if months else f"{day.day} {MONTHS[day.month - 1]}"
        ticks.append(Tick(day.toordinal(), words, "" if day.year == year else str(day.year)))
        year = day.year
    return ticks
