"""A brood of counted heads: the true curve lies between the two that are told."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.care.broods import Brood, Gone, Seen, brood_survival, compare_broods
from bot.care.survival import Life, survival_curve
from tests.care.test_survival import DRUG, PLACEBO


def exactly(start: int, until: float, *gone: tuple[float, int, bool], seen: tuple[Seen, ...] = ()) -> Brood:
    """Make a brood of exact numbers; each gone as (day, heads, died)."""
    return Brood((start, start), until, tuple(Gone(day, (heads, heads), died) for day, heads, died in gone), seen)


def test_exact_numbers_give_the_kaplan_meier_curve() -> None:
    """The remission data, told as a brood of 21 with deaths and departures, give the printed curve and its interval."""
    brood = exactly(21, 35, *((life.days, 1, life.died) for life in DRUG))
    found, known = brood_survival(brood), survival_curve(DRUG)
    assert found.exact
    assert (found.died, found.left, found.missing, found.basis, found.raised) == ((9, 9), (12, 12), (0, 0), 21, False)
    for band in found.bands:
        step = known.step_at(band.days)
        assert band.low == pytest.approx(known.survival_at(band.days))
        assert step is None or step.log_log is None or band.interval == pytest.approx(step.log_log)


def test_sold_slings_are_not_lost_ones() -> None:
    """Of 60, ten die on day 10 and forty are sold on day 20: 5 of 6 live, as before the sale; nothing is missing."""
    found = brood_survival(exactly(60, 100, (10, 10, True), (20, 40, False), seen=(Seen(100, (10, 10)),)))
    assert [band.low for band in found.bands] == pytest.approx([1, 5 / 6, 5 / 6, 5 / 6])
    assert found.missing == (0, 0)


def test_unseen_heads_are_neither() -> None:
    """Of 50, a full count finds 45 and nobody was told dead: between 0.9 and 1, and 5 unaccounted for."""
    found = brood_survival(exactly(50, 80, seen=(Seen(40, (45, 45)),)))
    assert found.missing == (5, 5)
    assert not found.exact
    assert found.bands[0].low == pytest.approx(0.9)
    assert (found.bands[-1].low, found.bands[-1].high) == (pytest.approx(0.9), 1.0)
    assert found.bands[-1].interval is not None
    assert found.bands[-1].interval[1] == 1.0


def test_a_glimpse_says_that_none_is_missing() -> None:
    """At least 12 seen of 50: nothing missing, nothing lost, both curves at 1."""
    found = brood_survival(exactly(50, 80, seen=(Seen(40, (12, None)),)))
    assert (found.missing, found.exact, found.bands[-1].low) == ((0, 0), True, 1.0)
    assert found.bands[-1].interval is None


def test_ranges_give_the_two_curves() -> None:
    """180 to 200 at the start and 10 to 20 dead: between 160/180 and 190/200."""
    found = brood_survival(Brood((180, 200), 30, (Gone(10, (10, 20), died=True),)))
    assert (found.bands[-1].low, found.bands[-1].high) == (pytest.approx(160 / 180), pytest.approx(190 / 200))
    assert (found.basis, found.start, found.died) == (180, (180, 200), (10, 20))


def test_deaths_without_a_number_are_bounded_by_the_living() -> None:
    """Some of 50 died, 44 or more are seen later: at most 6 died, at least 1; without the sighting it may be all."""
    some = Gone(10, (1, None), died=True)
    found = brood_survival(Brood((50, 50), 30, (some,), (Seen(20, (44, None)),)))
    assert (found.bands[-1].low, found.bands[-1].high) == (pytest.approx(44 / 50), pytest.approx(49 / 50))
    assert found.died == (1, None)
    assert brood_survival(Brood((50, 50), 30, (some,))).bands[-1].low == 0.0


def test_a_count_above_the_start_raises_it() -> None:
    """40 told at the start, 3 dead, then 41 counted: there were 44, and it is said that the start was raised."""
    found = brood_survival(exactly(40, 30, (5, 3, True), seen=(Seen(20, (41, 41)),)))
    assert (found.start, found.raised, found.missing) == ((44, 44), True, (0, 0))
    assert found.bands[-1].low == pytest.approx(41 / 44)


def test_a_later_full_count_starts_the_book_anew() -> None:
    """Missing heads are reckoned from count to count: 5 by the first, 2 more by the second."""
    found = brood_survival(exactly(50, 90, (50, 3, True), seen=(Seen(40, (45, 45)), Seen(80, (40, 40)))))
    assert found.missing == (7, 7)
    assert found.bands[-1].low == pytest.approx(0.8)
    assert found.bands[-1].high == pytest.approx(47 / 50)


def test_what_is_no_brood_is_refused() -> None:
    """No heads, a range upside down or a time outside raises ValueError."""
    for brood in (
        Brood((0, 0), 10),
        Brood((5, 4), 10),
        exactly(5, 10, (11, 1, True)),
        exactly(5, 10, seen=(Seen(-1, (1, 1)),)),
        Brood((5, 5), 10, (Gone(1, (3, 2), died=True),)),
    ):
        with pytest.raises(ValueError, match="A brood needs"):
            brood_survival(brood)


FATES = st.tuples(st.integers(1, 12), st.sampled_from(["dead", "unseen dead", "sold", "alive"]))


@settings(max_examples=200)
@given(st.lists(FATES, min_size=1, max_size=14), st.data())
def test_truth_lies_between_the_curves(fates: list[tuple[int, str]], data: st.DataObject) -> None:
    """Whatever happened: ranges that hold it, and a full count at the end, give curves that hold the true one.

    Some heads die unseen on a day that nobody knows; some die or leave and are told with a range.
    """

    def told(number: int) -> tuple[int, int | None]:
        low = data.draw(st.integers(0, number))
        return low, data.draw(st.none() | st.integers(number, number + 3))

    until = 13.0
    gone = tuple(
        Gone(float(day), told(fates.count((day, fate))), died=fate == "dead")
        for fate in ("dead", "sold")
        for day in sorted({day for day, what in fates if what == fate})
    )
    living = sum(what == "alive" for _day, what in fates)
    low, high = (data.draw(st.integers(0, 2)) for _end in range(2))
    start = max(0, len(fates) - low), len(fates) + high
    counted = Seen(until, (max(0, living - low), living + high))
    found = brood_survival(Brood(start, until, gone, (counted,)))
    truth = survival_curve(
        Life(until, died=False) if what == "alive" else Life(float(day), died=what != "sold") for day, what in fates
    )
    for day in range(14):
        band = next(band for band in reversed(found.bands) if band.days <= day)
        assert band.low - 1e-9 <= truth.survival_at(day) <= band.high + 1e-9


@given(st.integers(1, 40), st.lists(st.tuples(st.integers(1, 20), st.integers(0, 3), st.booleans()), max_size=5))
def test_wider_numbers_never_narrow_the_bounds(start: int, gone: list[tuple[int, int, bool]]) -> None:
    """Knowing less of the start or of the dead never brings the curves nearer to each other."""
    exact = exactly(start, 20, *((float(day), heads, died) for day, heads, died in gone))
    wide = Brood(
        (start, start + 5), 20, tuple(Gone(one.days, (one.heads[0], one.heads[0] + 2), one.died) for one in exact.gone)
    )
    pairs = zip(brood_survival(exact).bands, brood_survival(wide).bands, strict=True)
    assert all(wider.low <= narrow.low + 1e-12 and narrow.high <= wider.high + 1e-12 for narrow, wider in pairs)


def test_two_broods_compared() -> None:
    """The remission groups as broods: the first loses fewer, p 4.17e-05 in every corner."""
    first, second = (exactly(21, 35, *((life.days, 1, life.died) for life in lives)) for lives in (DRUG, PLACEBO))
    found = compare_broods(first, second)
    assert found is not None
    assert found.p == pytest.approx((4.1688e-05, 4.1688e-05), abs=1e-9)
    assert found.better == 1
    assert found.tellable.may
    turned = compare_broods(second, first)
    assert turned is not None
    assert turned.better == 2


def test_missing_heads_can_take_a_verdict_away() -> None:
    """Two dead of 40 against 15 of 40 differ; with 13 missing from the first, they may or may not."""
    bad = exactly(40, 100, (30, 15, True))
    sure = compare_broods(exactly(40, 100, (30, 2, True)), bad)
    unsure = compare_broods(exactly(40, 100, (30, 2, True), seen=(Seen(90, (25, 25)),)), bad)
    assert sure is not None
    assert unsure is not None
    assert sure.better == 1
    assert unsure.better is None
    assert unsure.p[0] < 0.05 < unsure.p[1]


def test_broods_without_losses_are_not_compared() -> None:
    """None lost in either: nothing to compare; lost only if the missing are dead: no verdict."""
    whole = exactly(30, 50)
    assert compare_broods(whole, whole) is None
    found = compare_broods(whole, exactly(30, 50, seen=(Seen(50, (20, 20)),)))
    assert found is not None
    assert (found.better, found.tellable.losses, found.p[1]) == (None, 0, 1.0)
