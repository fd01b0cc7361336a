"""Survival of a brood of counted heads, whose numbers are ranges: between which two curves the true one lies.

Deaths and departures are told as numbers (ranges), counts of the living now and then. A head that a count does not find is
neither dead nor alive: the upper curve has it living, the lower one dead at the worst moment at which it can have died. Where
every number is exact and every head accounted for, the two are one, the Kaplan-Meier curve.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from bot.care.intervals import LEVEL
from bot.care.survival import (
    NEAR,
    Life,
    Tellable,
    log_log_interval,
    log_rank,
    survival_curve,
)

Heads = tuple[int, int | None]
"""[low, high]; high None is "at least"."""


@dataclass(frozen=True, slots=True)
class Gone:
    """Heads that died, or (`died` false) left alive: sold, given away, split off; `days` since the brood began."""

    days: float
    heads: Heads
    died: bool


@dataclass(frozen=True, slots=True)
class Seen:
    """A count of the living at the end of a day; `heads` with high None ("at least") does not say that any is missing."""

    days: float
    heads: Heads


@dataclass(frozen=True, slots=True)
class Brood:
    """A brood from `start` heads on day 0 up to day `until`; times in days. Animals added later do not belong to it."""

    start: tuple[int, int]
    until: float
    gone: Sequence[Gone] = ()
    seen: Sequence[Seen] = ()


@dataclass(frozen=True, slots=True)
class Band:
    """From `days` on the share alive lies between `low` and `high`; `interval` adds what chance may do (log-log, Greenwood).

    `interval` None: both curves at 1 or both at 0, where the curve says nothing of chance (see the zero-losses bound).
    """

    days: float
    low: float
    high: float
    interval: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class BroodSurvival:
    """The two curves as bands, and what they rest on, each number a range.

    `start` is the number that was there (raised where later counts show that the number told was too low: `raised`);
    `missing` are the heads unaccounted for today; `exact`: the two curves are one.
    """

    bands: tuple[Band, ...]
    start: tuple[int, int]
    died: Heads
    left: Heads
    missing: Heads
    raised: bool
    basis: int

    @property
    def exact(self) -> bool:
        """Whether nothing but chance is in doubt."""
        return all(band.high - band.low < NEAR for band in self.bands)


def brood_survival(brood: Brood, level: float = LEVEL) -> BroodSurvival:
    """Return the bounds at every day on which something is known; bounds hold point by point, not as one course.

    Lower: for each start in its range, deaths at their most, and at every day all heads that the next count may be short
    of dead on that day (with departures in between, late deaths weigh most); the least over the starts. Upper: the most
    heads at the start, deaths and departures at their fewest. `basis` is the fewest heads at the start. ValueError on an
    empty brood, a range upside down or a time out of 0 to `until`.
    """
    _check(brood)
    start = _possible_start(brood)
    days = sorted({0.0, brood.until, *(one.days for one in brood.gone), *(one.days for one in brood.seen)})
    lower = _least([_lower(brood, heads, days) for heads in range(start[0], start[1] + 1)])
    upper = _points(_best(brood, start[1]), days)
    bands = tuple(
        Band(day, min(low, high), high, _outer((low, low_hazard), (high, high_hazard), level))
        for day, (low, low_hazard), (high, high_hazard) in zip(days, lower, upper, strict=True)
    )
    died, left = (_total([one.heads for one in brood.gone if one.died is kind]) for kind in (True, False))
    raised = start != brood.start
    return BroodSurvival(bands, start, died, left, _missing(brood, start), raised, start[0])


def _check(brood: Brood) -> None:
    told = [brood.start, *(one.heads for one in brood.gone), *(one.heads for one in brood.seen)]
    wrong = any(low < 0 or (high is not None and high < low) for low, high in told)
    times = [one.days for one in brood.gone] + [one.days for one in brood.seen]
    if wrong or brood.start[1] < 1 or any(not 0 <= day <= brood.until for day in times):
        raise ValueError("A brood needs heads at the start, ranges from low to high, and times between 0 and its end.")


def _total(numbers: Sequence[Heads]) -> Heads:
    highs = [high for _low, high in numbers if high is not None]
    return sum(low for low, _high in numbers), sum(highs) if len(highs) == len(numbers) else None


def _floor(brood: Brood, day: float) -> int:
    """The fewest heads that must have lived at the end of a day (-1: before the first), by the counts after it."""
    gone = [(one.days, one.heads[0]) for one in brood.gone]
    ahead = [
        one.heads[0] + sum(heads for when, heads in gone if day < when <= one.days)
        for one in brood.seen
        if one.days >= day
    ]
    return max([sum(heads for when, heads in gone if when > day), *ahead])


def _possible_start(brood: Brood) -> tuple[int, int]:
    least = max(1, _floor(brood, -1.0))
    return max(brood.start[0], least), max(brood.start[1], least)


def _by_day(brood: Brood, day: float, *, died: bool) -> list[Heads]:
    return [one.heads for one in brood.gone if one.days == day and one.died is died]


def _worst(brood: Brood, start: int, days: Sequence[float]) -> list[Life]:
    """Lives with deaths at their most: those told before a full count at their least, the rest dead at that count."""
    lives, living = [], start
    for day in days:
        full = [one for one in brood.seen if one.heads[1] is not None and one.days >= day]
        floor = _floor(brood, day)
        leaving = _total(_by_day(brood, day, died=False))
        died = _most(_total(_by_day(brood, day, died=True)), living - floor - leaving[0], at_least=bool(full))
        left = _most(leaving, living - died - floor, at_least=bool(full))
        missing = living - died - left - floor if any(one.days == day for one in full) else 0
        lives += [Life(day, died=True, heads=died + missing), Life(day, died=False, heads=left)]
        living -= died + left + missing
    return [*lives, Life(brood.until, died=False, heads=living)]


def _most(heads: Heads, room: int, *, at_least: bool) -> int:
    """The most of a range that there is room for; its least where a count to come settles the rest."""
    low, high = heads
    return low if at_least else max(low, room if high is None else min(high, room))


def _best(brood: Brood, start: int) -> list[Life]:
    """Lives with deaths and departures at their fewest, and all that are missing alive."""
    lives = [Life(one.days, died=one.died, heads=one.heads[0]) for one in brood.gone]
    return [*lives, Life(brood.until, died=False, heads=start - sum(life.heads for life in lives))]


Point = tuple[float, float]
"""Survival and Greenwood's sum d/(n(n-d))."""


