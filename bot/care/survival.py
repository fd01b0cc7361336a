"""How long animals live: the Kaplan-Meier curve of heads whose fate is known, and two groups compared.

A head found dead is a death. One sold, given away, split off or alive today is censored: it lived at least so long. One that
is not seen is neither, and has no place here; `bot.care.broods` says what unaccounted heads do to the bounds.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from bot.care.distributions import chi_square_above, normal_quantile
from bot.care.intervals import LEVEL

HANDFUL = 5
"""Fewer losses in all, or fewer heads in a group, bear no verdict: our own rule, set low on purpose."""

NEAR = 1e-12


@dataclass(frozen=True, slots=True)
class Life:
    """So many heads that lived `days` (0 or more): `died` then, or were last known alive then (sold, given away, today)."""

    days: float
    died: bool
    heads: int = 1


@dataclass(frozen=True, slots=True)
class Step:
    """What the curve is from `days` on: survival 0 to 1; `at_risk` are the heads just before, deaths before departures.

    `variance` is Greenwood's. `plain` is survival ± z times its root, cut at 0 and 1; `log_log` is the one to tell, since
    it never passes 0 or 1. Both None where there is no interval: before the first death, and when none is left alive.
    """

    days: float
    at_risk: int
    deaths: int
    left: int
    survival: float
    variance: float
    plain: tuple[float, float] | None
    log_log: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Curve:
    """A Kaplan-Meier curve: a step for each time of a death or departure, and how many heads it rests on (`basis`)."""

    steps: tuple[Step, ...]
    basis: int
    level: float

    @property
    def deaths(self) -> int:
        """The deaths in all."""
        return sum(step.deaths for step in self.steps)

    @property
    def until(self) -> float:
        """The last day on which anything is known of any head."""
        return self.steps[-1].days if self.steps else 0.0

    def step_at(self, days: float) -> Step | None:
        """The step that holds on a day; None before the first."""
        place = bisect_right(self.steps, days, key=lambda step: step.days)
        return self.steps[place - 1] if place else None

    def survival_at(self, days: float) -> float:
        """The share alive after so many days."""
        step = self.step_at(days)
        return 1.0 if step is None else step.survival


def survival_curve(lives: Iterable[Life], level: float = LEVEL) -> Curve:
    """Return the curve: the product over the times t of (1 - deaths/at risk); Kaplan and Meier 1958 [from memory].

    Variance: survival² times the sum of d/(n(n-d)), Greenwood 1926 [from memory]. ValueError on a negative time or number.
    """
    table = _table(lives)
    at_risk = basis = sum(deaths + left for deaths, left in table.values())
    survival, hazard = 1.0, 0.0
    steps = []
    for days, (deaths, left) in sorted(table.items()):
        survival *= 1 - deaths / at_risk
        hazard += deaths / (at_risk * (at_risk - deaths)) if deaths < at_risk else 0.0
        bounds = plain_interval(survival, hazard, level), log_log_interval(survival, hazard, level)
        steps.append(Step(days, at_risk, deaths, left, survival, survival * survival * hazard, *bounds))
        at_risk -= deaths + left
    return Curve(tuple(steps), basis, level)


def _table(lives: Iterable[Life]) -> dict[float, tuple[int, int]]:
    table: dict[float, tuple[int, int]] = {}
    for life in lives:
        if life.days < 0 or life.heads < 0:
            raise ValueError(f"{life.heads} heads cannot have lived {life.days} days.")
        if life.heads:
            deaths, left = table.get(life.days, (0, 0))
            table[life.days] = (deaths + life.heads, left) if life.died else (deaths, left + life.heads)
    return table


def plain_interval(survival: float, hazard: float, level: float = LEVEL) -> tuple[float, float] | None:
    """Return S ± z S sqrt(hazard), cut at 0 and 1; `hazard` is Greenwood's sum. None at S of 0 or 1."""
    if not NEAR < survival < 1 - NEAR:
        return None
    reach = normal_quantile((1 + level) / 2) * survival * math.sqrt(hazard)
    return max(0.0, survival - reach), min(1.0, survival + reach)


