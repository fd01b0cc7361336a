"""Which of the daily copies are kept, and when the next one is due. Pure.

The first copy of each of the last 7 days, 4 weeks and 12 months, and of each year, counting those that have copies; and the newest.
The first of a week stays the first, so that thinning day by day keeps what thinning all at once would.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from datetime import datetime, time, timedelta

DAYS, WEEKS, MONTHS = 7, 4, 12
QUIET = time(3, 30)
"""When, by the clock of the animal room, a copy is made."""

_PERIODS: tuple[tuple[Callable[[datetime], Hashable], int | None], ...] = (
    (lambda moment: moment.date(), DAYS),
    (lambda moment: moment.isocalendar()[:2], WEEKS),
    (lambda moment: (moment.year, moment.month), MONTHS),
    (lambda moment: moment.year, None),
)


def kept(moments: Iterable[datetime]) -> set[datetime]:
    """Which copies, by the local moments they were made at (all of one zone), are kept."""
    ordered = sorted(moments)
    found = set(ordered[-1:])
    for period, number in _PERIODS:
        first: dict[Hashable, datetime] = {}
        for moment in ordered:
            first.setdefault(period(moment), moment)
        found.update(list(first.values())[-number if number else 0 :])
    return found


def due(newest: datetime | None, now: datetime) -> datetime:
    """When the next copy is to be made: at the first quiet hour after the newest; now, where there is none. All local."""
    if newest is None:
        return now
    quiet = newest.replace(hour=QUIET.hour, minute=QUIET.minute, second=0, microsecond=0, fold=0)
    return quiet if quiet > newest else quiet + timedelta(days=1)
