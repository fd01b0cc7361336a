"""When the next moult may come: a window of days from the animal's own intervals, which lengthen as it grows.

That they lengthen: Grammostola vachoni (doi:10.1016/j.jcz.2021.05.005, abstract), and most arthropods with exceptions
(doi:10.1098/rstb.1997.0007). A window is no promise; adults may skip a year, and moults that nobody saw double an interval.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from statistics import fmean
from types import MappingProxyType

from bot.care.days import shifted
from bot.care.distributions import student_quantile

Span = tuple[float, float]
"""From low to high."""

LENGTHENING: Span = (1.0, 1.25)
"""The usual factor from one interval to the next. What it rests on, each reckoned by us from published means: Brachypelma
baumgarteni 1.06 (61 days a moult from instar 4 to 6, 71 from 6 to 9; educators' sheet), G. vachoni 1.14 (eight moults in
4.03 years, eleven in 7.03), a lycosid 1.02 then 1.19 (27.3, 29.6 and 56.1 days a stadium; doi:10.1093/aesa/64.4.757)."""

USUAL_DAYS: Mapping[str, Span] = MappingProxyType(
    {"sling": (21, 56), "juvenile": (60, 180), "subadult": (150, 365), "adult": (365, 1095)}
)
"""Days between moults by stage [common practice]; adult means females, since mature males do not moult again."""

LEVEL = 0.8
"""Of a window reckoned from four intervals or more: four moults in five should fall into it."""

SCATTER_FROM = 4
"""Own intervals from which their own scatter makes the window."""

LEAST_REACH = 1.1
CHANGED_REACH = 1.25
"""A window reaches at least a tenth about its middle, and a quarter further after a change of temperature or food. Our own
numbers; that such a change makes the window wider is common practice."""


@dataclass(frozen=True, slots=True)
class Window:
    """The next moult between `since` and `until`, `likely` in the middle.

    `source` is own (own intervals and how they lengthen), one (one own interval, lengthened as usual) or usual (none; by
    stage). `basis` is how many own intervals it rests on; `lengthening` the factor from one interval to the next (None for
    usual). The window is reckoned from `last`, the last moult on record; where it is past, a moult may have gone unseen.
    """

    since: date
    likely: date
    until: date
    source: str
    basis: int
    last: date
    lengthening: float | None


SAME_MOULT = timedelta(days=7)
"""Within this a moult is told twice, or its skin is found: no spiderling moults again so soon (common practice)."""


def next_moult(moults: Iterable[date], stage: str | None = None, *, changed: bool = False) -> Window | None:
    """Return the window of the next moult from the days of an animal's moults; None without a moult, or with one and no stage.

    One interval: it times the usual 1.00 to 1.25. Two or three: the line of log interval on its number, carried on by one,
    is the middle, and the window holds the usual too. Four and more: that line's own prediction interval at 80 %,
    exp(fit ± t s sqrt(1 + 1/n + (x - mean)²/Sxx)). `changed`: temperature or food changed since the last moult.
    """
    days = distinct(moults)
    if not days:
        return None
    gaps = [(late - early).days for early, late in pairwise(days)]
    found = _reckoned(gaps, stage)
    if found is None:
        return None
    (low, middle, high), source, lengthening = found
    wider = CHANGED_REACH if changed else 1.0
    low, high = min(low, middle / LEAST_REACH) / wider, max(high, middle * LEAST_REACH) * wider
    since, likely, until = (shifted(days[-1], round(reach)) for reach in (low, middle, high))
    return Window(since, likely, until, source, len(gaps), days[-1], lengthening)


def distinct(moults: Iterable[date]) -> list[date]:
    """The days of an animal's moults in order, each moult once: what is told within a week of one is the same moult again."""
    days: list[date] = []
    for day in sorted(set(moults)):
        if not days or day - days[-1] > SAME_MOULT:
            days.append(day)
    return days


def _reckoned(gaps: Sequence[int], stage: str | None) -> tuple[tuple[float, float, float], str, float | None] | None:
    """The next interval as low, middle and high in days, what it rests on, and the factor from one to the next."""
    if not gaps:
        usual = USUAL_DAYS.get(stage or "")
        return None if usual is None else ((usual[0], math.sqrt(usual[0] * usual[1]), usual[1]), "usual", None)
    as_usual = [gaps[-1] * factor for factor in LENGTHENING]
    if len(gaps) == 1:
        lengthening = math.sqrt(LENGTHENING[0] * LENGTHENING[1])
        return (as_usual[0], gaps[0] * lengthening, as_usual[1]), "one", lengthening
    line = _fit(gaps)
    if len(gaps) < SCATTER_FROM:
        return (min(as_usual[0], line.next), line.next, max(as_usual[1], line.next)), "own", line.factor
    return (line.next / line.reach, line.next, line.next * line.reach), "own", line.factor


@dataclass(frozen=True, slots=True)
class _Line:
    """Log interval on its number, carried on by one: the next interval in days, its reach as a factor, growth by step."""

    next: float
    reach: float
    factor: float


def _fit(gaps: Sequence[int]) -> _Line:
    """Fit log gap on its number 0, 1, … by least squares."""
    logs = [math.log(gap) for gap in gaps]
    count = len(gaps)
    middle = (count - 1) / 2
    squares = sum((place - middle) ** 2 for place in range(count))
    slope = sum((place - middle) * log for place, log in enumerate(logs)) / squares
    level = fmean(logs)
    following = level + slope * (count - middle)
    reach = 0.0
    if count > 2:
        rest = sum((log - level - slope * (place - middle)) ** 2 for place, log in enumerate(logs))
        doubt = math.sqrt(rest / (count - 2) * (1 + 1 / count + (count - middle) ** 2 / squares))
        reach = student_quantile((1 + LEVEL) / 2, count - 2) * doubt
    # A century is more than any window, and keeps the powers within what a number can hold.
    return _Line(math.exp(min(following, math.log(36_525))), math.exp(min(reach, math.log(36_525))), math.exp(slope))
