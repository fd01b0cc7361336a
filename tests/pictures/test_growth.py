"""What stands on the picture of growth."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from matplotlib.patches import Rectangle
from matplotlib.text import Text

from bot.pictures.growth import MANY, MANY_MOULTS, Growth, Size, drawn
from bot.pictures.style import PictureFault
from tests.pictures.looking import marks, on, spoken, words
from tests.pictures.samples import GROWN, GROWN_OPEN, GROWN_YEARS


def test_sizes_stand_at_their_days() -> None:
    """A full circle at the middle of each range, and a hollow triangle where the size is "at least"."""
    figure = drawn(GROWN)
    assert marks(figure, "o") == [
        (on(date(2025, 3, 3)), 12),
        (on(date(2025, 8, 1)), 19.5),
        (on(date(2026, 2, 20)), 31),
    ]
    assert marks(figure, "^") == [(on(date(2025, 11, 11)), 25)]
    assert {"12", "31", "legspan, mm", "at least"} <= set(words(figure))


def test_moults_have_a_lane() -> None:
    """A diamond for each, at its day, all at one height."""
    found = marks(drawn(GROWN), "d")
    assert [x for x, _y in found] == [on(day) for day in GROWN.moults]
    assert len({y for _x, y in found}) == 1


def test_the_window_of_the_next_moult_is_shaded() -> None:
    """From its first day to its last, through panel and lane, and told in the key."""
    figure = drawn(GROWN)
    for axes in figure.axes:
        (shade,) = [one for one in axes.patches if isinstance(one, Rectangle)]
        assert (shade.get_x(), shade.get_width()) == (on(date(2026, 5, 29)), 52)
        assert shade.get_y() < axes.get_ylim()[0]
    assert "next moult: 29 May to 20 Jul 2026" in spoken(figure)


def test_a_window_over_the_new_year_names_both_years() -> None:
    """15 Dec 2026 to 10 Jan 2027."""
    figure = drawn(replace(GROWN, next_moult=(date(2026, 12, 15), date(2027, 1, 10))))
    assert "next moult: 15 Dec 2026 to 10 Jan 2027" in spoken(figure)


def test_an_open_window_reaches_the_edge() -> None:
    """Without a last day the shade goes on, and the key says "on"."""
    figure = drawn(GROWN_OPEN)
    (shade,) = [one for one in figure.axes[0].patches if isinstance(one, Rectangle)]
    assert shade.get_x() + shade.get_width() == figure.axes[0].get_xlim()[1]
    assert "next moult: from 29 May 2026 on" in spoken(figure)


def test_without_a_window_nothing_is_shaded() -> None:
    """No window, no shade, no word of it."""
    figure = drawn(replace(GROWN, next_moult=None))
    assert not any(axes.patches for axes in figure.axes)
    assert "next moult" not in spoken(figure)


def test_ten_years_become_medians_with_their_spread() -> None:
    """At most sixty marks of sizes and two dozen moults, and the key says what they are."""
    figure = drawn(GROWN_YEARS)
    assert 40 <= len(marks(figure, "o")) <= MANY
    assert len(marks(figure, "d")) <= MANY_MOULTS
    assert "median of a stretch" in spoken(figure)


def test_moults_alone_make_no_picture() -> None:
    """Without a size there is nothing to draw."""
    with pytest.raises(PictureFault, match="There is nothing to draw: no size"):
        drawn(Growth("Rosie", "", "mm", (), (date(2026, 1, 1),)))
    assert drawn(Growth("Rosie", "", "mm", (Size(date(2026, 1, 1), 0, 0),)))


def test_of_several_sizes_on_one_day_the_median_is_written() -> None:
    """Beside the middle one, not over the largest; a lone size has its number over it."""
    day = date(2026, 1, 10)
    figure = drawn(Growth("Group B", "", "mm", tuple(Size(day, size, size) for size in (10, 14, 20))))
    (found,) = [text for text in figure.findobj(Text) if text.get_text() == "14" and text.get_ha() == "left"]
    assert found.get_path_effects()
    alone = drawn(Growth("Rosie", "", "mm", (Size(day, 13, 13),)))
    assert [text.get_ha() for text in alone.findobj(Text) if text.get_text() == "13"].count("center") == 1
