"""Samples of a group: a caution past a gap of 1.5 in length, and Welch's interval as scipy has it."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from bot.care.samples import mean_difference, spread

SIZES = st.lists(st.floats(1, 200).map(lambda size: round(size, 1)), min_size=2, max_size=30)


def test_gap_past_the_limit_is_a_caution() -> None:
    """30 mm beside 19 mm is past 1.5 (common practice); 27 beside 18 is at the limit and not past it."""
    wide, even = spread([24.0, 30.0, 19.0], "legspan"), spread([18.0, 27.0], "body")
    assert wide is not None
    assert even is not None
    assert (wide.past, wide.smallest, wide.largest, wide.basis, wide.limit) == (True, 19, 30, 3, 1.5)
    assert wide.ratio == pytest.approx(30 / 19)
    assert not even.past


def test_gap_in_mass_is_three() -> None:
    """By weight the limit is 3: 2.9 g beside 1 g passes, 3.1 g does not."""
    assert not (spread([1.0, 2.9], "weight") or pytest.fail("no spread")).past
    assert (spread([1.0, 3.1], "weight") or pytest.fail("no spread")).past


def test_one_animal_has_no_spread() -> None:
    """Fewer than two sizes have no spread; a size of 0 is refused."""
    assert spread([20.0], "legspan") is None
    assert spread([], "legspan") is None
    with pytest.raises(ValueError, match="no size"):
        spread([20.0, 0.0], "legspan")


@given(SIZES, SIZES, st.sampled_from([0.8, 0.95, 0.99]))
def test_welch_interval_is_scipys(first: list[float], second: list[float], level: float) -> None:
    """Difference, degrees of freedom and bounds are those of scipy.stats.ttest_ind with unequal variances."""
    assume(len(set(first)) > 1 and len(set(second)) > 1)
    found = mean_difference(first, second, level)
    known = stats.ttest_ind(first, second, equal_var=False)
    bounds = known.confidence_interval(level)
    assert found is not None
    assert found.degrees == pytest.approx(known.df, rel=1e-6)
    assert (found.low, found.high) == pytest.approx((bounds.low, bounds.high), rel=1e-6, abs=1e-6)
    assert found.clear == (bounds.low > 0 or bounds.high < 0) or abs(found.low * found.high) < 1e-6
    assert found.basis == (len(first), len(second))


def test_a_clear_difference() -> None:
    """52, 55, 58, 54 mm against 41, 44, 40, 43 mm: 12.75 mm apart, and surely apart."""
    found = mean_difference([52, 55, 58, 54], [41, 44, 40, 43])
    assert found is not None
    assert found.means == (54.75, 42.0)
    assert found.difference == 12.75
    assert found.clear
    assert not (mean_difference([50, 60], [51, 61]) or pytest.fail("none")).clear


def test_no_error_can_be_told_of_one_or_of_equals() -> None:
    """A sample of one, or two samples without any scatter, give no interval."""
    assert mean_difference([50], [40, 41]) is None
    assert mean_difference([50, 50], [40, 40]) is None
    assert mean_difference([50, 50], [40, 41]) is not None
