"""Days as they are written at the beginning of a line, and which of day and month comes first in a file."""

from __future__ import annotations

from datetime import date, time

import pytest
from dateutil import parser as other_reader
from hypothesis import given
from hypothesis import strategies as st

from bot.moving.told import ImportFault
from bot.moving.written_days import DayAt, begins_without_year, day_at, in_doubt, order_of, time_at

DAYS = st.dates(date(1990, 1, 1), date(2068, 12, 31))


def days(*written: str) -> list[DayAt]:
    found = [(f"line {number}", day_at(one)) for number, one in enumerate(written, 1)]
    return [(where, one[0]) for where, one in found if one is not None]


@given(DAYS, st.sampled_from(["%Y-%m-%d", "%d %B %Y", "%B %d, %Y", "%a %d %b %Y", "%Y/%m/%d", "%Y.%m.%d"]))
def test_a_day_with_its_month_plain_is_that_day_in_any_order(day: date, form: str) -> None:
    """Whatever the order of the file: ISO 8601 days and days with the month in letters, against datetime's own writing of them."""
    written = day.strftime(form)
    found = day_at(written)
    assert found is not None
    assert found[1] == len(written)
    assert [found[0].day("day"), found[0].day("month")] == [day, day]


@given(DAYS, st.sampled_from(["/", ".", "-"]), st.booleans())
def test_a_day_in_numbers_is_read_by_the_order_of_the_file(day: date, mark: str, short: bool) -> None:  # noqa: FBT001 - hypothesis draws it
    """03/02/2026 day first and month first, against dateutil's reading with and without `dayfirst`."""
    year = f"{day:%y}" if short and day.year >= 2000 else f"{day.year}"
    written = mark.join([str(day.day), str(day.month), year])
    found = day_at(written)
    assert found is not None
    assert found[0].day("day") == other_reader.parse(written, dayfirst=True).date() == day
    if day.day <= 12:
        assert found[0].day("month") == other_reader.parse(written, dayfirst=False).date()


@pytest.mark.parametrize(
    ("written", "order"),
    [
        (("03/02/2026", "31/01/2026"), "day"),
        (("03/02/2026", "01/31/2026"), "month"),
        (("03/02/2026",), None),
        (("03/03/2026", "04/04/2026"), "day"),  # the same day either way
        (("2026-02-03",), "day"),  # nothing is in doubt
        (("31/02/2026",), "day"),  # no such day, and no such month either
    ],
)
def test_one_line_settles_the_order_of_all(written: tuple[str, ...], order: str | None) -> None:
    """A number above 12 is no month; where there is none and the days are not the same either way, nothing is settled."""
    assert order_of(days(*written)) == order


def test_two_orders_in_one_file_are_refused_by_name() -> None:
    """The sentence names a line of either sort."""
    with pytest.raises(ImportFault, match=r"31/01/2026 \(line 1\) has the day first, 02/28/2026 \(line 2\) the month"):
        order_of(days("31/01/2026", "02/28/2026"))


def test_a_chat_that_would_run_backwards_is_read_the_other_way() -> None:
    """1 February, 2 February, 1 March: read with the month first they would not follow each other."""
    written = days("01/02/2026", "02/02/2026", "01/03/2026")
    assert order_of(written, in_time=True) == "day"
    assert order_of(written) is None
    assert order_of(days("02/01/2026", "02/02/2026", "03/01/2026"), in_time=True) == "month"
    assert order_of(days("01/02/2026", "02/03/2026"), in_time=True) is None
    assert [where for where, _day in in_doubt(written)] == ["line 1", "line 3"]


@given(st.times())
def test_a_time_of_the_day_is_read_in_24_and_12_hours(at: time) -> None:
    """Against datetime's own writing of it."""
    at = at.replace(microsecond=0)
    for form in ("%H:%M:%S", "%I:%M:%S %p", "%I:%M:%S%p"):
        written = at.strftime(form)
        assert time_at(written, 0) == (at, len(written))


@pytest.mark.parametrize("written", ["24:00", "12:60", "13:05 pm", "0:30 am"])
def test_a_time_that_no_clock_shows_is_a_fault(written: str) -> None:
    """ISO 8601 knows 24:00, but no clock on a wall shows it, and 12-hour clocks go from 12 to 11."""
    with pytest.raises(ValueError, match="no time of the day"):
        time_at(written, 0)


@pytest.mark.parametrize("line", ["2 March: fed B", "March 2nd fed B", "Mon 2 Mar", "3.2.: fed B", "3/2: fed B"])
def test_a_day_without_its_year_is_noticed(line: str) -> None:
    """It must not pass for a line of the day above it."""
    assert begins_without_year(line)


@pytest.mark.parametrize(
    "line", ["2 crickets for B", "2.5 crickets to B", "may have moulted", "2 maybe 3 eggs", "24:30 C"]
)
def test_an_amount_is_no_day(line: str) -> None:
    """Numbers of a record at the beginning of a line stay words."""
    assert day_at(line) is None
    assert not begins_without_year(line)
