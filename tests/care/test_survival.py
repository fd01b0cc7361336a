"""Survival against the 6-MP leukaemia remission data and against lifelines."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from lifelines import KaplanMeierFitter
from lifelines.statistics import logrank_test
from lifelines.utils import median_survival_times, restricted_mean_survival_time

from bot.care.survival import (
    Curve,
    Life,
    log_rank,
    median_bounds,
    median_life,
    restricted_mean,
    survival_curve,
    told_until,
)

# Freireich et al. 1963, Blood 21:699 (from memory), as shipped with lifelines (load_leukemia): weeks in remission.
DRUG = [Life(weeks, died=True) for weeks in (6, 6, 6, 7, 10, 13, 16, 22, 23)]
DRUG += [Life(weeks, died=False) for weeks in (6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35)]
PLACEBO_WEEKS = (1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23)
PLACEBO = [Life(weeks, died=True) for weeks in PLACEBO_WEEKS]

# t, at risk, events, S, Greenwood SE, plain low and high, log-log low and high; computed with lifelines 0.30.3.
DRUG_TABLE = [
    (6, 21, 3, 0.857143, 0.076360, 0.707479, 1.000000, 0.619718, 0.951552),
    (7, 17, 1, 0.806723, 0.086935, 0.636333, 0.977113, 0.563147, 0.922809),
    (10, 15, 1, 0.752941, 0.096350, 0.564099, 0.941783, 0.503200, 0.889362),
    (13, 12, 1, 0.690196, 0.106815, 0.480843, 0.899549, 0.431610, 0.849066),
    (16, 11, 1, 0.627451, 0.114054, 0.403910, 0.850992, 0.367511, 0.804912),
    (22, 7, 1, 0.537815, 0.128234, 0.286482, 0.789149, 0.267779, 0.746791),
    (23, 6, 1, 0.448179, 0.134591, 0.184385, 0.711974, 0.188052, 0.680143),
]
PLACEBO_TABLE = [
    (1, 21, 2, 0.904762),
    (2, 19, 2, 0.809524),
    (3, 17, 1, 0.761905),
    (4, 16, 2, 0.666667),
    (5, 14, 2, 0.571429),
    (8, 12, 4, 0.380952),
    (11, 8, 2, 0.285714),
    (12, 6, 2, 0.190476),
    (15, 4, 1, 0.142857),
    (17, 3, 1, 0.095238),
    (22, 2, 1, 0.047619),
    (23, 1, 1, 0.0),
]

LIVES = st.lists(
    st.builds(Life, st.integers(1, 30).map(float), died=st.booleans(), heads=st.integers(1, 4)), min_size=1, max_size=30
)


def fitted(lives: list[Life]) -> KaplanMeierFitter:
    """Fit the same lives with lifelines, head by head."""
    days = [life.days for life in lives for _head in range(life.heads)]
    died = [life.died for life in lives for _head in range(life.heads)]
    return KaplanMeierFitter().fit(days, died)


@pytest.mark.parametrize(("t", "n", "d", "s", "se", "plain_low", "plain_high", "low", "high"), DRUG_TABLE)
def test_remission_on_the_drug(  # noqa: PLR0913 - one row of a printed table
    *, t: int, n: int, d: int, s: float, se: float, plain_low: float, plain_high: float, low: float, high: float
) -> None:
    """The printed curve, Greenwood's error and both intervals hold to 1e-6; deaths come before departures at 6 and 10."""
    step = survival_curve(DRUG).step_at(t)
    assert step is not None
    assert (step.days, step.at_risk, step.deaths) == (t, n, d)
    assert (step.survival, math.sqrt(step.variance)) == pytest.approx((s, se), abs=1e-6)
    assert step.plain == pytest.approx((plain_low, plain_high), abs=1e-6)
    assert step.log_log == pytest.approx((low, high), abs=1e-6)


def test_remission_on_placebo() -> None:
    """The curve of the other group comes down to none, step by step."""
    curve = survival_curve(PLACEBO)
    assert [(step.days, step.at_risk, step.deaths) for step in curve.steps] == [row[:3] for row in PLACEBO_TABLE]
    assert [step.survival for step in curve.steps] == pytest.approx([row[3] for row in PLACEBO_TABLE], abs=1e-6)
    assert curve.steps[-1].log_log is None


def test_remission_medians_and_means() -> None:
    """Medians 23 (13 and up) and 8 weeks (4 to 11); mean weeks of the first 35: 23.2874 and 8.6667."""
    drug, placebo = survival_curve(DRUG), survival_curve(PLACEBO)
    assert (median_life(drug), median_life(placebo)) == (23, 8)
    assert (median_bounds(drug), median_bounds(placebo)) == ((13, None), (4, 11))
    assert restricted_mean(drug, 35) == pytest.approx(23.2874, abs=1e-4)
    assert restricted_mean(placebo, 35) == pytest.approx(8.6667, abs=1e-4)


def test_remission_log_rank() -> None:
    """The two groups differ: chi-square 16.79294, p 4.1688e-05."""
    found = log_rank(DRUG, PLACEBO)
    assert found is not None
    assert found.chi_square == pytest.approx(16.79294, abs=1e-5)
    assert found.p == pytest.approx(4.1688e-05, abs=1e-9)
    assert found.observed == (9, 21)
    assert sum(found.expected) == pytest.approx(30)
    assert found.tellable.may


