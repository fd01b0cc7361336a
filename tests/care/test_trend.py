"""The trend of readings: against SciPy, and what too few of them leave unsaid."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from math import isnan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from bot.care.trend import MOST, Reading, theil_sen, thinned, trend

START = datetime.combine(date(2026, 1, 1), time(19))

POINTS = st.lists(st.tuples(st.integers(0, 30), st.integers(0, 100)), min_size=3, max_size=40).filter(
    lambda points: len({x for x, _y in points}) > 1
)


def row(*values: float, every: float = 1) -> list[Reading]:
    return [Reading(START + timedelta(days=every * at), value) for at, value in enumerate(values)]


@given(points=POINTS)
def test_slope_and_interval_are_scipys(points: list[tuple[int, int]]) -> None:
    """Median slope and Sen's interval as scipy.stats.theilslopes gives them, ties among them (for very many it gives none)."""
    points = sorted(points)
    with np.errstate(invalid="ignore"):
        wanted = theilslopes([y for _x, y in points], [x for x, _y in points], 0.95)
    slope, *interval = theil_sen([(float(x), float(y)) for x, y in points])
    assert slope == pytest.approx(wanted.slope)
    if not isnan(wanted.low_slope):
        assert interval == pytest.approx([wanted.low_slope, wanted.high_slope])


def test_where_all_is_tied_no_direction_is_claimed() -> None:
    """One value eight times and ten readings at two times: the interval takes in every slope that was seen."""
    points = [(0.0, 60.0)] * 8 + [(0.0, 62.0), (1.0, 61.0)]
    assert theil_sen(points)[1:] == (-1.0, 1.0)


def test_a_row_against_its_band() -> None:
    """Six of eight inside, one below, one above, edges inside; one point a day is 7 a week."""
    found = trend(row(59, 60, 61, 62, 63, 64, 65, 66), (60, 65))
    assert found is not None
    assert (found.observed, found.inside, found.below, found.above) == (8, 6, 1, 1)
    assert found.share_inside == 0.75
    assert found.per_week == pytest.approx(7)
    assert (found.direction, found.points) == ("rising", 8)
    assert (found.first, found.last) == (START, START + timedelta(days=7))


def test_an_open_band_counts_on_one_side_only() -> None:
    """At least 60: nothing is above; without a band all is inside."""
    low_only = trend(row(50, 60, 70, 80, 90), (60, None))
    none = trend(row(50, 60, 70, 80, 90))
    assert low_only is not None
    assert none is not None
    assert (low_only.below, low_only.above) == (1, 0)
    assert none.inside == 5


def test_up_and_down_is_steady() -> None:
    """Readings that go up and down have no direction, and neither have equal ones."""
    for values in ((60, 70, 61, 69, 62, 68, 60), (65, 65, 65, 65, 65)):
        found = trend(row(*values))
        assert found is not None
        assert found.direction == "steady"


def test_one_wrong_reading_turns_nothing() -> None:
    """A slow fall stays a fall with a reading of 5 in its midst."""
    found = trend(row(80, 79, 78, 77, 5, 75, 74, 73, 72, 71))
    assert found is not None
    assert found.per_week == pytest.approx(-7)
    assert found.direction == "falling"


def test_nothing_is_said_of_fewer_than_five() -> None:
    """Four readings, or many at four moments, give nothing."""
    assert trend(row(60, 61, 62, 63)) is None
    assert trend([*row(60, 61, 62, 63), *row(60, 61, 62, 63)]) is None
    assert trend([]) is None


def test_order_of_telling_does_not_matter() -> None:
    """Readings told late are put in their place."""
    readings = row(60, 62, 61, 64, 66, 65)
    assert trend(readings[::-1], (60, 65)) == trend(readings, (60, 65))


def test_ten_years_of_readings_become_medians() -> None:
    """3650 daily readings are compared as at most 120 medians; the slope stays what it was."""
    values = [60 + at / 700 + (at * 7919 % 13 - 6) / 2 for at in range(3650)]
    found = trend(row(*values))
    assert found is not None
    assert (found.observed, found.points, found.direction) == (3650, MOST, "rising")
    assert found.per_week == pytest.approx(7 / 700, rel=0.05)


@given(
    points=st.lists(st.tuples(st.floats(0, 4000), st.floats(0, 100)), min_size=1, max_size=400).map(sorted),
    most=st.integers(1, 50),
)
def test_thinning_stays_within_what_was_read(points: list[tuple[float, float]], most: int) -> None:
    """Never more points than allowed, in order, none outside the readings; few points stay as they are."""
    found = thinned(points, most)
    assert len(found) <= max(most, 1)
    assert found == sorted(found, key=lambda point: point[0])
    assert points[0][0] <= found[0][0] <= found[-1][0] <= points[-1][0]
    assert min(y for _x, y in points) <= min(y for _x, y in found)
    assert len(points) > most or found == points


def test_a_slope_needs_two_times() -> None:
    """Readings of one moment have no slope."""
    with pytest.raises(ValueError, match="two different times"):
        theil_sen([(1.0, 60.0), (1.0, 61.0)])