def log_log_interval(survival: float, hazard: float, level: float = LEVEL) -> tuple[float, float] | None:
    """Return S^exp(± z sqrt(hazard)/ln S), the interval of ln(-ln S) turned back. None at S of 0 or 1.

    Kalbfleisch and Prentice 1980 [from memory]; the default of lifelines, against which it is checked.
    """
    if not NEAR < survival < 1 - NEAR:
        return None
    log_survival = math.log(survival)
    reach = normal_quantile((1 + level) / 2) * math.sqrt(hazard) / log_survival
    return math.exp(log_survival * math.exp(-reach)), math.exp(log_survival * math.exp(reach))


def median_life(curve: Curve) -> float | None:
    """Return the first day on which half or fewer are alive; None while more than half live, so that none can be told."""
    return next((step.days for step in curve.steps if step.survival <= 0.5 + NEAR), None)


def median_bounds(curve: Curve) -> tuple[float | None, float | None]:
    """Return the bounds of the median: the first days on which the lower and the upper log-log end are at half or under.

    Brookmeyer and Crowley 1982, Biometrics 38:29-41 [from memory]; None: that end never comes down so far.
    """
    ends = [(step.days, step.log_log or (round(step.survival), round(step.survival))) for step in curve.steps]
    low, high = (next((days for days, both in ends if both[place] <= 0.5), None) for place in (0, 1))
    return low, high


def restricted_mean(curve: Curve, until: float) -> float:
    """Return the mean days lived within the first `until` days: the area under the curve up to there.

    ValueError beyond the last day known, unless none is left alive: the curve says nothing there.
    """
    if until < 0 or (until > curve.until and curve.survival_at(until) > NEAR):
        raise ValueError(f"The curve tells nothing of {until} days; it ends at {curve.until}.")
    edges = [0.0, *(step.days for step in curve.steps if 0 < step.days < until), until]
    return sum((late - early) * curve.survival_at(early) for early, late in pairwise(edges))


def told_until(curve: Curve, least: int = HANDFUL) -> float | None:
    """Return the last day up to which at least so many heads bear the curve; None if there never were as many."""
    return max((step.days for step in curve.steps if step.at_risk >= least), default=None)


@dataclass(frozen=True, slots=True)
class Tellable:
    """Whether a comparison may be told. `why_not` holds "few losses" and "few heads"; empty if it may.

    `losses` are the deaths in both groups while both had heads at risk; `heads` those of the smaller group at the start.
    """

    losses: int
    heads: int

    @property
    def why_not(self) -> tuple[str, ...]:
        """What is wanting."""
        wanting = (("few losses", self.losses < HANDFUL), ("few heads", self.heads < HANDFUL))
        return tuple(name for name, short in wanting if short)

    @property
    def may(self) -> bool:
        """Whether a verdict may be told."""
        return not self.why_not


@dataclass(frozen=True, slots=True)
class LogRank:
    """Two groups compared: `p` is the chance of such a difference where there is none (two-sided, one degree of freedom).

    `observed` and `expected` are the deaths of the first group and of the second. Ask `tellable` before telling any of it.
    """

    chi_square: float
    p: float
    observed: tuple[int, int]
    expected: tuple[float, float]
    tellable: Tellable


def log_rank(first: Sequence[Life], second: Sequence[Life]) -> LogRank | None:
    """Return the log-rank test: (O - E)² / V, V the sum of n1 n2 d (n-d) / (n² (n-1)); None if nothing can differ.

    Mantel 1966, Cancer Chemother. Rep. 50:163 [from memory]. Time in days since the same event in both (leaving the sac).
    """
    ours, theirs = _table(first), _table(second)
    heads = [sum(map(sum, table.values())) for table in (ours, theirs)]
    n1, n2 = heads
    expected, variance, shared = 0.0, 0.0, 0
    for days in sorted(ours | theirs):
        (d1, left1), (d2, left2) = ours.get(days, (0, 0)), theirs.get(days, (0, 0))
        deaths, n = d1 + d2, n1 + n2
        expected += deaths * n1 / n
        variance += n1 * n2 * deaths * (n - deaths) / (n * n * (n - 1)) if n > 1 else 0.0
        shared += deaths if n1 and n2 else 0
        n1, n2 = n1 - d1 - left1, n2 - d2 - left2
    if variance <= NEAR:
        return None
    observed = [sum(deaths for deaths, _left in table.values()) for table in (ours, theirs)]
    chi_square = (observed[0] - expected) ** 2 / variance
    expectations = expected, sum(observed) - expected
    tellable = Tellable(shared, min(heads))
    return LogRank(chi_square, chi_square_above(chi_square), (observed[0], observed[1]), expectations, tellable)
