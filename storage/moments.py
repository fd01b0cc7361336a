"""The order of a day: where in local time an entry belongs when the words do not say it to the minute."""

from __future__ import annotations

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

BEGINNING = datetime.min  # noqa: DTZ901 - local wall time, which has no zone
END = datetime.max  # noqa: DTZ901 - the same

_PARTS = {"morning": time(8), "afternoon": time(14), "evening": time(19), "night": time(22)}
_UNKNOWN = time(12)


def moment(on: date | None, at: time | None, part: str | None, told_at: datetime, zone: str) -> datetime | None:
    """Local wall time (naive) by which entries are ordered; None for an entry without a day.

    A stated time of day counts, then a stated part of day; a thing told on its own day counts as of the telling, and what is
    told later without a time as of noon. Raises ZoneInfoNotFoundError for a zone that is none.
    """
    if on is None:
        return None
    if at is not None:
        return datetime.combine(on, at.replace(tzinfo=None))
    if part in _PARTS:
        return datetime.combine(on, _PARTS[part])
    told = told_at.astimezone(ZoneInfo(zone)).replace(tzinfo=None)
    return told if told.date() == on else datetime.combine(on, _UNKNOWN)


def day_start(day: date | None) -> datetime:
    """First moment of a day; the beginning of time for None."""
    return BEGINNING if day is None else datetime.combine(day, time.min)


def day_end(day: date | None) -> datetime:
    """Last moment of a day; the end of time for None."""
    return END if day is None else datetime.combine(day, time.max)
