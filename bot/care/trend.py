"""Readings against a band: how many lie inside, and whether they rise or fall.

The direction is the slope of Theil and Sen: the median of the slopes between all pairs of readings, which a few wrong
readings do not move (H. Theil 1950; P. K. Sen, J. Am. Stat. Assoc. 63 (1968) 1379-1389, for the interval by Kendall's
statistic). The interval takes readings for independent. Readings of neighbouring days are alike, so that it is rather
too narrow than too wide.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from math import sqrt
from statistics import median

FEWEST = 5
"""Readings from which anything is said: four stand in rising or falling order by chance once in 12, five once in 60."""

MOST = 120
"""Points whose pairs are compared; more readings become medians of equal stretches of time, for pairs grow as the square."""

NORMAL_975 = 1.959963984540054
"""The 97.5 % point of the normal distribution, for an interval of 95 %."""

DAY = 86_400.0

Band = tuple[float | None, float | None]
"""[low, high] of what is wanted; None: open on that side."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A value, in whatever unit, at a local time."""

    moment: datetime
    value: float


@dataclass(frozen=True, slots=True)
class Trend:
    """What a row of readings shows.

    `observed` readings from `first` to `last`, of which `inside`, `below` and `above` the band (its edges are inside).
    `per_week` is the slope in units a week, `interval` its 95 % interval, `points` how many points that rests on: the
    readings themselves, or the medians of equal stretches of time.
    """

    observed: int
    first: datetime
    last: datetime
    inside: int
    below: int
    above: int
    per_week: float
    interval: tuple[float, float]
    points: int

    @property
    def share_inside(self) -> float:
        """The part of the readings that lies in the band, 0 to 1."""
        return self.inside / self.observed

    @property
    def direction(self) -> str:
        """The direction: "rising" or "falling" only where the whole interval says so, else "steady"."""
        low, high = self.interval
        return "rising" if low > 0 else "falling" if high < 0 else "steady"


def trend(readings: Iterable[Reading], band: Band = (None, None)) -> Trend | None:
    """Reckon share and direction, in whatever order the readings come.

    None from fewer than five readings, and from fewer than five different moments, which show no direction.
    """
    ordered = sorted(readings, key=lambda one: one.moment)
    if len({one.moment for one in ordered}) < FEWEST:
        return None
    first, last = ordered[0].moment, ordered[-1].moment
    points = thinned([((one.moment - first).total_seconds() / DAY, one.value) for one in ordered], MOST)
    slope, low, high = theil_sen(points)
    below = sum(band[0] is not None and one.value < band[0] for one in ordered)
    above = sum(band[1] is not None and one.value > band[1] for one in ordered)
    return Trend(
        len(ordered),
        first,
        last,
        len(ordered) - below - above,
        below,
        above,
        slope * 7,
        (low * 7, high * 7),
        len(points),
    )


def theil_sen(points: Sequence[tuple[float, float]]) -> tuple[float, float, float]:
    """Slope of Theil and Sen through points (x, y) and the ends of Sen's 95 % interval, in y per x.

    At least two different x are needed, else ValueError.
    """
    slopes = sorted(
        (later - earlier) / (x - start)
        for at, (start, earlier) in enumerate(points)
        for x, later in points[at + 1 :]
        if x != start
    )
    if not slopes:
        raise ValueError("A slope needs readings at two different times at least.")
    count = len(slopes)
    variance = _variance(points)
    reach = (
        NORMAL_975 * sqrt(variance) if variance > 0 else count
    )  # nothing but ties: any slope that was seen may be it
    top = min(round((count + reach) / 2), count - 1)
    bottom = max(round((count - reach) / 2) - 1, 0)
    return median(slopes), slopes[bottom], slopes[top]


def thinned(points: Sequence[tuple[float, float]], most: int) -> list[tuple[float, float]]:
    """At most so many points (x, y) in order of x: the medians of as many equal stretches of x, where there are more."""
    if len(points) <= most:
        return list(points)
    start, length = points[0][0], (points[-1][0] - points[0][0]) / most or 1.0
    stretches = groupby(points, key=lambda point: min(int((point[0] - start) / length), most - 1))
    groups = [list(group) for _number, group in stretches]
    return [(median(x for x, _y in group), median(y for _x, y in group)) for group in groups]


def _variance(points: Sequence[tuple[float, float]]) -> float:
    """Variance of Kendall's statistic where nothing trends, with ties in time and in value (Sen 1968, equation 2.6).

    Where nearly all is tied on both sides it may fall below 0.
    """

    def term(number: int) -> int:
        return number * (number - 1) * (2 * number + 5)

    ties = [size for axis in zip(*points, strict=True) for size in Counter(axis).values() if size > 1]
    return (term(len(points)) - sum(term(size) for size in ties)) / 18
