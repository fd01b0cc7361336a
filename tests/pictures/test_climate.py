"""What stands on the picture of a climate."""

from __future__ import annotations

from datetime import timedelta

import pytest
from matplotlib.patches import Rectangle

from bot.pictures.climate import STRETCHES, Climate, Series, drawn
from bot.pictures.style import PictureFault
from tests.pictures.looking import marks, spoken, words
from tests.pictures.samples import AIR, AIR_YEARS, HUMID, WARM, readings


def test_readings_outside_the_band_have_other_shapes() -> None:
    """Inside circles, above it a triangle up, below it a triangle down; the ends of the band are inside."""
    figure = drawn(Climate("Tub 4", "", (HUMID,)))
    assert [y for _x, y in marks(figure, "^")] == [82]
    assert [y for _x, y in marks(figure, "v")] == [58]
    assert len(marks(figure, "o")) == 7
    edges = drawn(Climate("Tub 4", "", (Series("humidity, %", readings([60, 80]), 60, 80),)))
    assert len(marks(edges, "o")) == 2


def test_the_band_is_shaded_and_an_open_end_reaches_the_edge() -> None:
    """Humidity 60 to 80, temperature from 22 up."""
    figure = drawn(AIR)
    spans = []
    for axes in figure.axes:
        (shade,) = [one for one in axes.patches if isinstance(one, Rectangle)]
        spans.append((shade.get_y(), shade.get_y() + shade.get_height()))
    assert spans == [(60, 80), (22, figure.axes[1].get_ylim()[1])]


def test_two_panels_share_their_days() -> None:
    """One under the other, each with its name, from the first reading of either to the last."""
    figure = drawn(AIR)
    upper, lower = figure.axes
    assert upper.get_xlim() == lower.get_xlim()
    assert upper.get_position().y0 > lower.get_position().y1
    assert {"humidity, %", "temperature, °C"} <= set(words(figure))


def test_a_panel_without_readings_is_left_out() -> None:
    """One panel alone makes a lower picture; none makes none."""
    figure = drawn(Climate("Tub 4", "", (HUMID, Series("temperature, °C", ()))))
    assert len(figure.axes) == 1
    assert figure.bbox.height == 810
    with pytest.raises(PictureFault, match="There is nothing to draw"):
        drawn(Climate("Tub 4", "", (Series("humidity, %", ()),)))


def test_without_a_band_nothing_is_wanted() -> None:
    """No shade, one word for a reading."""
    figure = drawn(Climate("Room", "", (Series("humidity, %", readings([50, 60, 70])),)))
    assert not figure.axes[0].patches
    assert "wanted" not in spoken(figure)
    assert "in the band" not in spoken(figure)


def test_the_axis_keeps_within_what_can_be() -> None:
    """No humidity above 100 on the axis; a reading beyond is refused."""
    figure = drawn(Climate("Tub 4", "", (Series("humidity, %", readings([92, 99, 100]), 60, 80, 0, 100),)))
    assert figure.axes[0].get_ylim()[1] == 100
    with pytest.raises(PictureFault, match="beyond what it can be"):
        Series("humidity, %", readings([101]), 60, 80, 0, 100)


def test_ten_years_become_medians_with_their_spread() -> None:
    """At most eighty stretches a panel, from their least to their greatest, and the key says so."""
    figure = drawn(AIR_YEARS)
    for axes in figure.axes:
        drawn_here = [line for line in axes.lines if line.get_marker() in {"o", "^", "v"}]
        assert 60 <= sum(len(line.get_xdata()) for line in drawn_here) <= STRETCHES
    assert "least to greatest of a stretch" in spoken(figure)


def test_one_moment_is_enough() -> None:
    """A single reading has an axis of some days around it."""
    figure = drawn(Climate("Tub 4", "", (Series(WARM.name, WARM.readings[:1], 22, None),)))
    first, last = figure.axes[0].get_xlim()
    assert last - first >= timedelta(days=4).days
