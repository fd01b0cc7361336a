"""Crowding: heads per floor and volume, beside the keeper's other groups."""

from __future__ import annotations

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.care.crowding import Enclosure, beside, crowding

TUB = Enclosure(40, 30, 25, hides=30)
UNITS = pint.UnitRegistry()


def test_heads_per_floor_and_volume() -> None:
    """40 to 42 heads in 40 by 30 by 25 cm: 12 dm² and 30 l, 3.3 to 3.5 heads a dm², 1.3 to 1.4 a litre, 0.7 hides each."""
    found = crowding((40, 42), TUB)
    assert (found.floor_dm2, found.volume_l, found.basis) == (12, 30, (40, 42))
    assert found.per_dm2 == pytest.approx((40 / 12, 3.5))
    assert found.per_l == pytest.approx((40 / 30, 1.4))
    assert found.dm2_each == pytest.approx((12 / 42, 0.3))
    assert found.hides_each == pytest.approx((30 / 42, 0.75))


def test_what_is_not_told_stays_unknown() -> None:
    """Without a height no volume, without hides none for each; "at least" leaves the upper end open."""
    found = crowding((12, None), Enclosure(20, 10))
    assert (found.volume_l, found.per_l, found.hides_each) == (None, None, None)
    assert (found.per_dm2, found.dm2_each) == ((6, None), (0, 1 / 6))


def test_no_heads_have_no_share() -> None:
    """An empty enclosure has room for each of none; where there may be none, the share has no upper end."""
    assert crowding((0, 0), TUB).dm2_each is None
    assert crowding((0, 4), TUB).dm2_each == (3, None)


@given(st.floats(1, 300), st.floats(1, 300), st.floats(1, 300))
def test_units_are_those_of_pint(width: float, depth: float, height: float) -> None:
    """Square decimetres and litres from centimetres, as a library of units turns them."""
    found = crowding((1, 1), Enclosure(width, depth, height))
    assert found.floor_dm2 == pytest.approx((width * depth * UNITS.cm**2).to("dm^2").magnitude)
    assert found.volume_l == pytest.approx((width * depth * height * UNITS.cm**3).to("litre").magnitude)


@given(st.integers(0, 80), st.integers(0, 30), st.integers(1, 20))
def test_a_wider_count_gives_wider_numbers(low: int, more: int, wider: int) -> None:
    """Knowing less of the heads never narrows a range."""
    narrow, wide = crowding((low + wider, low + wider + more), TUB), crowding((low, low + wider + more + 1), TUB)
    assert wide.per_dm2[0] < narrow.per_dm2[0]
    assert (narrow.per_dm2[1] or 0) < (wide.per_dm2[1] or 0)


def test_beside_the_keepers_other_groups() -> None:
    """3 to 4 heads a dm² beside 1, 2 to 3.5, at least 2, and 6 to 8: one sparser, one denser, two alike; median 2.375."""
    found = beside((3, 4), [(1, 1), (2, 3.5), (2, None), (6, 8)])
    assert found is not None
    assert (found.denser, found.sparser, found.alike, found.basis) == (1, 1, 2, 4)
    assert found.median == 2.375
    assert found.times_median == pytest.approx(3.5 / 2.375)


def test_no_other_group_no_comparison() -> None:
    """Alone a group is compared with nothing; beside empty ones there is no multiple."""
    assert beside((3, 4), []) is None
    empty = beside((3, 4), [(0, 0)])
    assert empty is not None
    assert empty.times_median is None


DENSITIES = st.tuples(st.floats(0, 9), st.floats(0, 9)).map(lambda pair: (min(pair), max(pair)))


@given(DENSITIES, st.lists(DENSITIES, min_size=1, max_size=8))
def test_every_other_group_is_placed_once(own: tuple[float, float], others: list[tuple[float, float]]) -> None:
    """Denser, sparser and alike make all; a group is always like itself."""
    found = beside(own, [*others, own])
    assert found is not None
    assert found.denser + found.sparser + found.alike == found.basis == len(others) + 1
    assert found.alike >= 1


def test_what_cannot_be_is_refused() -> None:
    """No width, fewer than no heads or hides, or a range upside down raises ValueError."""
    for heads, enclosure in (
        ((1, 1), Enclosure(0, 10)),
        ((1, 1), Enclosure(10, 10, -1)),
        ((2, 1), TUB),
        ((-1, 1), TUB),
        ((1, 1), Enclosure(1, 1, 1, hides=-1)),
    ):
        with pytest.raises(ValueError, match="cannot be"):
            crowding(heads, enclosure)
