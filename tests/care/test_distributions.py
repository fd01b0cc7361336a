"""Tails and quantiles agree with scipy."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special, stats

from bot.care.distributions import (
    beta_quantile,
    chi_square_above,
    incomplete_beta,
    normal_quantile,
    poisson_at_most,
    poisson_mean,
    student_above,
    student_quantile,
)

SHARES = st.floats(1e-4, 1 - 1e-4)
SIZES = st.floats(0.05, 3000)


@given(SIZES, SIZES, st.floats(0, 1))
def test_incomplete_beta_is_scipys(a: float, b: float, x: float) -> None:
    """The continued fraction gives what scipy.special.betainc gives."""
    assert incomplete_beta(a, b, x) == pytest.approx(special.betainc(a, b, x), abs=1e-10)


@given(SHARES, st.floats(0.5, 2000), st.floats(0.5, 2000))
def test_beta_quantile_is_scipys(share: float, a: float, b: float) -> None:
    """Halving finds the quantile of scipy.stats.beta."""
    assert beta_quantile(share, a, b) == pytest.approx(stats.beta.ppf(share, a, b), abs=1e-9)


def test_incomplete_beta_refuses_what_has_no_value() -> None:
    """Outside of its range the function has no value."""
    for a, b, x in ((0.0, 1.0, 0.5), (1.0, -1.0, 0.5), (1.0, 1.0, 1.1)):
        with pytest.raises(ValueError, match="no value"):
            incomplete_beta(a, b, x)


@given(st.integers(-1, 400), st.floats(0, 500))
def test_poisson_tail_is_scipys(count: int, mean: float) -> None:
    """The sum of the terms is scipy.stats.poisson.cdf."""
    assert poisson_at_most(count, mean) == pytest.approx(stats.poisson.cdf(count, mean), abs=1e-11)


@given(st.integers(0, 400), SHARES)
def test_poisson_mean_has_that_tail(count: int, share: float) -> None:
    """At the mean found, so few or fewer come with the chance asked for."""
    assert stats.poisson.cdf(count, poisson_mean(count, share)) == pytest.approx(share, abs=1e-9)


@given(st.floats(0.5, 0.9999), st.floats(1, 500))
def test_student_quantile_is_scipys(share: float, degrees: float) -> None:
    """Student's quantile agrees with scipy.stats.t, also for broken degrees of freedom."""
    assert student_quantile(share, degrees) == pytest.approx(stats.t.ppf(share, degrees), rel=1e-8, abs=1e-8)


@given(st.floats(0, 40), st.floats(0.5, 500))
def test_student_tail_is_scipys(t: float, degrees: float) -> None:
    """Student's upper tail agrees with scipy.stats.t."""
    assert student_above(t, degrees) == pytest.approx(stats.t.sf(t, degrees), rel=1e-8, abs=1e-12)


@given(st.floats(0, 200))
def test_chi_square_tail_is_scipys(value: float) -> None:
    """The tail with one degree of freedom agrees with scipy.stats.chi2."""
    assert chi_square_above(value) == pytest.approx(stats.chi2.sf(value, 1), rel=1e-10)


@given(SHARES)
def test_normal_quantile_is_scipys(share: float) -> None:
    """The standard normal quantile agrees with scipy.stats.norm."""
    assert normal_quantile(share) == pytest.approx(stats.norm.ppf(share), abs=1e-9)
