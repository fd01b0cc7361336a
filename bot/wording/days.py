"""Days in words: the date itself and how far away it is, always both."""

from __future__ import annotations

from datetime import date

# Not strftime: its names follow the machine's locale, and a keeper reads English everywhere.
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

_COUNTED_IN_DAYS = 60
_COUNTED_IN_WEEKS = 2 * 365


def say_full_day(day: date) -> str:
    """Say the date alone, with its year: "Mon 2 Mar 2026"."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]} {day.year}"


def say_date(day: date, today: date) -> str:
    """Say the date alone, with its year only where that is not today's year: "Mon 2 Mar"."""
    full = say_full_day(day)
    return full if day.year != today.year else full.rsplit(" ", 1)[0]


def say_distance(day: date, today: date) -> str:
    """Say how far a day is from today: "yesterday", "8 days ago", "in 3 days", "53 weeks ago", "2 years 3 months ago"."""
    apart = (day - today).days
    if apart in (-1, 0, 1):
        return ("yesterday", "today", "tomorrow")[apart + 1]
    length = _length(min(day, today), max(day, today))
    return f"{length} ago" if apart < 0 else f"in {length}"


def say_day(day: date, today: date) -> str:
    """Say the date and how far away it is: "Mon 2 Mar, 8 days ago"."""
    return f"{say_date(day, today)}, {say_distance(day, today)}"


def say_period(since: date | None, until: date | None, today: date) -> str:
    """Say a stretch of days as the end of a sentence: "since Mon 4 May", "on Tue 5 May, 2 days ago", "so far"."""
    if since is not None and since == until:
        return f"on {say_day(since, today)}"
    if until is not None and until >= today:
        until = None
    if since is None:
        return "so far" if until is None else f"up to {say_day(until, today)}"
    if until is None:
        return f"since {say_day(since, today)}"
    return f"from {say_date(since, today)} to {say_day(until, today)}"


def _length(early: date, late: date) -> str:
    """Say the time between two days: in days up to two months, in whole weeks up to two years, then years and months."""
    days = (late - early).days
    if days < _COUNTED_IN_DAYS:
        return f"{days} days"
    if days < _COUNTED_IN_WEEKS:
        return f"{days // 7} weeks"
    months = (late.year - early.year) * 12 + late.month - early.month - (late.day < early.day)
    years, rest = divmod(months, 12)
    said = f"{years} year" + ("s" if years != 1 else "")
    return said if not rest else f"{said} {rest} month" + ("s" if rest != 1 else "")
