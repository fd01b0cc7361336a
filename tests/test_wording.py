"""Days, periods, numbers, names and measures are said as a keeper would."""

from __future__ import annotations

from datetime import date

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.wording import (
    join_names,
    plural,
    say_count,
    say_date,
    say_day,
    say_distance,
    say_full_day,
    say_measure,
    say_number,
    say_period,
    say_range,
    say_temperature,
)

TODAY = date(2026, 3, 10)


@pytest.mark.parametrize(
    ("day", "said"),
    [
        (date(2026, 3, 10), "Tue 10 Mar, today"),
        (date(2026, 3, 9), "Mon 9 Mar, yesterday"),
        (date(2026, 3, 11), "Wed 11 Mar, tomorrow"),
        (date(2026, 3, 2), "Mon 2 Mar, 8 days ago"),
        (date(2026, 3, 13), "Fri 13 Mar, in 3 days"),
        (date(2025, 12, 31), "Wed 31 Dec 2025, 9 weeks ago"),
        (date(2025, 3, 4), "Tue 4 Mar 2025, 53 weeks ago"),
        (date(2023, 3, 10), "Fri 10 Mar 2023, 3 years ago"),
        (date(2023, 3, 11), "Sat 11 Mar 2023, 2 years 11 months ago"),
        (date(2029, 4, 12), "Thu 12 Apr 2029, in 3 years 1 month"),
        (date(2025, 2, 1), "Sat 1 Feb 2025, 57 weeks ago"),
    ],
)
def test_day_says_date_and_distance(day: date, said: str) -> None:
    """A day is said as date and distance, with the year only when it is not this one."""
    assert say_day(day, TODAY) == said


@given(st.dates(date(1990, 1, 1), date(2090, 1, 1)), st.dates(date(1990, 1, 1), date(2090, 1, 1)))
def test_distance_points_the_right_way(day: date, today: date) -> None:
    """A past day is "ago" or "yesterday", a coming one "in" or "tomorrow"."""
    said = say_distance(day, today)
    if day < today:
        assert said.endswith("ago") or said == "yesterday"
    elif day > today:
        assert said.startswith("in ") or said == "tomorrow"
    else:
        assert said == "today"


@given(st.dates())
def test_full_day_has_the_weekday_of_the_calendar(day: date) -> None:
    """The weekday said is the one the calendar gives."""
    assert say_full_day(day).split() == [
        *day.strftime("%a").split(),
        str(day.day),
        *day.strftime("%b").split(),
        str(day.year),
    ]


@pytest.mark.parametrize(
    ("since", "until", "said"),
    [
        (None, None, "so far"),
        (date(2026, 3, 2), None, "since Mon 2 Mar, 8 days ago"),
        (date(2026, 3, 2), TODAY, "since Mon 2 Mar, 8 days ago"),
        (TODAY, TODAY, "on Tue 10 Mar, today"),
        (date(2026, 3, 2), date(2026, 3, 2), "on Mon 2 Mar, 8 days ago"),
        (date(2026, 2, 1), date(2026, 2, 28), "from Sun 1 Feb to Sat 28 Feb, 10 days ago"),
        (None, date(2026, 2, 28), "up to Sat 28 Feb, 10 days ago"),
    ],
)
def test_period_is_said_plainly(since: date | None, until: date | None, said: str) -> None:
    """A period reads as the end of a sentence, and an end that lies ahead is left out."""
    assert say_period(since, until, TODAY) == said


def test_date_leaves_out_this_year() -> None:
    """The year is said only where it is another one."""
    assert say_date(date(2026, 1, 2), TODAY) == "Fri 2 Jan"
    assert say_date(date(2024, 1, 2), TODAY) == "Tue 2 Jan 2024"


@pytest.mark.parametrize(
    ("span", "said"),
    [
        ((3, 3), "3"),
        ((2, 3), "2 to 3"),
        ((12, None), "at least 12"),
        ((0, 10), "up to 10"),
        ((None, 4), "up to 4"),
        ((0, 0), "0"),
        ((None, None), "an unknown number"),
        ((None, 0), "0"),
    ],
)
def test_range_in_words(span: tuple[float | None, float | None], said: str) -> None:
    """A range is said by its edges."""
    assert say_range(span) == said


@pytest.mark.parametrize(
    ("one", "many"),
    [
        ("roach", "roaches"),
        ("red runner roach", "red runner roaches"),
        ("cricket", "crickets"),
        ("fruit fly", "fruit flies"),
        ("mouse", "mice"),
        ("woodlouse", "woodlice"),
        ("larva", "larvae"),
        ("pinky", "pinkies"),
        ("day", "days"),
        ("young", "young"),
        ("locusts", "locusts"),
        ("moth", "moths"),
    ],
)
def test_plural_of_prey(one: str, many: str) -> None:
    """Prey is named in its proper plural."""
    assert plural(one) == many
    assert say_count((1, 1), one) == f"1 {one}"
    assert say_count((2, 2), one) == f"2 {many}"


def test_names_are_joined_with_and() -> None:
    """Names read as a list in a sentence."""
    assert join_names([]) == ""
    assert join_names(["tub 1"]) == "tub 1"
    assert join_names(["tub 1", "tub 2", "tub 3"]) == "tub 1, tub 2 and tub 3"


UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()


@given(st.floats(0.1, 9000))
def test_imperial_values_agree_with_pint(value: float) -> None:
    """Inches, ounces and °F beside the metric value are those that the pint library gives (pint, its default units)."""
    inches = say_number(UNITS.Quantity(value, "mm").to("inch").magnitude)
    ounces = say_number(UNITS.Quantity(value, "g").to("ounce").magnitude)
    fahrenheit = say_number(UNITS.Quantity(value, "degC").to("degF").magnitude)
    assert say_measure((value, value), "legspan", "imperial").endswith(f"({inches} in)")
    assert say_measure((value, value), "weight", "imperial").endswith(f"({ounces} oz)")
    assert say_temperature((value, value), "imperial").endswith(f"({fahrenheit} °F)")


def test_measures_are_metric_by_default() -> None:
    """Without imperial units only the metric value is said."""
    assert say_measure((36, 44), "legspan") == "36 to 44 mm"
    assert say_temperature((0, 5)) == "0 to 5 °C"
    assert say_number(-0.001) == "0"
