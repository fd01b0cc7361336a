"""How long the feeder animals in stock last, and by when to order more.

A stock is a head count of its own: what came is added, what was fed is taken away, a count sets it anew, "about" makes it a
range, "at least" lifts its floor. Deaths and breeding in the box are in no book, so an old count is told with its age.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from bot.care.days import shifted
from bot.care.headcount import Count, Event, Number, headcount

_MOVES = MappingProxyType({"got": "arrival", "left": "count", "used": "departure", "died": "death"})

Range = tuple[float, float | None]
"""[low, high]; high None has no upper end."""


@dataclass(frozen=True, slots=True)
class Move:
    """What bears on a stock of one feeder: `what` is got, left (so many were counted or guessed), used or died.

    `heads` None: no number told. A feeding told without one takes one or more away and leaves nothing sure; a caller who
    knows the usual feeding gives that as the range.
    """

    what: str
    on: date
    heads: Number | None


@dataclass(frozen=True, slots=True)
class Stock:
    """The feeders there are, `high` None for no upper end; `counted_on` is the day of the count that it starts from.

    `basis` is how many moves were reckoned since. `odd`: moves that do not fit (more fed than there were, more counted than
    there could be). `known`: whether anything is on record.
    """

    low: int
    high: int | None
    counted_on: date | None
    basis: int
    odd: int
    known: bool

    def age_days(self, today: date) -> int | None:
        """Whole days since the last count; None if there never was one."""
        return None if self.counted_on is None else max(0, (today - self.counted_on).days)


def stock_of(moves: Iterable[Move]) -> Stock:
    """Return the stock from its moves in the order in which they happened. ValueError on a kind of move not known."""
    events = []
    for move in moves:
        if move.what not in _MOVES:
            raise ValueError(f"{move.what} is no move of a stock.")
        events.append(Event(_MOVES[move.what], move.on, move.heads))
    count: Count = headcount(events)
    counted_on = count.basis.on if count.basis else None
    return Stock(count.low, count.high, counted_on, len(count.since), len(count.surprises), count.known)


@dataclass(frozen=True, slots=True)
class Supply:
    """How long a stock lasts, as ranges. None stands for no end: nothing is needed, or there is no upper number.

    `days` are whole days fully covered, today the first; `short` the first days that are not, as dates. `order_by` is the
    last day on which an order comes in time if all goes badly; `late`: that day is past. `basis` are the heads reckoned with.
    """

    days: tuple[int | None, int | None]
    short: tuple[date | None, date | None]
    order_by: date | None
    late: bool
    basis: Number


def supply(heads: Number, per_day: Range, today: date, delivery_days: tuple[int, int] = (0, 0)) -> Supply:
    """Return for how long `heads` last at `per_day` heads a day, and by when to order.

    Least days = least stock / greatest demand, most days = most stock / least demand, both rounded down; an order must be
    placed on the first day that may go short less the longest delivery. ValueError on a range upside down or under 0.
    """
    for low, high in (heads, per_day, delivery_days):
        if (low or 0) < 0 or (high is not None and high < (low or 0)):
            raise ValueError(f"{heads} at {per_day} a day, delivered in {delivery_days} days, cannot be.")
    least = _days(heads[0] or 0, per_day[1])
    most = _days(heads[1], per_day[0])
    short = tuple(None if days is None else shifted(today, days) for days in (least, most))
    order_by = None if short[0] is None else shifted(short[0], -delivery_days[1])
    late = order_by is not None and order_by < today
    return Supply((least, most), (short[0], short[1]), order_by, late, heads)


def _days(heads: int | None, per_day: float | None) -> int | None:
    """Whole days covered; None without an end. A demand without an upper end leaves no day sure."""
    if per_day is None:
        return 0
    if heads is None or per_day == 0:
        return None
    # 30 at 0.3 a day are 100 days, not 99 because of how 0.3 is kept.
    return min(math.floor(heads / per_day + 1e-9), 3_652_059)
