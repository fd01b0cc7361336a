"""Repeats beside python-dateutil's rrule (BSD-3-Clause/Apache-2.0): worked examples of RFC 5545, section 3.8.5.3, each named.

The engine tells one occurrence at a time; here each is done on its day, and the next one asked for.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import pytest
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st

from bot.care.due import Fact
from bot.care.due.repeats import next_days, repeat_of, say_anchor


def plan(told: date, words: str = "", on: date | None = None, **fields: object) -> Fact:
    return Fact(1, "measurement", "plan", on, datetime.combine(told, time(9)), fields, words)


def occurrences(told: Fact, count: int) -> list[date]:
    """The days on which a plan falls when each is done on its day."""
    days: list[date] = []
    for _ in range(count):
        days.append(next_days(repeat_of(told), days[-1] if days else None)[0])
    return days


def by_rule(rule: str, start: date, count: int) -> list[date]:
    found = rrulestr(rule, dtstart=datetime.combine(start, time(9)))
    return [moment.date() for moment, _ in zip(found, range(count), strict=False)]


START = date(1997, 9, 2)  # a Tuesday, on which the worked examples of the RFC begin


@pytest.mark.parametrize(
    ("name", "rule", "told"),
    [
        ("Every other day - forever", "FREQ=DAILY;INTERVAL=2", plan(START, every_days=2)),
        ("Every 10 days, 5 occurrences", "FREQ=DAILY;INTERVAL=10;COUNT=5", plan(START, every_days=10)),
        ("Weekly for 10 occurrences", "FREQ=WEEKLY;COUNT=10", plan(START, every_days=7)),
        ("Every other week - forever", "FREQ=WEEKLY;INTERVAL=2;WKST=SU", plan(START, every_days=14)),
        ("Daily for 10 occurrences", "FREQ=DAILY;COUNT=10", plan(START, every_days=1)),
    ],
)
def test_worked_examples_of_rfc_5545(name: str, rule: str, told: Fact) -> None:
    """Days by an interval are those of the RFC's example of this name, done each on its day."""
    expected = by_rule(rule, START, 5)
    assert occurrences(told, 5) == expected, name


def test_every_10_days_as_printed_in_the_rfc() -> None:
    """RFC 5545, "Every 10 days, 5 occurrences": ==> (1997 9:00 AM EDT) September 2,12,22;October 2,12."""
    printed = [date(1997, 9, 2), date(1997, 9, 12), date(1997, 9, 22), date(1997, 10, 2), date(1997, 10, 12)]
    assert occurrences(plan(START, every_days=10), 5) == printed


def test_every_other_sunday() -> None:
    """“every other sunday weigh the snake” is FREQ=WEEKLY;INTERVAL=2;BYDAY=SU from the first Sunday on."""
    told = plan(START, "every other sunday weigh the snake", every_days=14)
    assert occurrences(told, 12) == by_rule("FREQ=WEEKLY;INTERVAL=2;BYDAY=SU", date(1997, 9, 7), 12)


def test_a_weekday_stays_a_weekday_though_done_late() -> None:
    """Done on Tuesday instead of Sunday, the next is the Sunday that was meant; done on the Saturday before, likewise."""
    told = repeat_of(plan(START, "every other sunday weigh the snake", every_days=14))
    assert next_days(told, date(1997, 9, 9))[0] == date(1997, 9, 21)
    assert next_days(told, date(1997, 9, 20))[0] == date(1997, 10, 5)
    assert next_days(told, date(1997, 9, 19))[0] == date(1997, 9, 21)


def test_a_number_of_days_counts_from_the_last_act() -> None:
    """Fed two days late, the next feeding is two days later as well."""
    told = repeat_of(plan(START, "feed B every 10 days", every_days=10))
    assert next_days(told, date(1997, 9, 14)) == (date(1997, 9, 24), date(1997, 9, 24))
    assert next_days(repeat_of(plan(START, every_days=3.5)), START) == (date(1997, 9, 5), date(1997, 9, 6))


