"""A count is held against the book, and what does not fit is said without a word of death."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.care.headcount import Count, Event, headcount
from bot.care.reconcile import NEXT_MOVE, Take, TakeTrend, reconcile, take_trend

DAY = date(2026, 2, 2)
TODAY = date(2026, 4, 1)


def test_more_than_the_book_can_explain() -> None:
    """46 counted, 40 to 42 in the book: 4 to 6 more, nothing lost since the count of 2 February, which was short."""
    book = headcount([Event("count", DAY, (40, 42))])
    found = reconcile(book, (46, 46), TODAY)
    assert (found.verdict, found.by, found.book, found.counted) == ("above", (4, 6), (40, 42), (46, 46))
    assert (found.nothing_lost_since, found.calm_days, found.basis) == (DAY, 58, 1)
    (short,) = found.explanations
    assert (short.what, short.event.on, short.at_most, short.enough) == ("last_count", DAY, None, True)
    assert (found.look_at, found.recount) == ((), None)


def test_entries_that_could_explain_more() -> None:
    """A loss told too high explains as many as it took, young counted along as many as hatched; a gain any number."""
    events = [
        Event("count", DAY, (40, 40)),
        Event("hatched", DAY + timedelta(days=3), (2, 5)),
        Event("death", DAY + timedelta(days=5), (2, 2)),
        Event("joined", DAY + timedelta(days=7), (1, 1)),
        Event("death", DAY + timedelta(days=9), (0, 2)),
    ]
    found = reconcile(headcount(events), (43, 43), TODAY)
    told = [(one.what, one.at_most, one.enough) for one in found.explanations]
    assert found.by == (4, 6)
    assert told == [("last_count", None, True), ("young", 5, True), ("loss", 2, False), ("gain", None, True)]
    assert found.nothing_lost_since == DAY + timedelta(days=9)


def test_fewer_than_the_book_are_unaccounted_for() -> None:
    """34 counted of 40 to 42: 6 to 8 unaccounted for, with what to look at, and the next move to count again."""
    found = reconcile(headcount([Event("count", DAY, (40, 42))]), (34, 34), TODAY)
    assert (found.verdict, found.by, found.recount) == ("below", (6, 8), NEXT_MOVE)
    assert found.look_at[0] == "hides"
    assert found.explanations == ()


def test_about_so_many_is_a_range() -> None:
    """About 40 (38 to 42) agrees with 41 to 45; about 30 (28 to 32) leaves 9 to 17 unaccounted for."""
    book = headcount([Event("count", DAY, (41, 45))])
    assert reconcile(book, (38, 42), TODAY).verdict == "agrees"
    assert reconcile(book, (28, 32), TODAY).by == (9, 17)


def test_at_least_is_never_too_few() -> None:
    """At least 12 of 42 agrees; at least 46 is 4 above, with no upper end."""
    book = headcount([Event("count", DAY, (42, 42))])
    assert reconcile(book, (12, None), TODAY).verdict == "agrees"
    found = reconcile(book, (46, None), TODAY)
    assert (found.verdict, found.by) == ("above", (4, None))


def test_nothing_on_record_agrees_with_any_count() -> None:
    """An empty book contradicts no count, and knows no calm."""
    found = reconcile(Count(), (7, 7), TODAY)
    assert (found.verdict, found.calm_days, found.nothing_lost_since, found.basis) == ("agrees", None, None, 0)


def test_no_count_upside_down() -> None:
    """A range upside down raises ValueError."""
    with pytest.raises(ValueError, match="is no count"):
        reconcile(Count(), (7, 6), TODAY)


HEADS = st.tuples(st.integers(0, 60), st.integers(0, 60)).map(lambda pair: (min(pair), max(pair)))
COUNTED = HEADS | st.integers(0, 60).map(lambda low: (low, None))
BOOKS = st.builds(
    lambda heads: Count(*heads, Event("count", DAY, heads)), HEADS | st.integers(0, 60).map(lambda low: (low, None))
)


@given(HEADS.flatmap(lambda book: st.tuples(st.just(book), st.integers(*book))))
def test_a_count_within_the_book_agrees(told: tuple[tuple[int, int], int]) -> None:
    """Whatever the range, a number in it always agrees."""
    book, counted = told
    found = reconcile(Count(*book, Event("count", DAY, book)), (counted, counted), TODAY)
    assert (found.verdict, found.by) == ("agrees", (0, 0))


@given(BOOKS, COUNTED)
def test_counted_and_unaccounted_make_the_book(book: Count, counted: tuple[int, int | None]) -> None:
    """Where too few are counted: the most counted and the least unaccounted make the book's least, and the other way about."""
    found = reconcile(book, counted, TODAY)
    low, high = counted
    if found.verdict == "below":
        assert high is not None
        assert high + found.by[0] == book.low
        assert book.high is None if found.by[1] is None else low + found.by[1] == book.high
        assert found.by[0] > 0
    elif found.verdict == "above":
        assert book.high is not None
        assert low - found.by[0] == book.high
        assert high is None if found.by[1] is None else high - found.by[1] == book.low


