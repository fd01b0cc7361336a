"""Local times as moments, quiet hours, and how long a thing is put off."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from bot.reminders.moments import Quiet, after_quiet, days_touched, local, moment_of, same_wall_clock
from bot.reminders.points import put_off

LISBON = ZoneInfo("Europe/Lisbon")
NOW = datetime(2026, 3, 5, 8, 5)  # noqa: DTZ001 - the keeper's clock


def test_a_time_in_the_spring_gap_is_later_and_one_that_comes_twice_is_the_first() -> None:
    """01:30 on the night forward is 02:30; on the night back it is the 01:30 of summer time."""
    assert local(moment_of(date(2026, 3, 29), time(1, 30), LISBON), LISBON).time() == time(2, 30)
    assert moment_of(date(2026, 10, 25), time(1, 30), LISBON).isoformat() == "2026-10-25T00:30:00+00:00"
    assert moment_of(date(2026, 10, 25), time(1, 30, fold=1), LISBON).isoformat() == "2026-10-25T00:30:00+00:00"


@pytest.mark.parametrize(
    ("at", "day", "then"),
    [(time(23), 6, time(7)), (time(3), 5, time(7)), (time(7), 5, time(7)), (time(21, 59), 5, time(21, 59))],
)
def test_quiet_hours_over_midnight(at: time, day: int, then: time) -> None:
    """From ten to seven: what falls in them waits for their end, on the right day."""
    assert after_quiet(date(2026, 3, 5), at, Quiet(time(22), time(7))) == (date(2026, 3, day), then)


def test_quiet_hours_of_one_day() -> None:
    """From one to three, and none at all."""
    assert after_quiet(date(2026, 3, 5), time(14), Quiet(time(13), time(15))) == (date(2026, 3, 5), time(15))
    assert after_quiet(date(2026, 3, 5), time(14), None) == (date(2026, 3, 5), time(14))


def test_days_touched_hold_the_day_before() -> None:
    """What was put off over midnight belongs to the day before."""
    since = moment_of(date(2026, 3, 5), time(12), LISBON)
    assert list(days_touched(since, since + timedelta(days=1), LISBON)) == [date(2026, 3, day) for day in (4, 5, 6)]


def test_the_clock_on_the_wall_goes_along_to_another_zone() -> None:
    """Eight in Lisbon, and the moment that was eight in Tokyo."""
    eight = moment_of(date(2026, 3, 5), time(8), LISBON)
    assert same_wall_clock(eight, LISBON, ZoneInfo("Asia/Tokyo")) == eight - timedelta(hours=9)


@pytest.mark.parametrize(
    ("words", "then"),
    [
        ("in 2 hours", datetime(2026, 3, 5, 10, 5)),  # noqa: DTZ001
        ("in half an hour", datetime(2026, 3, 5, 8, 35)),  # noqa: DTZ001
        ("30 min", datetime(2026, 3, 5, 8, 35)),  # noqa: DTZ001
        ("snooze for an hour", datetime(2026, 3, 5, 9, 5)),  # noqa: DTZ001
        ("in 3 days", datetime(2026, 3, 8, 8, 5)),  # noqa: DTZ001
        ("tomorrow", datetime(2026, 3, 6, 7, 30)),  # noqa: DTZ001
        ("remind me tomorrow", datetime(2026, 3, 6, 7, 30)),  # noqa: DTZ001
        ("tonight.", datetime(2026, 3, 5, 19)),  # noqa: DTZ001
        ("in 0 hours", None),
        ("fed B tomorrow", None),
        ("2", None),
    ],
)
def test_putting_off_in_words(words: str, then: datetime | None) -> None:
    """Distances, tomorrow at the time of the list, tonight; anything else is none."""
    assert put_off(words, NOW, time(7, 30)) == then
