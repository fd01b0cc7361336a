"""What stands on the picture of a head count."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import isnan

import pytest
from matplotlib.patches import StepPatch

from bot.pictures.head_count import CAME, Change, Counted, HeadCount, Step, drawn
from bot.pictures.style import PictureFault
from tests.pictures.looking import marks, on, spoken, words
from tests.pictures.samples import HEADS, HEADS_OPEN, HEADS_YEARS, TODAY


def stairs(told: HeadCount) -> list[StepPatch]:
    """The stairs in the order in which they were drawn: the shade, what is open above, the lower and the upper edge."""
    return [one for one in drawn(told).axes[0].get_children() if isinstance(one, StepPatch)]


def test_counts_stand_on_the_band_with_their_numbers() -> None:
    """Each count is a full circle at its day and number, and its number is written."""
    figure = drawn(HEADS)
    assert marks(figure, "o") == [(on(one.on), one.number) for one in HEADS.counts]
    assert {"30", "47", "42"} <= set(words(figure))


def test_the_band_spans_the_range_of_each_step() -> None:
    """The shade holds every step's low and high from its day to the next, the last up to today."""
    shade, low, high = (one.get_data() for one in stairs(HEADS))
    days = [*(on(step.on) for step in HEADS.steps), on(TODAY)]
    lows, highs = [step.low for step in HEADS.steps], [step.high for step in HEADS.steps]
    assert [list(part) for part in (shade.edges, shade.baseline, shade.values)] == [days, lows, highs]
    assert (list(low.values), list(high.values)) == (lows, highs)


def test_without_an_upper_end_the_band_is_hatched_to_the_top() -> None:
    """From the day on which the upper end is lost the shade is hatched, and the key says "no upper end"."""
    figure = drawn(HEADS_OPEN)
    (open_one,) = [one for one in stairs(HEADS_OPEN) if one.get_hatch()]
    values = open_one.get_data().values.tolist()
    assert (isnan(values[0]), values[1]) == (True, figure.axes[0].get_ylim()[1])
    assert "no upper end" in spoken(figure)
    assert "no upper end" not in spoken(drawn(HEADS))


def test_deaths_arrivals_and_departures_have_marks_of_their_own() -> None:
    """Crosses, triangles and diamonds, each kind at one height, at their days; a number not told is not written."""
    figure = drawn(HEADS)
    found = {shape: marks(figure, shape) for shape in "x^D"}
    assert [x for x, _y in found["x"]] == [on(date(2026, 1, 10)), on(date(2026, 2, 14))]
    assert [x for x, _y in found["^"]] == [on(date(2025, 11, 8))]
    assert len({y for places in found.values() for _x, y in places}) == 3
    assert "12" in words(figure)
    assert "None" not in spoken(figure)


def test_only_what_is_there_is_explained() -> None:
    """Without losses the key has no word of them."""
    calm = replace(HEADS, changes=(Change(date(2025, 11, 8), CAME, 12),))
    assert "died" in spoken(drawn(HEADS))
    assert "died" not in spoken(drawn(calm))


def test_many_changes_are_gathered_with_their_sum() -> None:
    """Ten years of them leave fewer than twenty marks of a kind, and the key says that near ones are added up."""
    figure = drawn(HEADS_YEARS)
    assert all(0 < len(marks(figure, shape)) < 20 for shape in "x^D")
    assert "one mark with their sum" in spoken(figure)
    assert len(marks(figure, "o")) <= 40


def test_ten_years_keep_their_extremes() -> None:
    """However many steps are made few, the lowest and the highest are drawn."""
    shade = stairs(HEADS_YEARS)[0].get_data()
    assert min(shade.baseline) == min(step.low for step in HEADS_YEARS.steps)
    assert max(shade.values) == max(step.high or 0 for step in HEADS_YEARS.steps)
    assert len(shade.values) <= 200


def test_order_of_telling_does_not_matter() -> None:
    """Steps and counts may come in any order."""
    turned = replace(HEADS, steps=HEADS.steps[::-1], counts=HEADS.counts[::-1])
    assert sorted(words(drawn(turned))) == sorted(words(drawn(HEADS)))


def test_a_group_of_none_is_drawn() -> None:
    """A group that died out ends at 0."""
    gone = HeadCount("none left", "3 entries", (Step(date(2026, 1, 1), 2, 2), Step(date(2026, 2, 1), 0, 0)), TODAY)
    assert drawn(gone).axes[0].get_ylim()[0] == 0


def test_nothing_makes_no_picture() -> None:
    """Neither a range nor a count: a sentence instead. A count alone is enough."""
    with pytest.raises(PictureFault, match="There is nothing to draw"):
        drawn(HeadCount("Tub 4", "", (), TODAY))
    assert marks(drawn(HeadCount("Tub 4: 12", "", (), TODAY, (Counted(TODAY, 12),))), "o") == [(on(TODAY), 12)]


def test_a_count_that_is_a_range_is_drawn_as_one() -> None:
    """A bar from its low to its high end; "at least" is a mark of its own; neither is written as a number counted."""
    counts = (Counted(date(2026, 1, 5), 40), Counted(date(2026, 2, 2), 30, 36), Counted(date(2026, 3, 1), 12, None))
    figure = drawn(HeadCount("B", "3 counts", (), TODAY, counts))
    assert marks(figure, "o") == [(on(date(2026, 1, 5)), 40)]
    assert sorted(marks(figure, "_")) == [(on(date(2026, 2, 2)), 30), (on(date(2026, 2, 2)), 36)]
    assert marks(figure, "^") == [(on(date(2026, 3, 1)), 12)]
    assert {"counted", "counted, at least", "counted, from to"} <= set(words(figure))
