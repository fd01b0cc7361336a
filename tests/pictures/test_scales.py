"""Scales: round numbers, days in words, and long rows of points made few."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from itertools import pairwise
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.pictures.scales import bucketed, date_ticks, day_number, full_day, number_ticks, spaced, widened

DAYS = st.dates(date(1, 1, 2), date(9999, 12, 30))
VALUES = st.floats(-1e6, 1e6)


def words(first: date, last: date, most: int = 6) -> list[str]:
    return [f"{tick.words} {tick.year}".strip() for tick in date_ticks(day_number(first), day_number(last), most)]


def test_a_week_is_told_by_days() -> None:
    """Every day, the year under the first."""
    assert words(date(2026, 3, 9), date(2026, 3, 13)) == ["9 Mar 2026", "10 Mar", "11 Mar", "12 Mar", "13 Mar"]


def test_a_month_is_told_by_mondays() -> None:
    """Weeks begin on Mondays."""
    assert words(date(2026, 2, 13), date(2026, 3, 12)) == ["16 Feb 2026", "23 Feb", "2 Mar", "9 Mar"]


def test_half_a_year_is_told_by_months() -> None:
    """The first of each month, the year where it is new."""
    assert words(date(2025, 9, 14), date(2026, 2, 10)) == ["Oct 2025", "Nov", "Dec", "Jan 2026", "Feb"]


def test_ten_years_are_told_by_years() -> None:
    """Every other year, on its first of January."""
    assert words(date(2016, 3, 12), date(2026, 3, 10)) == ["2018", "2020", "2022", "2024", "2026"]


@given(one=DAYS, other=DAYS, most=st.integers(4, 12))
def test_ticks_lie_on_the_axis_and_are_few(one: date, other: date, most: int) -> None:
    """Whatever the span, never more than there is room for (years are shorter: a third more), in order, inside."""
    first, last = sorted((day_number(one), day_number(other)))
    ticks = date_ticks(first, last, most)
    assert len(ticks) <= most + most // 3
    assert all(first <= tick.at <= last for tick in ticks)
    assert all(early.at < late.at for early, late in pairwise(ticks))
    if 60 < last - first < 700_000:
        assert ticks


@given(one=DAYS, other=DAYS)
def test_an_axis_is_wider_than_its_days(one: date, other: date) -> None:
    """Room on both sides, four days at least, and never past the ends of the calendar."""
    first, last = sorted((day_number(one), day_number(other)))
    start, end = widened(first, last)
    assert date.min.toordinal() <= start <= first <= last <= end <= date.max.toordinal()
    assert end - start >= 2


@given(low=VALUES, high=VALUES, most=st.integers(4, 10), whole=st.booleans())
def test_number_ticks_hold_the_range(low: float, high: float, most: int, *, whole: bool) -> None:
    """First and last tick hold the range between them; two to so many, even steps, whole numbers if asked."""
    low, high = sorted((low, high))
    ticks = number_ticks(low, high, most, whole=whole)
    room = 1e-6 * max(1.0, abs(low), abs(high))
    assert ticks[0] <= low + room
    assert high - room <= ticks[-1]
    assert 2 <= len(ticks) <= most + 1
    steps = [late - early for early, late in pairwise(ticks)]
    assert max(steps) == pytest.approx(min(steps), rel=1e-3, abs=1e-6)
    assert not whole or all(tick == round(tick) for tick in ticks)


def test_numbers_are_round() -> None:
    """Steps are 1, 2, 2.5 or 5 times a power of ten."""
    assert number_ticks(0, 156, 8) == [0, 25, 50, 75, 100, 125, 150, 175]
    assert number_ticks(30, 50, 8) == [30, 35, 40, 45, 50]
    assert number_ticks(12, 12, 8, whole=True) == [11, 12, 13]


@given(
    points=st.lists(st.tuples(st.floats(0, 4000), st.floats(-50, 150)), max_size=300),
    most=st.integers(1, 40),
)
def test_buckets_keep_least_and_greatest(points: list[tuple[float, float]], most: int) -> None:
    """No point is lost from the sum, the ends stay, the buckets are few and in order."""
    found = bucketed(points, most)
    assert sum(one.number for one in found) == len(points)
    assert len(points) <= most or len(found) <= most
    assert all(one.low <= one.middle <= one.high for one in found)
    assert all(early.at <= late.at for early, late in pairwise(found))
    if points:
        values = [y for _x, y in points]
        assert (min(one.low for one in found), max(one.high for one in found)) == (min(values), max(values))


def test_a_bucket_is_a_stretch_of_time() -> None:
    """Stretches are of equal length, however many points fall in each: six points in one, one in the other."""
    points = [*((float(x), float(x)) for x in range(6)), (20.0, 3.0)]
    early, late = bucketed(points, 2)
    assert (early.number, early.middle, late.number) == (6, median(range(6)), 1)


@given(values=st.lists(st.floats(0, 1000)).map(sorted), apart=st.floats(1, 200))
def test_gathered_marks_stand_apart(values: list[float], apart: float) -> None:
    """Every index once, and the first of a group at least so far from the first of the next."""
    groups = spaced(values, apart)
    assert [index for group in groups for index in group] == list(range(len(values)))
    assert all(values[late[0]] - values[early[0]] >= apart for early, late in pairwise(groups))


def test_days_are_numbers() -> None:
    """A moment is a day and its part; days are told as the British do."""
    day = date(2026, 3, 10)
    assert day_number(datetime.combine(day, time(18))) == day_number(day) + 0.75
    assert day_number(day + timedelta(days=1)) == day_number(day) + 1
    assert full_day(day) == "10 Mar 2026"