def _points(lives: list[Life], days: Sequence[float]) -> list[Point]:
    curve = survival_curve(lives)
    steps = [curve.step_at(day) for day in days]
    return [
        (1.0, 0.0) if step is None else (step.survival, step.variance / step.survival**2 if step.survival else 0.0)
        for step in steps
    ]


def _lower(brood: Brood, start: int, days: Sequence[float]) -> list[Point]:
    """The lower curve for one number at the start: up to a full count, all that it may be short of are dead that day."""
    lives = _worst(brood, start, days)
    last_full = max((one.days for one in brood.seen if one.heads[1] is not None), default=-1.0)
    points = []
    for day, (survival, hazard) in zip(days, _points(lives, days), strict=True):
        living = start - sum(life.heads for life in lives if life.days <= day)
        short = max(0, living - _floor(brood, day)) if day < last_full else 0
        left = living - short
        more = short / (living * left) if left else 0.0
        points.append((survival * left / living if living else survival, hazard + more))
    return points


def _least(curves: list[list[Point]]) -> list[Point]:
    return [min(points) for points in zip(*curves, strict=True)]


def _outer(low: Point, high: Point, level: float) -> Point | None:
    """From the lower end of the lower curve's interval to the upper end of the upper's; a curve at 0 or 1 ends there."""
    if low[0] > 1 - NEAR or high[0] < NEAR:
        return None
    below, above = log_log_interval(*low, level), log_log_interval(*high, level)
    return below[0] if below else 0.0, above[1] if above else 1.0


def _missing(brood: Brood, start: tuple[int, int]) -> Heads:
    """The heads that counts could not find: the book before each full count, less the count; the book goes on from it."""
    book: Heads = start
    missing: Heads = (0, 0)
    edges = [-1.0, *sorted({one.days for one in brood.seen if one.heads[1] is not None})]
    for before, day in pairwise(edges):
        low, high = _total([one.heads for one in brood.gone if before < one.days <= day])
        book = (0 if high is None else max(0, book[0] - high), max(0, (book[1] or 0) - low))
        count = next(one.heads for one in reversed(brood.seen) if one.days == day and one.heads[1] is not None)
        missing = (
            missing[0] + max(0, book[0] - (count[1] or 0)),
            (missing[1] or 0) + max(0, (book[1] or 0) - count[0]),
        )
        book = count
    return missing


@dataclass(frozen=True, slots=True)
class BroodComparison:
    """Two broods by the log-rank test at the corners of what is in doubt: each brood at its worst and at its best.

    `p` from least to greatest over the corners; `better` is 1 or 2 where in every corner the same brood loses fewer than
    expected and p is under 1 - level, else None. `tellable` is that of the corner with the least to go on.
    """

    p: tuple[float, float]
    better: int | None
    tellable: Tellable


def compare_broods(first: Brood, second: Brood, level: float = LEVEL) -> BroodComparison | None:
    """Compare two broods from their day 0; None where no corner has a loss while both had heads at risk."""
    found = [log_rank(one, other) for one in _corners(first) for other in _corners(second)]
    tests = [one for one in found if one is not None]
    if not tests:
        return None
    least = min((one.tellable for one in tests), key=lambda one: (one.losses, one.heads))
    if len(tests) < len(found):
        return BroodComparison((min(one.p for one in tests), 1.0), None, Tellable(0, least.heads))
    sides = {1 if one.observed[0] < one.expected[0] else 2 for one in tests}
    ends = min(one.p for one in tests), max(one.p for one in tests)
    sure = ends[1] < 1 - level and len(sides) == 1 and least.may
    return BroodComparison(ends, sides.pop() if sure else None, least)


def _corners(brood: Brood) -> tuple[list[Life], list[Life]]:
    """The lives at the worst (by the share alive at the end, over the starts) and at the best."""
    _check(brood)
    start = _possible_start(brood)
    days = sorted({0.0, brood.until, *(one.days for one in brood.gone), *(one.days for one in brood.seen)})
    worst = [_worst(brood, heads, days) for heads in range(start[0], start[1] + 1)]
    return min(worst, key=lambda lives: survival_curve(lives).survival_at(brood.until)), _best(brood, start[1])
