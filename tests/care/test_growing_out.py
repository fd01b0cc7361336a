"""Cultures grow by degree-days, where numbers are published."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.care.growing_out import STAGES, Progress, days_at, growing_out, progress, within

DAY = date(2026, 5, 4)
HOUSE = STAGES["Acheta domesticus"]
BANDED = STAGES["Gryllus bimaculatus"]


@pytest.mark.parametrize(
    ("temperature", "egg", "nymph"),
    [
        (22, 17.82, 95.79),
        (24, 13.42, 71.23),
        (26, 10.76, 56.69),
        (28, 8.98, 47.08),
        (30, 7.71, 40.26),
        (32, 6.75, 35.16),
    ],
)
def test_banded_crickets(temperature: float, egg: float, nymph: float) -> None:
    """Days of egg and nymph by the published thresholds and sums (doi:10.1371/journal.pone.0300438)."""
    assert days_at(BANDED[0], temperature) == pytest.approx(egg, abs=0.01)
    assert days_at(BANDED[1], temperature) == pytest.approx(nymph, abs=0.01)


def test_house_crickets() -> None:
    """200.5 days at 18 °C and 66.26 at 30, egg to adult (article 834, abstract): the line goes through both."""
    assert days_at(HOUSE[0], 18) == pytest.approx(200.5, abs=0.1)
    assert days_at(HOUSE[0], 30) == pytest.approx(66.26, abs=0.02)
    assert HOUSE[0].basis == 2


def test_it_stops_at_the_threshold() -> None:
    """At or below the threshold nothing develops, and a cold culture is never grown."""
    assert days_at(BANDED[0], 15.9) is None
    cold = growing_out(BANDED, progress(BANDED, []), (14, 26), DAY)
    assert cold.until is None
    assert cold.since == DAY + timedelta(days=67)


def test_untested_temperatures_are_said() -> None:
    """House cricket numbers come from 18 to 30 °C: 33 is beyond; of the banded cricket the source seen gives no range."""
    assert (within(HOUSE[0], 25), within(HOUSE[0], 33), within(BANDED[0], 33)) == (True, False, None)
    assert growing_out(HOUSE, progress(HOUSE, []), (25, 33), DAY).untested
    assert not growing_out(HOUSE, progress(HOUSE, []), (25, 30), DAY).untested


def test_progress_goes_from_stage_to_stage() -> None:
    """At 28 °C banded crickets are in the egg on day 8, nymphs on day 10, grown on day 57."""
    days = {count: progress(BANDED, [28.0] * count) for count in (8, 10, 56, 57)}
    assert days[8].stage is BANDED[0]
    assert days[8].done == pytest.approx(8 / 8.983, abs=1e-3)
    assert days[10].stage is BANDED[1]
    assert days[10].done == pytest.approx((10 - 8.983) / 47.085, abs=1e-3)
    assert days[56].stage is BANDED[1]
    assert days[57] == Progress(None, 0.0, 57)


def test_window_of_a_culture() -> None:
    """Ten days at 28 °C done, 24 to 28 °C ahead: grown in 46 to 70 days, on ten days of readings."""
    found = growing_out(BANDED, progress(BANDED, [28.0] * 10), (24, 28), DAY)
    assert found.days == pytest.approx((46.07, 69.69), abs=0.02)
    assert (found.since, found.until) == (DAY + timedelta(days=46), DAY + timedelta(days=70))
    assert (found.basis, len(found.sources)) == (10, 1)


def test_a_grown_culture_is_grown() -> None:
    """Once grown, nothing is left to wait for."""
    found = growing_out(BANDED, progress(BANDED, [30.0] * 90), (10, 12), DAY)
    assert (found.days, found.since, found.until, found.sources) == ((0.0, 0.0), DAY, DAY, ())


def test_no_range_upside_down() -> None:
    """From warm to cool raises ValueError."""
    with pytest.raises(ValueError, match="no range"):
        growing_out(HOUSE, progress(HOUSE, []), (28, 24), DAY)


@given(st.floats(17, 34), st.integers(0, 120), st.sampled_from([HOUSE, BANDED]))
def test_steady_warmth_is_done_when_said(temperature: float, days: int, stages: tuple) -> None:
    """Days done and days left at one temperature make the days the stages take."""
    whole = sum(days_at(stage, temperature) or 0 for stage in stages)
    found = growing_out(stages, progress(stages, [temperature] * days), (temperature, temperature), DAY)
    assert found.days[0] == pytest.approx(max(0.0, whole - days), abs=1e-6)


@given(st.lists(st.floats(5, 34), max_size=60), st.floats(0, 5))
def test_warmer_is_never_slower(means: list[float], warmer: float) -> None:
    """The same days, each warmer, bring a culture at least as far."""
    cool = growing_out(BANDED, progress(BANDED, means), (25, 25), DAY).days[0]
    warm = growing_out(BANDED, progress(BANDED, [mean + warmer for mean in means]), (25, 25), DAY).days[0]
    assert cool is not None
    assert warm is not None
    assert warm <= cool + 1e-9
