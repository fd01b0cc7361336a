"""The usual gap between like acts, as the records show it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from statistics import median


@dataclass(frozen=True, slots=True)
class Gap:
    """The usual gap in days (median) and how many gaps it rests on."""

    days: float
    observed: int


def usual_gap(days: Iterable[date], latest: int = 8) -> Gap | None:
    """Return the median of the latest gaps between different days; None when there are fewer than two days.

    The median, since one holiday or one doubled entry must not move what is usual.
    """
    gaps = [(late - early).days for early, late in pairwise(sorted(set(days)))][-latest:]
    return Gap(float(median(gaps)), len(gaps)) if gaps else None