@settings(max_examples=60)
@given(LIVES)
def test_curve_is_that_of_lifelines(lives: list[Life]) -> None:
    """On any lives the curve, its log-log interval and its median are those of lifelines."""
    curve, known = survival_curve(lives), fitted(lives)
    for step in curve.steps:
        assert step.survival == pytest.approx(known.survival_function_.loc[step.days].iloc[0], abs=1e-9)
        if step.log_log is not None:
            assert step.log_log == pytest.approx(tuple(known.confidence_interval_.loc[step.days]), abs=1e-6)
    median = median_life(curve)
    # Rounding in a product may leave lifelines just above one half, where it is a half by right.
    if not any(abs(step.survival - 0.5) < 1e-9 for step in curve.steps):
        assert (math.inf if median is None else median) == known.median_survival_time_


@settings(max_examples=40)
@given(LIVES)
def test_bounds_of_the_median_are_those_of_lifelines(lives: list[Life]) -> None:
    """The days on which the interval comes down to half are those of lifelines, which has inf for never."""
    found = median_bounds(survival_curve(lives))
    known = median_survival_times(fitted(lives).confidence_interval_).to_numpy()[0]
    assert [math.inf if days is None else days for days in found] == list(known)


@settings(max_examples=40)
@given(LIVES, st.floats(0, 1))
def test_restricted_mean_is_that_of_lifelines(lives: list[Life], share: float) -> None:
    """The area under the curve up to any day known is that of lifelines."""
    curve = survival_curve(lives)
    until = share * curve.until
    assume(until > 0.5)
    assert restricted_mean(curve, until) == pytest.approx(
        restricted_mean_survival_time(fitted(lives), t=until), abs=1e-6
    )


@settings(max_examples=60)
@given(LIVES, LIVES)
def test_log_rank_is_that_of_lifelines(first: list[Life], second: list[Life]) -> None:
    """On any two groups the test is that of lifelines, and the same whichever comes first."""
    found = log_rank(first, second)
    assume(found is not None)
    groups = [
        ([one.days for one in lives], [one.died for one in lives], [one.heads for one in lives])
        for lives in (first, second)
    ]
    (t1, e1, w1), (t2, e2, w2) = groups
    known = logrank_test(t1, t2, e1, e2, weights_A=w1, weights_B=w2)
    assert found.chi_square == pytest.approx(known.test_statistic, rel=1e-6, abs=1e-9)
    assert found.p == pytest.approx(known.p_value, rel=1e-6, abs=1e-9)
    turned = log_rank(second, first)
    assert turned is not None
    assert turned.chi_square == pytest.approx(found.chi_square, rel=1e-9, abs=1e-9)


@given(LIVES)
def test_without_departures_the_curve_is_a_plain_share(lives: list[Life]) -> None:
    """Where every head's death is known, the curve is the share still alive."""
    dead = [Life(life.days, died=True, heads=life.heads) for life in lives]
    curve = survival_curve(dead)
    for step in curve.steps:
        living = sum(life.heads for life in dead if life.days > step.days)
        assert step.survival == pytest.approx(living / curve.basis)


def test_before_the_first_death_there_is_no_interval() -> None:
    """All alive: survival 1 with no interval of its own; how sure that is, the zero-losses bound says."""
    curve = survival_curve([Life(40, died=False, heads=20)])
    assert (curve.survival_at(0), curve.survival_at(40), curve.basis, curve.deaths) == (1.0, 1.0, 20, 0)
    assert curve.steps[0].log_log is None
    assert curve.steps[0].plain is None
    assert curve.step_at(39) is None
    assert median_life(curve) is None


def test_no_mean_beyond_what_is_known() -> None:
    """A mean past the last day is refused while any live, and told when none do."""
    with pytest.raises(ValueError, match="ends at 10"):
        restricted_mean(survival_curve([Life(10, died=False)]), 11)
    assert restricted_mean(survival_curve([Life(10, died=True)]), 20) == 10
    with pytest.raises(ValueError, match="ends at 0"):
        restricted_mean(survival_curve([]), 1)


def test_lives_that_cannot_be_are_refused() -> None:
    """A time before the start or a negative number raises ValueError; none of a kind adds nothing."""
    with pytest.raises(ValueError, match="cannot have lived"):
        survival_curve([Life(-1, died=True)])
    with pytest.raises(ValueError, match="cannot have lived"):
        survival_curve([Life(1, died=True, heads=-2)])
    assert survival_curve([Life(3, died=True, heads=0)]) == Curve((), 0, 0.95)


def test_no_verdict_from_a_handful() -> None:
    """Under five losses in all, or under five heads in a group, nothing may be told, and it says why."""
    few = log_rank([Life(3, died=True, heads=2), Life(9, died=False, heads=30)], [Life(9, died=False, heads=30)])
    assert few is not None
    assert few.tellable.why_not == ("few losses",)
    small = log_rank([Life(3, died=True, heads=4)], [Life(9, died=True, heads=30)])
    assert small is not None
    assert small.tellable.why_not == ("few losses", "few heads")
    assert small.tellable.losses == 4
    assert log_rank([Life(9, died=False)], [Life(9, died=False)]) is None


def test_tail_of_a_curve_is_told_while_a_handful_bears_it() -> None:
    """On the drug five or more are at risk up to week 25; three heads never bear a curve."""
    assert told_until(survival_curve(DRUG)) == 25
    assert told_until(survival_curve([Life(3, died=True, heads=3)])) is None
