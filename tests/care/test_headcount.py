"""A head count is the range that the records bear out."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.care.headcount import Count, Event, Number, headcount

DAY = date(2026, 1, 30)


def reckon(*told: tuple[str, Number | None]) -> Count:
    """Reckon events told as (what, number), one a day."""
    return headcount(Event(what, DAY + timedelta(days=index), number) for index, (what, number) in enumerate(told))


@pytest.mark.parametrize(
    ("told", "low", "high"),
    [
        ([], 0, None),
        ([("start", (42, 42))], 42, 42),
        ([("start", None)], 0, None),
        ([("start", (42, 42)), ("death", (1, 1)), ("departure", (2, 2))], 39, 39),
        ([("start", (42, 42)), ("count", (21, 23)), ("death", (1, 1))], 20, 22),
        ([("start", (10, 10)), ("arrival", (5, 6))], 15, 16),
        ([("start", (10, 10)), ("joined", (3, 3)), ("split", (6, 6))], 7, 7),
        ([("start", (42, 42)), ("death", None)], 0, 41),
        ([("start", (42, 42)), ("arrival", None)], 43, None),
        ([("start", (42, 42)), ("death", (1, 3))], 39, 41),
        ([("count", (12, None))], 12, None),
        ([("start", (42, 42)), ("count", (12, None))], 42, 42),
        ([("start", (42, 42)), ("death", (0, 40)), ("count", (12, None))], 12, 42),
        ([("start", (10, 10)), ("count", (12, None))], 12, None),
        ([("start", (42, 42)), ("hatched", (60, 80))], 42, 42),
        ([("start", (1, 1)), ("gone", None)], 0, 0),
        ([("start", (2, 2)), ("death", (5, 5))], 0, 0),
        ([("death", (5, 5))], 0, None),
        ([("arrival", (3, None))], 3, None),
        ([("count", (0, 10))], 0, 10),
    ],
)
def test_range_follows_the_records(told: list[tuple[str, Number | None]], low: int, high: int | None) -> None:
    """Counts set the range, gains and losses shift it, "at least" lifts the floor, hatchlings are kept apart."""
    count = reckon(*told)
    assert (count.low, count.high) == (low, high)


def test_reasons_start_from_the_last_count() -> None:
    """What the range rests on is the last count and what came after it."""
    count = reckon(("start", (42, 42)), ("death", (2, 2)), ("count", (30, 30)), ("hatched", (9, 9)), ("death", (1, 1)))
    assert count.basis == Event("count", DAY + timedelta(days=2), (30, 30))
    assert [event.what for event in count.since] == ["death"]
    assert [event.what for event in count.apart] == ["hatched"]


def test_a_count_that_does_not_fit_is_a_surprise() -> None:
    """More counted than there could be, fewer than there should be, and more gone than there were are surprises."""
    assert reckon(("start", (10, 10)), ("count", (12, 12))).surprises
    assert reckon(("start", (10, 10)), ("count", (8, 8))).surprises
    assert reckon(("start", (10, 10)), ("count", (11, None))).surprises
    assert reckon(("start", (1, 1)), ("departure", (2, 2))).surprises
    assert not reckon(("start", (10, 10)), ("death", (1, 1)), ("count", (9, 9))).surprises
    assert not reckon(("count", (8, 8))).surprises


def test_nothing_recorded_is_not_known() -> None:
    """Without a start, a count or a gain the number is not known; any of them makes it known."""
    assert not reckon().known
    assert not reckon(("death", (1, 1))).known
    assert reckon(("arrival", (1, 1))).known
    assert reckon(("count", (12, None))).known


NUMBERS = st.tuples(st.integers(0, 60), st.integers(0, 60)).map(lambda pair: (min(pair), max(pair)))
TOLD = st.tuples(
    st.sampled_from(["start", "count", "arrival", "joined", "death", "departure", "split", "hatched"]),
    st.none() | NUMBERS | st.integers(0, 60).map(lambda low: (low, None)),
)


@given(st.lists(TOLD, max_size=12))
def test_range_is_never_upside_down(told: list[tuple[str, Number | None]]) -> None:
    """Low is never under 0 and never above high."""
    count = reckon(*told)
    assert count.low >= 0
    assert count.high is None or count.low <= count.high


@given(st.lists(TOLD, max_size=8), st.integers(0, 60))
def test_an_exact_count_forgets_the_past(told: list[tuple[str, Number | None]], counted: int) -> None:
    """Whatever came before, an exact count is what is there."""
    count = reckon(*told, ("count", (counted, counted)))
    assert (count.low, count.high) == (counted, counted)


@given(st.integers(20, 60), st.lists(st.integers(-3, 3), max_size=6))
def test_range_holds_the_truth(start: int, changes: list[int]) -> None:
    """Numbers that are told exactly lead to the very number that is there."""
    told: list[tuple[str, Number | None]] = [("start", (start, start))]
    told += [("arrival" if change > 0 else "death", (abs(change), abs(change))) for change in changes]
    count = reckon(*told)
    assert count.low == count.high == start + sum(changes)
