"""Tails and quantiles of the beta, binomial, Poisson, Student t and chi-square distributions.

By own code on `math`, since a library of statistics takes longer to load than a reply may take to come.
"""

from __future__ import annotations

import math
from collections.abc import Callable

SMALLEST = 1e-300
"""Stands in for nought in the continued fraction, which divides."""


def incomplete_beta(a: float, b: float, x: float) -> float:
    """Return the regularised incomplete beta function I_x(a, b); a, b > 0, 0 <= x <= 1, else ValueError.

    By the continued fraction 8.17.22 of the NIST Digital Library of Mathematical Functions, evaluated by the modified
    method of Lentz (Thompson and Barnett 1986, J. Comput. Phys. 64:490); beyond (a+1)/(a+b+2) by I_x(a,b) = 1 - I_1-x(b,a).
    """
    if a <= 0 or b <= 0 or not 0 <= x <= 1:
        raise ValueError(f"The incomplete beta function has no value at a={a}, b={b}, x={x}.")
    if x in {0.0, 1.0}:
        return float(x)
    if x > (a + 1) / (a + b + 2):
        return 1 - incomplete_beta(b, a, 1 - x)
    front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    return min(1.0, math.exp(front) / (a * _fraction(a, b, x)))


def _fraction(a: float, b: float, x: float) -> float:
    """The continued fraction 1 + d1/(1 + d2/(1 + …)) by Lentz's method; converges in O(sqrt(max(a, b))) steps."""
    value, numerator, denominator = 1.0, 1.0, 0.0
    for step in range(1, 20_000):
        term = _term(a, b, x, step)
        denominator = 1 / (1 + term * denominator or SMALLEST)
        numerator = 1 + term / numerator or SMALLEST
        change = numerator * denominator
        value *= change
        if abs(change - 1) < 1e-16:
            break
    return value


def _term(a: float, b: float, x: float, step: int) -> float:
    half = step // 2
    if step % 2:
        return -(a + half) * (a + b + half) * x / ((a + 2 * half) * (a + 2 * half + 1))
    return half * (b - half) * x / ((a + 2 * half - 1) * (a + 2 * half))


def beta_quantile(share: float, a: float, b: float) -> float:
    """Return x with I_x(a, b) = share, 0 < share < 1, to 1e-12."""
    return _where(lambda x: incomplete_beta(a, b, x) >= share, 0.0, 1.0)


def poisson_at_most(count: int, mean: float) -> float:
    """Return P(X <= count) for a Poisson count of this mean: the sum of exp(-mean) mean^i / i!."""
    if count < 0:
        return 0.0
    if mean <= 0:
        return 1.0
    log_mean = math.log(mean)
    return min(1.0, math.fsum(math.exp(i * log_mean - mean - math.lgamma(i + 1)) for i in range(count + 1)))


def poisson_mean(count: int, share: float) -> float:
    """Return the mean at which P(X <= count) has come down to `share`, 0 < share < 1."""
    highest = count + 40 * math.sqrt(count + 1) + 800
    return _where(lambda mean: poisson_at_most(count, mean) <= share, 0.0, highest)


def normal_quantile(share: float) -> float:
    """Return the quantile of the standard normal distribution (1.95996 for 0.975)."""
    from statistics import NormalDist  # noqa: PLC0415 - the module is slow to load and few answers need it

    return NormalDist().inv_cdf(share)


def student_above(t: float, degrees: float) -> float:
    """Return P(T > t) for t >= 0 and any positive degrees of freedom: I_x(degrees/2, 1/2) / 2, x = d/(d + t²).

    Abramowitz and Stegun 26.7.1 [from memory]. For a small t from the middle outwards, where x is too near 1 to be told.
    """
    squared = t * t
    if squared < degrees:
        return 0.5 - incomplete_beta(0.5, degrees / 2, squared / (degrees + squared)) / 2
    return incomplete_beta(degrees / 2, 0.5, degrees / (degrees + squared)) / 2


def student_quantile(share: float, degrees: float) -> float:
    """Return t with P(T <= t) = share for 0.5 <= share < 1 and any positive degrees of freedom."""
    highest = 1.0
    while student_above(highest, degrees) > 1 - share:
        highest *= 2
    return _where(lambda t: student_above(t, degrees) <= 1 - share, 0.0, highest)


def chi_square_above(value: float) -> float:
    """Return P(X > value) for one degree of freedom: erfc(sqrt(value/2)), since X is a squared normal deviate."""
    return math.erfc(math.sqrt(max(0.0, value) / 2))


def _where(passed: Callable[[float], bool], low: float, high: float) -> float:
    """The point from which on `passed` holds, by halving until no number lies between, at most 200 times."""
    for _ in range(200):
        middle = (low + high) / 2
        if middle in {low, high}:
            break
        low, high = (low, middle) if passed(middle) else (middle, high)
    return high