@given(BOOKS, COUNTED, st.integers(0, 4000))
def test_time_alone_changes_nothing(book: Count, counted: tuple[int, int | None], days: int) -> None:
    """The same count on a later day says the same; only the calm grows longer."""
    early, late = reconcile(book, counted, TODAY), reconcile(book, counted, TODAY + timedelta(days=days))
    assert (early.verdict, early.by, early.explanations) == (late.verdict, late.by, late.explanations)
    assert late.calm_days == (early.calm_days or 0) + days


def feedings(*told: tuple[int, int, int]) -> list[Take]:
    """Feedings told as (days ago, taken, offered)."""
    return [Take(TODAY - timedelta(days=ago), taken, offered) for ago, taken, offered in told]


def test_a_falling_take_is_a_first_sign() -> None:
    """38 to 40 of 40 taken for weeks, lately 26 to 29: the take falls, from 0.97 to 0.69."""
    told = feedings((63, 40, 40), (50, 39, 40), (36, 38, 40), (21, 29, 40), (14, 28, 40), (7, 26, 40))
    found = take_trend(told, TODAY)
    assert found is not None
    assert found.falls
    assert found.feedings == (3, 3)
    assert (round(found.before.estimate, 2), round(found.lately.estimate, 2)) == (0.97, 0.69)


def test_a_take_like_before_does_not_fall() -> None:
    """The same take as before, or one lower by a refusal or two, is no sign."""
    assert not _trend((63, 9, 10), (50, 10, 10), (36, 9, 10), (21, 9, 10), (14, 8, 10), (7, 9, 10)).falls
    assert not _trend((63, 1, 1), (50, 1, 1), (36, 1, 1), (21, 1, 1), (14, 0, 1), (7, 0, 1)).falls


def _trend(*told: tuple[int, int, int]) -> TakeTrend:
    found = take_trend(feedings(*told), TODAY)
    assert found is not None
    return found


def test_too_few_feedings_say_nothing_of_take() -> None:
    """Two feedings lately, or refusals on days that are held, make no trend; nor do feedings of long ago."""
    told = feedings((63, 40, 40), (50, 39, 40), (36, 38, 40), (21, 9, 40), (14, 8, 40), (7, 6, 40))
    assert take_trend(told[:-1], TODAY) is None
    assert take_trend(told, TODAY, held=[TODAY - timedelta(days=7)]) is None
    assert take_trend(told, TODAY + timedelta(days=400)) is None


def test_no_more_taken_than_offered() -> None:
    """A feeding with more taken than offered raises ValueError."""
    with pytest.raises(ValueError, match="No more prey"):
        take_trend(feedings((3, 5, 4)), TODAY)
