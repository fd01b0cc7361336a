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
    course = _course(brood)
    start = _possible_start(brood, course)
    lower = [min(points) for points in zip(*(_lower(course, heads) for heads in _each(start)), strict=True)]
    upper = _points(_best(brood, start[1]), course)
    bands = tuple(
        Band(day.days, min(low[0], high[0]), high[0], _outer(low, high, level))
        for day, low, high in zip(course, lower, upper, strict=True)
    )
    died, left = (_total([one.heads for one in brood.gone if one.died is kind]) for kind in (True, False))
    return BroodSurvival(bands, start, died, left, _missing(brood, start), start != brood.start, start[0])


def _check(brood: Brood) -> None:
    told = [brood.start, *(one.heads for one in brood.gone), *(one.heads for one in brood.seen)]
    wrong = any(low < 0 or (high is not None and high < low) for low, high in told)
    times = [one.days for one in brood.gone] + [one.days for one in brood.seen]
    if wrong or brood.start[1] < 1 or any(not 0 <= day <= brood.until for day in times):
        raise ValueError("A brood needs heads at the start, ranges from low to high, and times between 0 and its end.")


def _total(numbers: Sequence[Heads]) -> Heads:
    highs = [high for _low, high in numbers if high is not None]
    return sum(low for low, _high in numbers), sum(highs) if len(highs) == len(numbers) else None


@dataclass(frozen=True, slots=True)
class _Day:
    """What is told of one day. `floor`: the fewest that must have lived at its end, by what is told of it and of later.

    `counted`: a full count was made; `settled`: one was made then or later, so that it tells what died until then.
    """

    days: float
    died: Heads
    left: Heads
    counted: bool
    settled: bool
    floor: int


def _course(brood: Brood) -> list[_Day]:
    """Every day on which something is told, day 0 and the last, in order; reckoned backwards for floors."""
    course: list[_Day] = []
    floor, settled = 0, False
    for day in sorted(
        {0.0, brood.until, *(one.days for one in brood.gone), *(one.days for one in brood.seen)}, reverse=True
    ):
        seen = [one.heads for one in brood.seen if one.days == day]
        counted = any(high is not None for _low, high in seen)
        settled = settled or counted
        floor = max([floor, *(low for low, _high in seen)])
        died, left = (
            _total([one.heads for one in brood.gone if (one.days, one.died) == (day, kind)]) for kind in (True, False)
        )
        course.append(_Day(day, died, left, counted, settled, floor))
        floor += died[0] + left[0]
    return course[::-1]


def _possible_start(brood: Brood, course: list[_Day]) -> tuple[int, int]:
    first = course[0]
    least = max(1, first.floor + first.died[0] + first.left[0])
    return max(brood.start[0], least), max(brood.start[1], least)


def _each(start: tuple[int, int]) -> range:
    return range(start[0], start[1] + 1)


def _worst(course: list[_Day], start: int) -> list[Life]:
    """Lives with deaths at their most: those told before a full count at their least, the rest dead at that count."""
    lives, living = [], start
    for day in course:
        died = _most(day.died, living - day.floor - day.left[0], at_least=day.settled)
        left = _most(day.left, living - died - day.floor, at_least=day.settled)
        missing = living - died - left - day.floor if day.counted else 0
        lives += [Life(day.days, died=True, heads=died + missing), Life(day.days, died=False, heads=left)]
        living -= died + left + missing
    return [*lives, Life(course[-1].days, died=False, heads=living)]


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


def _points(lives: list[Life], course: list[_Day]) -> list[Point]:
    curve = survival_curve(lives)
    steps = [curve.step_at(day.days) for day in course]
    return [
        (1.0, 0.0) if step is None else (step.survival, step.variance / step.survival**2 if step.survival else 0.0)
        for step in steps
    ]


def _lower(course: list[_Day], start: int) -> list[Point]:
    """The lower curve for one number at the start: up to a full count, all that it may be short of are dead that day."""
    lives = _worst(course, start)
    points, living = [], start
    for day, (survival, hazard), dead, gone in zip(
        course, _points(lives, course), lives[::2], lives[1::2], strict=False
    ):
        living -= dead.heads + gone.heads
        short = living - day.floor if day.settled else 0
        left = living - short
        more = short / (living * left) if left else 0.0
        points.append((survival * left / living if living else survival, hazard + more))
    return points


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
    course = _course(brood)
    start = _possible_start(brood, course)
    worst = [_worst(course, heads) for heads in _each(start)]
    return min(worst, key=lambda lives: survival_curve(lives).survival_at(brood.until)), _best(brood, start[1])
