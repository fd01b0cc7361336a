"""Whatever the data and whatever the names: a picture comes of it, and its text stays on the sheet and out of other text."""

from __future__ import annotations

from datetime import date
from itertools import combinations
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.pictures import climate, growth, head_count, survival
from bot.pictures.climate import Climate, Measured, Series
from bot.pictures.growth import Growth, Size
from bot.pictures.head_count import CAME, DIED, LEFT, Change, Counted, HeadCount, Step
from bot.pictures.style import WIDTH
from bot.pictures.survival import Curve, Drop, Survival
from tests.pictures.test_every_picture import boxes

if TYPE_CHECKING:
    from matplotlib.figure import Figure

pytestmark = pytest.mark.slow
FEW = settings(max_examples=25)

Window = tuple[date, date | None] | None
DAYS = st.dates()
NAMES = st.text(max_size=200)
UP = st.none() | st.integers(0, 10**5)
STEPS = st.builds(lambda on, low, up: Step(on, low, None if up is None else low + up), DAYS, st.integers(0, 10**6), UP)
SIZES = st.builds(lambda on, low, up: Size(on, low, None if up is None else low + up), DAYS, st.floats(0, 1e5), UP)
READINGS = st.builds(Measured, st.datetimes(), st.floats(-60, 200))
AGES = st.floats(0, 5000)
DROPS = st.builds(lambda age, share: Drop(age, share, share * 0.9, min(1.0, share * 1.1)), AGES, st.floats(0, 1))


def is_tidy(figure: Figure) -> bool:
    found = [box for _words, box in boxes(figure)]
    inside = all(
        box.x0 >= 5 and box.y0 >= 5 and box.x1 <= WIDTH - 5 and box.y1 <= figure.bbox.height - 5 for box in found
    )
    apart = all(
        min(one.x1, other.x1) - max(one.x0, other.x0) <= 1 or min(one.y1, other.y1) - max(one.y0, other.y0) <= 1
        for one, other in combinations(found, 2)
    )
    return inside and apart


@FEW
@given(
    name=NAMES,
    steps=st.lists(STEPS, min_size=1, max_size=30),
    until=DAYS,
    counts=st.lists(st.builds(Counted, DAYS, st.integers(0, 10**6)), max_size=30),
    changes=st.lists(st.builds(Change, DAYS, st.sampled_from((DIED, CAME, LEFT)), UP), max_size=40),
)
def test_any_heads(name: str, steps: list[Step], until: date, counts: list[Counted], changes: list[Change]) -> None:
    """Ranges, counts and changes in any order, of any day and size."""
    told = HeadCount(name, name, tuple(steps), until, tuple(counts), tuple(changes))
    assert is_tidy(head_count.drawn(told))


@FEW
@given(
    name=NAMES,
    sizes=st.lists(SIZES, min_size=1, max_size=80),
    moults=st.lists(DAYS, max_size=40),
    window=st.none() | st.tuples(DAYS, st.none()) | st.tuples(DAYS, DAYS).map(lambda pair: (min(pair), max(pair))),
)
def test_any_growth(name: str, sizes: list[Size], moults: list[date], window: Window) -> None:
    """Sizes and moults of any day, with and without a window."""
    told = Growth(name, name, name, tuple(sizes), tuple(moults), window)
    assert is_tidy(growth.drawn(told))


@FEW
@given(
    name=NAMES,
    upper=st.lists(READINGS, min_size=1, max_size=200),
    lower=st.lists(READINGS, max_size=3),
    low=st.none() | st.floats(-50, 50),
    high=st.none() | st.floats(50, 100),
)
def test_any_climate(
    name: str, upper: list[Measured], lower: list[Measured], low: float | None, high: float | None
) -> None:
    """Readings of any moment, with any band."""
    told = Climate(name, name, (Series(name, tuple(upper), low, high), Series("°C", tuple(lower))))
    assert is_tidy(climate.drawn(told))


@FEW
@given(
    name=NAMES,
    drops=st.lists(DROPS, max_size=30),
    until=AGES,
    censored=st.lists(AGES, max_size=80),
    at_risk=st.lists(st.tuples(AGES, st.integers(0, 10_000)), max_size=8),
)
def test_any_survival(
    name: str, drops: list[Drop], until: float, censored: list[float], at_risk: list[tuple[float, int]]
) -> None:
    """Two curves of any shape."""
    one = Curve(name, tuple(drops), until, tuple(censored), tuple(at_risk))
    other = Curve(name, tuple(drops[:3]), until, tuple(censored[:4]), tuple(at_risk[:3]))
    assert is_tidy(survival.drawn(Survival(name, name, (one, other))))
