"""Sizes of a sample of a group: how far apart they are, and how two samples differ."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, variance

from bot.care.distributions import student_quantile
from bot.care.growth import MASS
from bot.care.intervals import LEVEL

LENGTH_GAP = 1.5
MASS_GAP = 3.0
"""Largest over smallest beyond which the large may eat the small, in length and in mass: divide them [common practice]."""


@dataclass(frozen=True, slots=True)
class Spread:
    """Smallest and largest of a sample (mm or g), `ratio` between them, the `limit` for it; `basis` is the animals measured.

    `past` the limit is a caution; a sample under it says nothing of the animals that were not measured.
    """

    smallest: float
    largest: float
    ratio: float
    limit: float
    basis: int

    @property
    def past(self) -> bool:
        """Whether the gap is past the limit."""
        return self.ratio > self.limit


def spread(values: Sequence[float], measure: str) -> Spread | None:
    """Return the spread of sizes of one measure; None for fewer than two. ValueError on a size of 0 or less."""
    if any(value <= 0 for value in values):
        raise ValueError("A size of 0 or less is no size.")
    if len(values) < 2:
        return None
    small, large = min(values), max(values)
    return Spread(small, large, large / small, MASS_GAP if measure in MASS else LENGTH_GAP, len(values))


@dataclass(frozen=True, slots=True)
class Difference:
    """By how much the mean of the first sample is above that of the second, with bounds, in the unit of the sizes.

    `basis` are the animals measured in each. `clear`: the bounds do not hold 0.
    """

    means: tuple[float, float]
    difference: float
    low: float
    high: float
    level: float
    degrees: float
    basis: tuple[int, int]

    @property
    def clear(self) -> bool:
        """Whether the difference is more than chance at this level."""
        return self.low > 0 or self.high < 0


def mean_difference(first: Sequence[float], second: Sequence[float], level: float = LEVEL) -> Difference | None:
    """Return Welch's interval: difference ± t sqrt(v1/n1 + v2/n2), for samples that need not scatter alike.

    Degrees of freedom by Welch 1947, Biometrika 34:28-35, and Satterthwaite 1946 [from memory]: (v1/n1 + v2/n2)² over the
    sum of (v/n)²/(n-1). Samples of the same day and measure. None for fewer than two in either, or where neither scatters
    at all, so that no error can be told.
    """
    if min(len(first), len(second)) < 2:
        return None
    parts = [variance(sample) / len(sample) for sample in (first, second)]
    error = sum(parts)
    if error <= 0:
        return None
    # Each part as a share of the whole: their squares would vanish for very small scatter.
    degrees = 1 / sum((part / error) ** 2 / (len(one) - 1) for part, one in zip(parts, (first, second), strict=True))
    means = fmean(first), fmean(second)
    reach = student_quantile((1 + level) / 2, degrees) * math.sqrt(error)
    difference = means[0] - means[1]
    basis = len(first), len(second)
    return Difference(means, difference, difference - reach, difference + reach, level, degrees, basis)
