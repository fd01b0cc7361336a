"""Days counted on from a day, however far."""

from __future__ import annotations

from datetime import date, timedelta


def shifted(day: date, days: float) -> date:
    """Return the day so many days later (negative: earlier); beyond the ends of the calendar, its first or last day."""
    try:
        return day + timedelta(days=days)
    except OverflowError:
        return date.max if days > 0 else date.min
