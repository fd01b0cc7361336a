"""Intervals for shares and rates, against printed values and two libraries of statistics."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from bot.care.intervals import Interval, clopper_pearson, losses_per_time, made_it, wilson, zero_losses

COUNTS = st.integers(1, 600).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of)))
LEVELS = st.sampled_from([0.8, 0.9, 0.95, 0.99])

# Computed with scipy 1.17.1 binomtest and statsmodels 0.15.0 proportion_confint, which agree to 1e-5:
# made, of, exact low and high, Wilson low and high.
PRINTED = [
    (0, 10, 0.0, 0.308497, 0.0, 0.277533),
    (0, 20, 0.0, 0.168433, 0.0, 0.161125),
    (0, 50, 0.0, 0.071122, 0.0, 0.071348),
    (1, 10, 0.002529, 0.445016, 0.017876, 0.404150),
    (2, 20, 0.012349, 0.316983, 0.027866, 0.301034),
    (5, 20, 0.086571, 0.491046, 0.111862, 0.468701),
    (8, 10, 0.443905, 0.974789, 0.490162, 0.943318),
    (10, 10, 0.691503, 1.0, 0.722467, 1.0),
    (81, 263, 0.252737, 0.367622, 0.255289, 0.366210),
    (45, 60, 0.621404, 0.852814, 0.627679, 0.842235),
    (180, 240, 0.690241, 0.803470, 0.691570, 0.800553),
    (312, 400, 0.736157, 0.819644, 0.736847, 0.817826),
    (95, 100, 0.887165, 0.983568, 0.888250, 0.978456),
]


def test_newcombes_example() -> None:
    """81 of 263, Newcombe 1998, Stat. Med. 17:857-872 (from memory): Wilson 0.2553-0.3662, exact 0.2527-0.3676."""
    score, exact = wilson(81, 263), clopper_pearson(81, 263)
    assert (round(score.low, 4), round(score.high, 4)) == (0.2553, 0.3662)
    assert (round(exact.low, 4), round(exact.high, 4)) == (0.2527, 0.3676)
    assert (score.basis, score.method, exact.method) == (263, "wilson", "exact")


def test_slings_that_grew_up() -> None:
    """189 of 212 Loxosceles (J. Arachnol. 33:758, abstract; that 189 lived is our reading): 0.842 to 0.930, 0.843 to 0.927."""
    exact, score = clopper_pearson(189, 212), wilson(189, 212)
    assert (exact.low, exact.high) == pytest.approx((0.84167, 0.92997), abs=6e-6)
    assert (score.low, score.high) == pytest.approx((0.84247, 0.92661), abs=6e-6)


@pytest.mark.parametrize(("made", "of", "exact_low", "exact_high", "low", "high"), PRINTED)
def test_table_of_intervals(made: int, of: int, exact_low: float, exact_high: float, low: float, high: float) -> None:
    """The table of two-sided 95 % intervals holds to its last digit."""
    exact, score = clopper_pearson(made, of), wilson(made, of)
    assert (exact.low, exact.high) == pytest.approx((exact_low, exact_high), abs=6e-7)
    assert (score.low, score.high) == pytest.approx((low, high), abs=6e-7)


@pytest.mark.parametrize(
    ("interval", "scipys", "statsmodels"), [(clopper_pearson, "exact", "beta"), (wilson, "wilson", "wilson")]
)
@given(counts=COUNTS, level=LEVELS)
def test_intervals_are_those_of_the_libraries(
    interval: Callable[[int, int, float], Interval],
    scipys: str,
    statsmodels: str,
    counts: tuple[int, int],
    level: float,
) -> None:
    """Clopper and Pearson's interval and Wilson's are scipy's and statsmodels' to 1e-9."""
    made, of = counts
    found = interval(made, of, level)
    known = stats.binomtest(made, of).proportion_ci(level, scipys)
    assert (found.low, found.high) == pytest.approx((known.low, known.high), abs=1e-9)
    assert (found.low, found.high) == pytest.approx(proportion_confint(made, of, 1 - level, statsmodels), abs=1e-9)


@given(COUNTS, LEVELS)
def test_interval_holds_its_estimate(counts: tuple[int, int], level: float) -> None:
    """The share seen lies within, and no bound leaves 0 to 1; at none and at all the end is exact."""
    made, of = counts
    for found in (wilson(made, of, level), clopper_pearson(made, of, level)):
        assert 0 <= found.low <= found.estimate <= found.high <= 1
        assert made or found.low == 0.0
        assert made < of or found.high == 1.0


def test_ranges_widen_the_interval() -> None:
    """160 to 170 of 180 to 200: from the low end of 160 of 200 to the high end of 170 of 180; exact numbers change nothing."""
    found = made_it((160, 170), (180, 200))
    assert (found.low, found.high) == (clopper_pearson(160, 200).low, clopper_pearson(170, 180).high)
    assert (found.estimate, found.basis) == (330 / 380, 180)
    assert made_it((45, 45), (60, 60)) == clopper_pearson(45, 60)
    for made, of in (((3, 2), (5, 5)), ((3, 3), (5, 4)), ((6, 7), (5, 6))):
        with pytest.raises(ValueError, match="no share"):
            made_it(made, of)


@given(COUNTS, st.integers(0, 5), st.integers(0, 5), st.data())
def test_every_count_in_the_ranges_is_held(counts: tuple[int, int], fewer: int, more: int, data: st.DataObject) -> None:
    """The interval of any numbers in both ranges lies within that of the ranges."""
    made, of = counts
    ranges = (max(0, made - fewer), made), (of, of + more)
    some_made, some_of = (data.draw(st.integers(*one)) for one in ranges)
    inner, outer = clopper_pearson(some_made, some_of), made_it(*ranges)
    assert outer.low <= inner.low + 1e-12
    assert inner.high <= outer.high + 1e-12


@pytest.mark.parametrize(
    ("of", "rough", "exact", "two_sided"),
    [
        (5, None, 0.45072, 0.521824),
        (10, None, 0.258866, 0.308497),
        (20, None, 0.139108, 0.168433),
        (30, 0.1, 0.095034, 0.115703),
        (50, 0.06, 0.058155, 0.071122),
        (100, 0.03, 0.029513, 0.036217),
        (200, 0.015, 0.014867, 0.018275),
        (500, 0.006, 0.005974, 0.007351),
    ],
)
def test_zero_losses_bound(of: int, rough: float | None, exact: float, two_sided: float) -> None:
    """1-0.05^(1/n) one-sided, 3/n from 30 heads (JAMA 249:1743, from memory); the two-sided exact bound lies higher."""
    found = zero_losses(of)
    assert found.exact == pytest.approx(exact, abs=1e-6)
    assert found.bound == found.exact
    assert found.method == "exact one-sided"
    assert found.rule_of_three == pytest.approx(rough)
    assert clopper_pearson(0, of).high == pytest.approx(two_sided, abs=1e-6)
    assert found.basis == of


def test_rule_of_three_is_for_95_percent_alone() -> None:
    """At another level the rule of three says nothing."""
    assert zero_losses(100, 0.9).rule_of_three is None


@pytest.mark.parametrize(
    ("losses", "low", "high"),
    [
        (0, 0.0, 3.68888),
        (1, 0.02532, 5.57164),
        (2, 0.24221, 7.22469),
        (3, 0.61867, 8.76727),
        (5, 1.62349, 11.66833),
        (10, 4.79539, 18.39036),
        (20, 12.21652, 30.88838),
        (50, 37.11096, 65.91877),
        (100, 81.36399, 121.62679),
    ],
)
def test_poisson_table(losses: int, low: float, high: float) -> None:
    """The exact 95 % bounds of a count, computed with scipy 1.17.1."""
    found = losses_per_time(losses, 1.0)
    assert (found.low, found.high) == pytest.approx((low, high), abs=6e-6)


@given(st.integers(0, 400), st.floats(0.1, 5000), LEVELS)
def test_rate_of_losses_is_scipys(losses: int, time: float, level: float) -> None:
    """Garwood's bounds are quantiles of the chi-square distribution, halved, over the time."""
    tail = (1 - level) / 2
    found = losses_per_time(losses, time, level)
    low = stats.chi2.ppf(tail, 2 * losses) / 2 if losses else 0.0
    high = stats.chi2.ppf(1 - tail, 2 * losses + 2) / 2
    assert (found.low * time, found.high * time) == pytest.approx((low, high), rel=1e-8)
    assert found.estimate * time == pytest.approx(losses)


def test_what_is_no_share_is_refused() -> None:
    """More than all, fewer than none, of nothing, or a level of 1 raises ValueError."""
    for made, of, level in ((3, 2, 0.95), (-1, 2, 0.95), (0, 0, 0.95), (1, 2, 1.0)):
        with pytest.raises(ValueError, match="no share"):
            wilson(made, of, level)
        with pytest.raises(ValueError, match="no share"):
            clopper_pearson(made, of, level)
    with pytest.raises(ValueError, match="No rate"):
        losses_per_time(3, 0.0)
