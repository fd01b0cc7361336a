"""Lines with a day each: days as headings, times, and lines whose day is not known."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.moving.dated_lines import DAY_END, is_dated, read_lines
from bot.moving.told import Contents, ImportFault
from tests.moving.incoming import SAMPLES, day_first, month_first, settled

LINES = st.lists(
    st.tuples(
        st.dates(date(1990, 1, 1), date(2060, 1, 1)),
        st.none() | st.times().map(lambda at: at.replace(microsecond=0, second=0)),
        st.sampled_from(["fed Ambers 4 crickets", "counted 21 at 9", "2 dead", "24.5C 78%", "moulted; 10:1 mix"]),
    ),
    min_size=1,
)


def read(text: str) -> Contents:
    return read_lines(text, settled)


def plain(contents: Contents) -> list[tuple[str, str]]:
    return [(one.at.isoformat(timespec="minutes"), one.text) for one in contents.told]


@given(LINES, st.sampled_from(["%Y-%m-%d", "%d %B %Y", "%b %d, %Y"]), st.sampled_from([" ", ": ", " - ", ", "]))
def test_a_line_is_told_on_its_day_at_its_time(
    lines: list[tuple[date, time | None, str]], form: str, between: str
) -> None:
    """Any days, times and words come out as they were written; without a time it is the end of the day."""
    written = [
        f"{day.strftime(form)}{f' {at:%H:%M}' if at else ''}{between if at or not text[0].isdigit() else ': '}{text}"
        for day, at, text in lines
    ]
    found = read("\n".join(written))
    assert [one.at for one in found.told] == [datetime.combine(day, at or DAY_END) for day, at, _text in lines]
    assert [one.text for one in found.told] == [text for _day, _at, text in lines]
    assert not found.unreadable


def test_lines_below_a_day_are_of_that_day() -> None:
    """A heading with or without words of its own; list marks are not part of the words; a time may begin a line."""
    found = read("# 2026-02-01\n- misted the moss jar\n* 9:30 pm fed Ambers\n\n2026-02-02: counted\nand measured\n")
    assert plain(found) == [
        ("2026-02-01T23:59", "misted the moss jar"),
        ("2026-02-01T21:30", "fed Ambers"),
        ("2026-02-02T23:59", "counted"),
        ("2026-02-02T23:59", "and measured"),
    ]


def test_a_line_whose_day_is_not_known_is_named_and_never_dated() -> None:
    """Before the first day, below one without a year or one that the calendar does not have, and at a time that cannot be."""
    found = read(
        "fed Ambers\n2026-02-01 fed Ambers\n3 February: fed Ambers\nmisted\n2026-02-30\nmisted\n2026-02-04 25:00 misted\n"
    )
    assert plain(found) == [("2026-02-01T23:59", "fed Ambers")]
    assert found.unreadable == (
        "line 1: no day stands above it.",
        "line 3: its day has no year.",
        "line 4: the day above it cannot be read.",
        "line 5: 2026-02-30 is no day of the calendar.",
        "line 6: the day above it cannot be read.",
        "line 7: 25:00 is no time of the day.",
    )


@pytest.mark.parametrize(("choice", "day"), [(day_first, "2026-02-03"), (month_first, "2026-03-02")])
def test_days_in_numbers_are_read_as_chosen(choice: object, day: str) -> None:
    """03/02/2026 alone settles nothing."""
    (told,) = read_lines("03/02/2026 misted", choice).told  # type: ignore[arg-type]
    assert told.at.date().isoformat() == day


def test_the_sample_is_known_and_other_files_are_not() -> None:
    """A diary begins with a day; a chat's day stands in brackets or the file is no diary at all."""
    assert is_dated((SAMPLES / "diary.txt").read_text())
    assert not is_dated((SAMPLES / "roster.toml").read_text())
    with pytest.raises(ImportFault, match="No line begins with a day"):
        read("fed Ambers\nmisted\n")