def test_the_day_a_repeat_keeps_to_is_said() -> None:
    """A weekday or a day of the month, with what is done in shorter months; a plain interval keeps to none."""
    assert say_anchor(30, "weigh B every month on the 31st") == "on the 31st, in shorter months on their last day"
    assert say_anchor(30, "weigh B monthly on the 5th") == "on the 5th"
    assert say_anchor(14, "every other sunday weigh B") == "on Sundays"
    assert say_anchor(10, "feed B every 10 days") == ""


def test_monthly_on_the_31st_takes_the_last_day_of_shorter_months() -> None:
    """The RFC's BYMONTHDAY=31 leaves short months out; here their last day stands in, which is the rule of BYSETPOS=-1."""
    told = plan(date(2026, 1, 5), "feed B monthly on the 31st", every_days=30)
    last_of_each = "FREQ=MONTHLY;BYMONTHDAY=28,29,30,31;BYSETPOS=-1"
    found = occurrences(told, 26)
    assert found == by_rule(last_of_each, date(2026, 1, 5), 26)
    assert found[:3] == [date(2026, 1, 31), date(2026, 2, 28), date(2026, 3, 31)]
    left_out = by_rule("FREQ=MONTHLY;BYMONTHDAY=31", date(2026, 1, 5), 14)
    assert set(left_out) < set(found) | set(left_out[10:])


def test_monthly_on_the_15th_is_that_of_the_rfc() -> None:
    """RFC 5545, "Monthly on the 2nd and 15th of the month", its 15th alone: every month has that day."""
    told = plan(START, "feed B on the 15th of every month", every_days=30)
    assert occurrences(told, 12) == by_rule("FREQ=MONTHLY;BYMONTHDAY=15", START, 12)


def test_an_invalid_date_is_not_left_out() -> None:
    """RFC 5545, "An example where an invalid date (i.e., February 30) is ignored": here February has its last day instead."""
    told = plan(date(2007, 1, 15), every_days=30, month_day=30)
    found = occurrences(told, 4)
    ruled = by_rule("FREQ=MONTHLY;BYMONTHDAY=30;COUNT=5", date(2007, 1, 15), 3)
    assert found == [date(2007, 1, 30), date(2007, 2, 28), date(2007, 3, 30), date(2007, 4, 30)]
    assert ruled == [found[0], found[2], found[3]]


def test_every_other_month_keeps_its_day() -> None:
    """RFC 5545 "every other month", by one day of the month: FREQ=MONTHLY;INTERVAL=2;BYMONTHDAY=10."""
    told = plan(START, "full clean on the 10th every other month", every_days=60)
    assert occurrences(told, 8) == by_rule("FREQ=MONTHLY;INTERVAL=2;BYMONTHDAY=10", START, 8)


@given(
    start=st.dates(date(2024, 1, 1), date(2027, 12, 31)),
    weekday=st.integers(0, 6),
    weeks=st.integers(1, 8),
    acts=st.lists(st.integers(0, 200), max_size=4),
)
def test_weekdays_are_those_of_rrule(start: date, weekday: int, weeks: int, acts: list[int]) -> None:
    """After any act, the next day is the first of rrule's own that lies more than a day after it."""
    told = repeat_of(plan(start, every_days=7 * weeks, weekday=weekday))
    first = start + timedelta(days=(weekday - start.weekday()) % 7)
    last = max((start + timedelta(days=act) for act in acts), default=None)
    days = by_rule(f"FREQ=WEEKLY;INTERVAL={weeks}", first, 240)
    expected = next(day for day in days if last is None or day > last + timedelta(days=1))
    assert next_days(told, last) == (expected, expected)


def test_beyond_the_calendar_is_its_last_day() -> None:
    """An interval or a month past the year 9999 ends at the last day there is."""
    assert next_days(repeat_of(plan(START, every_days=10**9)), START)[0] == date.max
    late = plan(date(9999, 12, 5), every_days=30, month_day=3)
    assert next_days(repeat_of(late), date(9999, 12, 20))[0] == date.max


def test_a_start_that_was_given_waits_for_it() -> None:
    """“every 10 days from the 20th”: what was done long before does not move the first day."""
    told = repeat_of(plan(START, on=date(1997, 9, 20), every_days=10))
    assert next_days(told, date(1997, 9, 1))[0] == date(1997, 9, 20)
    assert next_days(told, date(1997, 9, 19))[0] == date(1997, 9, 29)
