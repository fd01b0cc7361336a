"""When something is to be said: times of a local day as moments, the days that a stretch of time touches, quiet hours. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

PARTS = {"morning": time(8), "afternoon": time(14), "evening": time(19), "night": time(21)}
"""When a reminder goes out that was asked for a part of the day."""

_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Quiet:
    """Hours of the local day in which nothing is said: from `start` up to `end`, over midnight where `start` is later."""

    start: time
    end: time

    def holds(self, at: time) -> bool:
        """Whether a time of day lies within."""
        if self.start <= self.end:
            return self.start <= at < self.end
        return at >= self.start or at < self.end


def moment_of(day: date, at: time, zone: ZoneInfo) -> datetime:
    """The moment, in UTC, at which the clock on the wall shows a time of a day.

    A time that the clock jumps over in spring comes as much later as the clock jumps; one that comes twice in autumn is the first.
    """
    return datetime.combine(day, at.replace(fold=0), tzinfo=zone).astimezone(UTC)


def local(moment: datetime, zone: ZoneInfo) -> datetime:
    """What the clock on the wall shows at a moment, without zone."""
    return moment.astimezone(zone).replace(tzinfo=None)


def days_touched(since: datetime, until: datetime, zone: ZoneInfo) -> Iterator[date]:
    """The local days on which a moment from `since` to `until` can fall, with a day to spare at the start for quiet hours."""
    day, last = local(since, zone).date() - _DAY, local(until, zone).date()
    while day <= last:
        yield day
        day += _DAY


def after_quiet(day: date, at: time, quiet: Quiet | None) -> tuple[date, time]:
    """The day and time at which something planned for `at` may be said: itself, or the end of the quiet hours."""
    if quiet is None or not quiet.holds(at):
        return day, at
    return (day + _DAY if at >= quiet.start > quiet.end else day), quiet.end


def same_wall_clock(moment: datetime, before: ZoneInfo, after: ZoneInfo) -> datetime:
    """The moment at which the clock of the zone `after` shows what that of `before` shows at `moment`."""
    shown = local(moment, before)
    return moment_of(shown.date(), shown.time(), after)
