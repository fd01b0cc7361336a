"""Reckoning of days: the nearest Friday, the last 14th, a calendar date without a year, months added to a day."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta

from bot.language.dates.model import Frame

FURTHEST = 9000
"""Years beyond this, or before year 1, are out of reach and answer None."""


def moved(day: date, *, months: int = 0, days: float = 0) -> date | None:
    """A day moved by months (the day of the month kept, or the month's last) and then by days; None out of reach."""
    month = day.year * 12 + day.month - 1 + months
    year, month = divmod(month, 12)
    if not 1 <= year <= FURTHEST:
        return None
    there = date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))
    try:
        return there + timedelta(days=days)
    except OverflowError:
        return None


def real(year: int, month: int, day: int) -> date | None:
    """The date, or None where there is no such day."""
    try:
        return date(year, month, day)
    except ValueError:
        return None


def monday_of(day: date) -> date:
    """The Monday on or before a day."""
    return day - timedelta(days=day.weekday())


def month_end(year: int, month: int) -> date:
    """The last day of a month."""
    return date(year, month, monthrange(year, month)[1])


def weekday_near(frame: Frame, weekday: int) -> date:
    """The nearest such day before today, or after it where dates point ahead; never today."""
    apart = frame.today.weekday() - weekday
    return frame.today - timedelta(days=apart % 7 or 7) if frame.past else frame.today + timedelta(days=-apart % 7 or 7)


def weekday_from(day: date, weekday: int) -> date:
    """The first such weekday on or after a day."""
    return day + timedelta(days=(weekday - day.weekday()) % 7)


@dataclass(frozen=True, slots=True)
class Yearless:
    """A day and month told without a year: the nearest such day the frame points to, and the one in the year of now."""

    on: date | None
    this_year: date | None


def yearless(frame: Frame, month: int, day: int) -> Yearless:
    """Find the nearest such date on the side the frame points to; today counts. A 29 February may be a year away."""
    today = frame.today
    this_year = real(today.year, month, day)
    years = (0, -1) if frame.past else (0, 1)
    for year in (today.year + step for step in years):
        there = real(year, month, day)
        if there and (there <= today if frame.past else there >= today):
            return Yearless(there, this_year)
    return Yearless(None, this_year)


def day_of_month(frame: Frame, day: int) -> date | None:
    """The nearest such day of a month on the side the frame points to; today counts."""
    step = -1 if frame.past else 1
    for months in range(13):
        first = moved(frame.today.replace(day=1), months=step * months)
        there = first and real(first.year, first.month, day)
        if there and (there <= frame.today if frame.past else there >= frame.today):
            return there
    return None


def weekday_and_dom(frame: Frame, weekday: int, day: int, months: int = 14) -> date | None:
    """The nearest month, on the side the frame points to, in which this day of the month is that weekday."""
    step = -1 if frame.past else 1
    for month in range(months):
        first = moved(frame.today.replace(day=1), months=step * month)
        there = first and real(first.year, first.month, day)
        if there and there.weekday() == weekday and (there <= frame.today if frame.past else there >= frame.today):
            return there
    return None


def nth_weekday(year: int, month: int, weekday: int, nth: int) -> date | None:
    """The nth such weekday of a month; nth -1 is the last."""
    if nth < 0:
        last = month_end(year, month)
        return last - timedelta(days=(last.weekday() - weekday) % 7)
    there = weekday_from(date(year, month, 1), weekday) + timedelta(days=7 * (nth - 1))
    return there if there.month == month else None
