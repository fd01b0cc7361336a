"""Between what bounds a share or a rate may lie, when so many were seen: "45 of 60 made it", "none of 20 was lost".

Every interval says by which method it is, its level and how many observations it rests on.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bot.care.distributions import beta_quantile, normal_quantile, poisson_mean

LEVEL = 0.95
"""The level of every interval unless another is asked for."""

RULE_OF_THREE_FROM = 30
"""Heads from which 3/n is near enough to the exact bound (0.1 against 0.095); below, only the exact one is told."""


@dataclass(frozen=True, slots=True)
class Interval:
    """A share (0 to 1) or a rate with its bounds; `method` is wilson, exact or poisson; `basis` the heads it rests on."""

    estimate: float
    low: float
    high: float
    level: float
    method: str
    basis: int


@dataclass(frozen=True, slots=True)
class ZeroLosses:
    """The most that the chance of a loss may be when none of `basis` heads was lost. All bounds are one-sided.

    `exact` is 1 - (1 - level)^(1/n), always told. `rule_of_three` is 3/n, None under 30 heads or at a level other than
    95 %, where it is no good. `method` says which one `bound` is.
    """

    exact: float
    rule_of_three: float | None
    level: float
    basis: int
    method: str = "exact one-sided"

    @property
    def bound(self) -> float:
        """The bound to tell: the exact one."""
        return self.exact


def wilson(made: int, of: int, level: float = LEVEL) -> Interval:
    """Return Wilson's score interval for `made` of `of`.

    (p + z²/2n ± z sqrt(p(1-p)/n + z²/4n²)) / (1 + z²/n); Wilson 1927, J. Am. Stat. Assoc. 22:209-212 [from memory], as
    compared by Newcombe 1998, Stat. Med. 17:857-872. ValueError unless 0 <= made <= of, of > 0 and 0 < level < 1.
    """
    _check(made, of, level)
    z = normal_quantile((1 + level) / 2)
    share = made / of
    middle = share + z * z / (2 * of)
    reach = z * math.sqrt(share * (1 - share) / of + z * z / (4 * of * of))
    scale = 1 + z * z / of
    # At none and at all the bound is 0 and 1 by algebra; rounding would leave 1e-17.
    low = 0.0 if made == 0 else (middle - reach) / scale
    high = 1.0 if made == of else (middle + reach) / scale
    return Interval(share, low, high, level, "wilson", of)


def clopper_pearson(made: int, of: int, level: float = LEVEL) -> Interval:
    """Return the exact interval for `made` of `of`: at least `level` sure, whatever the true share.

    Low is the beta quantile (1-level)/2 with made, of-made+1; high is 1-(1-level)/2 with made+1, of-made. Clopper and
    Pearson 1934, Biometrika 26:404-413 [from memory]. ValueError as for `wilson`.
    """
    _check(made, of, level)
    tail = (1 - level) / 2
    low = 0.0 if made == 0 else beta_quantile(tail, made, of - made + 1)
    high = 1.0 if made == of else beta_quantile(1 - tail, made + 1, of - made)
    return Interval(made / of, low, high, level, "exact", of)


def made_it(made: tuple[int, int], of: tuple[int, int], level: float = LEVEL) -> Interval:
    """Return the exact interval where both numbers are ranges: from the fewest of the most to the most of the fewest.

    The estimate is that of the middles; `basis` the fewest heads. Wider than either count alone would have it, since it
    holds what chance and what counting leave open. ValueError on a range upside down or more made than there can have been.
    """
    if made[0] > made[1] or of[0] > of[1] or made[1] > of[1]:
        raise ValueError(f"{made} of {of} is no share.")
    low = clopper_pearson(min(made[0], of[1]), of[1], level).low
    high = clopper_pearson(min(made[1], of[0]), of[0], level).high
    return Interval(min(1.0, sum(made) / sum(of)), low, high, level, "exact", of[0])


def zero_losses(of: int, level: float = LEVEL) -> ZeroLosses:
    """Return how high the chance of a loss may be when none of `of` heads was lost, one-sided.

    From (1 - p)^n = 1 - level. The rule of three, 3/n, is its short form at 95 %: Hanley and Lippman-Hand 1983, JAMA
    249:1743-1745 [from memory]. ValueError unless of > 0 and 0 < level < 1.
    """
    _check(0, of, level)
    rough = 3 / of if of >= RULE_OF_THREE_FROM and level == LEVEL else None
    return ZeroLosses(-math.expm1(math.log1p(-level) / of), rough, level, of)


def losses_per_time(losses: int, time: float, level: float = LEVEL) -> Interval:
    """Return the rate of losses with its exact Poisson interval; in losses per unit of `time`, so 1/days for days.

    The bounds are the means at which so many or more, and so few or fewer, come in (1-level)/2 of cases: Garwood 1936,
    Biometrika 28:437-442 [from memory]. `basis` is the number of losses. Good for losses over head-days; never for how
    many are in a tub, where a count is a least number and no draw. ValueError on fewer than 0 losses or no time.
    """
    if losses < 0 or time <= 0 or not 0 < level < 1:
        raise ValueError(f"No rate can be made of {losses} losses in {time} at level {level}.")
    tail = (1 - level) / 2
    low = 0.0 if losses == 0 else poisson_mean(losses - 1, 1 - tail)
    high = poisson_mean(losses, tail)
    return Interval(losses / time, low / time, high / time, level, "poisson", losses)


def _check(made: int, of: int, level: float) -> None:
    if of <= 0 or not 0 <= made <= of or not 0 < level < 1:
        raise ValueError(f"{made} of {of} at level {level} is no share.")
