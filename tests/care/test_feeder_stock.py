"""Feeder stock: what is left, for how many days, and by when to order."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.care.feeder_stock import Move, stock_of, supply

DAY = date(2026, 5, 4)


def moved(*told: tuple[str, tuple[int | None, int | None] | None]) -> list[Move]:
    """Moves told as (what, heads), one a day."""
    return [Move(what, DAY + timedelta(days=place), heads) for place, (what, heads) in enumerate(told)]


def test_stock_goes_by_what_came_and_what_was_fed() -> None:
    """200 got, 30 and 20 to 25 fed, 3 dead: 142 to 147."""
    found = stock_of(
        moved(("left", (0, 0)), ("got", (200, 200)), ("used", (30, 30)), ("used", (20, 25)), ("died", (3, 3)))
    )
    assert (found.low, found.high, found.counted_on, found.basis, found.odd) == (142, 147, DAY, 4, 0)


def test_about_so_many_left_sets_it_anew() -> None:
    """About 150 left (140 to 160) forgets what came before; age is counted from that day."""
    found = stock_of(moved(("got", (400, 400)), ("left", (140, 160)), ("used", (10, 10))))
    assert (found.low, found.high, found.basis) == (130, 150, 1)
    assert found.age_days(DAY + timedelta(days=11)) == 10


def test_what_came_without_a_count_is_a_least() -> None:
    """200 got and never counted: at least 200, with no age; nothing told is not known."""
    found = stock_of(moved(("got", (200, 200))))
    assert (found.low, found.high, found.age_days(DAY), found.known) == (200, None, None, True)
    assert not stock_of([]).known


def test_more_fed_than_there_were_is_odd() -> None:
    """20 left and 30 fed: none, and it is said that this does not fit."""
    found = stock_of(moved(("left", (20, 20)), ("used", (30, 30))))
    assert (found.low, found.high, found.odd) == (0, 0, 1)


def test_no_other_moves() -> None:
    """A move that is none raises ValueError."""
    with pytest.raises(ValueError, match="no move"):
        stock_of(moved(("eaten", (1, 1))))


def test_days_left_and_the_day_to_order() -> None:
    """140 to 160 at 6 to 8 a day: 17 to 26 days; delivery in 2 to 4 days, so order within 13."""
    found = supply((140, 160), (6, 8), DAY, (2, 4))
    assert found.days == (17, 26)
    assert found.short == (DAY + timedelta(days=17), DAY + timedelta(days=26))
    assert (found.order_by, found.late, found.basis) == (DAY + timedelta(days=13), False, (140, 160))


def test_too_late_to_order() -> None:
    """16 at 8 a day with 4 days of delivery: the day to order was two days ago."""
    found = supply((16, 16), (8, 8), DAY, (1, 4))
    assert (found.order_by, found.late) == (DAY - timedelta(days=2), True)


def test_what_has_no_end() -> None:
    """Nothing needed, no end; at least so many, no upper end; a demand without an upper end covers no day for sure."""
    assert supply((50, 60), (0, 0), DAY).days == (None, None)
    assert supply((50, 60), (0, 0), DAY).order_by is None
    assert supply((50, None), (2, 5), DAY).days == (10, None)
    assert supply((50, 60), (0, 5), DAY).days == (10, None)
    assert supply((50, 60), (2, None), DAY).days == (0, 30)


def test_tenths_are_not_lost() -> None:
    """30 at 0.3 a day last 100 days; a vast stock ends with the calendar."""
    assert supply((30, 30), (0.3, 0.3), DAY).days == (100, 100)
    assert supply((10**9, 10**9), (0.001, 0.001), DAY).short[0] == date.max


def test_what_cannot_be_is_refused() -> None:
    """A range upside down or under nothing raises ValueError."""
    for heads, per_day, delivery in (((2, 1), (1, 1), (0, 0)), ((1, 1), (2, 1), (0, 0)), ((1, 1), (1, 1), (-1, 0))):
        with pytest.raises(ValueError, match="cannot be"):
            supply(heads, per_day, DAY, delivery)


@given(st.integers(0, 400), st.integers(0, 50), st.integers(1, 200), st.integers(0, 100), st.data())
def test_true_days_lie_in_the_range(low: int, more: int, need: int, further: int, data: st.DataObject) -> None:
    """Any stock and any steady demand in their ranges last between the least and the most days."""
    per_day = need / 10, (need + further) / 10
    found = supply((low, low + more), per_day, DAY)
    stock, demand = data.draw(st.integers(low, low + more)), data.draw(st.floats(*per_day))
    days = 0
    while stock - demand * (days + 1) >= -1e-9:
        days += 1
    assert found.days[0] is not None
    assert found.days[1] is not None
    assert found.days[0] <= days <= found.days[1]
