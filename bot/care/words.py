"""The few words that reasons need: days and numbers, in English everywhere (strftime follows the machine's locale)."""

from __future__ import annotations

from datetime import date

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def short_day(day: date, today: date) -> str:
    """Say a day: "14 Mar", with the year only where it is not today's: "14 Mar 2025"."""
    return f"{day.day} {_MONTHS[day.month - 1]}" + (f" {day.year}" if day.year != today.year else "")


def full_day(day: date) -> str:
    """Say a day with its year: "14 Mar 2026"."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def nth(day: date, mark: date) -> str:
    """Say a day beside another: of the same month only "the 7th", else "26 Feb"."""
    if (day.year, day.month) != (mark.year, mark.month):
        return short_day(day, mark)
    return f"the {ordinal(day.day)}"


def ordinal(day: int) -> str:
    """Say a day of the month: "1st", "12th", "23rd"."""
    ending = "th" if 10 < day < 14 else {1: "st", 2: "nd", 3: "rd"}.get(day % 10, "th")
    return f"{day}{ending}"


def number(value: float) -> str:
    """Say a number without needless decimals: "3.5", "10"."""
    return f"{value:.1f}".removesuffix(".0")


def span(low: float, high: float) -> str:
    """Say a range: "5 to 10", "7"."""
    return number(low) if low == high else f"{number(low)} to {number(high)}"


def days(low: float, high: float) -> str:
    """Say a range of days: "5 to 10 days", "1 day"."""
    return f"{span(low, high)} day" + ("" if low == high == 1 else "s")


def ago(count: int) -> str:
    """Say how long ago: "today", "yesterday", "6 days ago"."""
    return {0: "today", 1: "yesterday"}.get(count, f"{count} days ago")
