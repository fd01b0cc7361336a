"""A repeating plan in a calendar falls on the days of the due engine."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from itertools import pairwise, takewhile
from math import ceil, floor

import pytest
from dateutil.rrule import rrulestr
from hypothesis import given, settings
from hypothesis import strategies as st
from icalendar.prop import vRecur

from bot.care.due.repeats import Repeat, next_days
from bot.moving.calendar_repeats import Series, series_of

YEAR = timedelta(days=366)
DAYS = st.dates(date(2024, 1, 1), date(2031, 12, 31))
EVERY = st.one_of(
    st.integers(1, 60).map(float),
    st.sampled_from([0.5, 1.5, 2.5, 3.5, 7 / 3, 7 / 4, 7 / 5, 10.5, 7 / 6, 0.33, 45.5, 365.0]),
)


@st.composite
def repeats(draw: st.DrawFn) -> Repeat:
    """Every so many days, on a weekday every so many weeks, on a day of the month every so many months."""
    start, sort = draw(DAYS), draw(st.sampled_from(["days", "weekday", "month"]))
    if sort == "weekday":
        return Repeat(7.0 * draw(st.integers(1, 8)), start, weekday=draw(st.integers(0, 6)))
    if sort == "month":
        return Repeat(draw(st.sampled_from([30.0, 31.0, 60.0, 90.0, 180.0])), start, month_day=draw(st.integers(1, 31)))
    return Repeat(draw(EVERY), start)


def in_calendar(series: Series, until: date) -> list[date]:
    """The days that the reader of reference finds: dateutil's recurrence rules."""
    if series.rule is None:
        return [day for day in series.days if day <= until]
    told = vRecur(dict(series.rule)).to_ical().decode()
    start = datetime.combine(series.first, time())
    return [
        found.date()
        for found in rrulestr(told, dtstart=start).between(start, datetime.combine(until, time()), inc=True)
    ]


def by_engine(repeat: Repeat, due: date, until: date) -> list[date]:
    """The days on which the due engine has it due, each done on its day."""

    def days() -> Iterator[date]:
        day = due
        while True:
            yield day
            day = next_days(repeat, day)[0]

    return list(takewhile(lambda day: day <= until, days()))


@settings(max_examples=400)
@given(repeat=repeats(), after=st.integers(0, 1000))
def test_a_rule_falls_on_the_engines_own_days(repeat: Repeat, after: int) -> None:
    """Over a year; the first day is one of the rule's own (RFC 5545, 3.8.5.3: DTSTART should be synchronized with the rule)."""
    due = repeat.start + timedelta(days=after)
    series = series_of(repeat, due, due + YEAR)
    found = in_calendar(series, due + YEAR)
    assert found[0] == series.first >= due
    if repeat.anchored or float(repeat.every_days).is_integer():
        assert found == by_engine(repeat, series.first, due + YEAR)
    else:  # the engine gives two days to what falls between them
        low, high = max(1, floor(repeat.every_days)), max(1, ceil(repeat.every_days))
        assert all(low <= (after - before).days <= high for before, after in pairwise(found))
        wanted = len(range((due + YEAR - series.first).days + 1)) / max(1.0, repeat.every_days)
        assert abs(len(found) - wanted) <= 1


@pytest.mark.parametrize(
    ("repeat", "rule"),
    [
        (Repeat(3.0, date(2026, 3, 2)), "FREQ=DAILY;INTERVAL=3"),
        (Repeat(14.0, date(2026, 3, 2), weekday=6), "FREQ=WEEKLY;INTERVAL=2;BYDAY=SU"),
        (Repeat(3.5, date(2026, 3, 2)), "FREQ=WEEKLY;INTERVAL=1;BYDAY=MO,TH"),
        (Repeat(7 / 3, date(2026, 3, 2)), "FREQ=WEEKLY;INTERVAL=1;BYDAY=MO,WE,FR"),
        (Repeat(30.0, date(2026, 3, 2), month_day=15), "FREQ=MONTHLY;INTERVAL=1;BYMONTHDAY=15"),
        (Repeat(0.5, date(2026, 3, 2)), "FREQ=DAILY;INTERVAL=1"),
    ],
)
def test_rules_are_said_in_the_grammar_of_the_standard(repeat: Repeat, rule: str) -> None:
    """RFC 5545, 3.3.10."""
    series = series_of(repeat, date(2026, 3, 2), date(2027, 3, 2))
    assert series.rule is not None
    assert vRecur(dict(series.rule)).to_ical().decode() == rule


def test_the_31st_is_the_last_day_of_shorter_months() -> None:
    """Where RFC 5545 (3.3.10) would leave a month out that has no such day, the last of 28 to 31 is taken."""
    series = series_of(Repeat(30.0, date(2026, 1, 31), month_day=31), date(2026, 1, 31), date(2026, 12, 31))
    found = in_calendar(series, date(2026, 6, 30))
    assert [(day.month, day.day) for day in found] == [(1, 31), (2, 28), (3, 31), (4, 30), (5, 31), (6, 30)]


def test_what_no_rule_says_is_a_list_of_days() -> None:
    """Every 2.5 days: two and three by turns."""
    series = series_of(Repeat(2.5, date(2026, 3, 2)), date(2026, 3, 2), date(2026, 3, 12))
    assert series.rule is None
    assert [day.day for day in series.days] == [2, 4, 7, 9, 12]
