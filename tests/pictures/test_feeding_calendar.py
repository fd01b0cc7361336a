"""What stands on the feeding calendar."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from bot.pictures.feeding_calendar import (
    HELD,
    MOULT,
    NOT_OFFERED,
    PARTLY,
    REFUSED,
    TAKEN,
    FeedingCalendar,
    FoodDay,
    drawn,
)
from bot.pictures.style import PictureFault
from tests.pictures.looking import marks, spoken, words
from tests.pictures.samples import FOOD_YEARS

TUESDAY = date(2026, 3, 10)


def calendar(*days: tuple[int, str]) -> FeedingCalendar:
    """So many days before Tuesday 10 March what happened."""
    return FeedingCalendar(
        "Rosie", "", tuple(FoodDay(TUESDAY - timedelta(days=back), what) for back, what in days), TUESDAY
    )


@pytest.mark.parametrize(
    ("what", "shape", "fill"),
    [
        (TAKEN, "o", "full"),
        (PARTLY, "o", "left"),
        (REFUSED, "x", "full"),
        (HELD, "s", "full"),
        (NOT_OFFERED, "_", "full"),
        (MOULT, "d", "full"),
    ],
)
def test_each_fate_has_its_mark_in_its_cell(what: str, shape: str, fill: str) -> None:
    """Sunday 22 February is in the last column of the first row."""
    assert marks(drawn(calendar((16, what))), shape, fill) == [(6.5, -0.5)]


def test_weeks_begin_on_mondays() -> None:
    """Rows are named by their Monday, the first with its year; columns by weekday."""
    found = words(drawn(calendar((9, TAKEN), (0, REFUSED))))
    assert [word for word in found if "Feb" in word or "Mar" in word] == ["23 Feb 2026", "2 Mar", "9 Mar"]
    assert ("Mon" in found, "Sun" in found) == (True, True)


def test_of_several_meals_on_one_day_the_best_is_shown() -> None:
    """Refused in the morning, taken in the evening: taken."""
    figure = drawn(calendar((0, REFUSED), (0, TAKEN), (0, HELD)))
    assert len(marks(figure, "o")) == 1
    assert marks(figure, "x") == marks(figure, "s") == []


def test_food_and_moult_of_one_day_stand_side_by_side() -> None:
    """Both marks are in the cell, neither on the other."""
    figure = drawn(calendar((0, HELD), (0, MOULT)))
    ((food, _),), ((moult, _),) = marks(figure, "s"), marks(figure, "d")
    assert 1 < food < moult < 2
    assert moult - food > 0.3


def test_only_what_is_there_is_explained() -> None:
    """The key names what stands on the calendar."""
    assert "refused" not in spoken(drawn(calendar((0, TAKEN))))
    assert "refused" in spoken(drawn(calendar((0, REFUSED))))


def test_ten_years_show_their_last_sixteen_weeks_and_say_so() -> None:
    """Sixteen rows, the newest week last, and the basis says what was left out."""
    figure = drawn(FOOD_YEARS)
    assert figure.axes[0].get_ylim() == (-16, 0)
    assert "(the last 16 weeks are shown)" in spoken(figure)
    assert "weeks are shown" not in spoken(drawn(calendar((0, TAKEN))))


def test_what_is_planned_for_later_is_left_out() -> None:
    """Days after the last are not drawn; with nothing else there is nothing to draw."""
    assert len(marks(drawn(calendar((0, TAKEN), (-3, TAKEN))), "o")) == 1
    with pytest.raises(PictureFault, match="There is nothing to draw"):
        drawn(calendar((-3, TAKEN)))
