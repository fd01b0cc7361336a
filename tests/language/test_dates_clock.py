"""Clock times, parts of the day and repeats."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest

from bot.language.dates import Recurrence, read_dates
from tests.language.test_dates import only

EVENING = datetime(2026, 3, 12, 21, 30)  # noqa: DTZ001 - the keeper's local clock carries no zone


@pytest.mark.parametrize(
    ("words", "at"),
    [
        ("at 9pm", time(21)),
        ("at 9 p.m.", time(21)),
        ("at 9.15pm", time(21, 15)),
        ("at 21:15", time(21, 15)),
        ("at 21h15", time(21, 15)),
        ("at 2115", time(21, 15)),
        ("at 8", time(20)),
        ("at 8 o'clock", time(20)),
        ("at half eight", time(20, 30)),
        ("at half past 8", time(20, 30)),
        ("at quarter past nine", time(21, 15)),
        ("at ten to six", time(17, 50)),
        ("20 past 3pm", time(15, 20)),
        ("at ten thirty this morning", time(10, 30)),
        ("at noon", time(12)),
        ("at 9 this morning", time(9)),
        ("at 3 this afternoon", time(15)),
        ("at 9ish", time(21)),
        ("20 minutes ago", time(21, 10)),
        ("an hour and a half ago", time(20)),
    ],
)
def test_a_clock_time_in_a_log_is_the_latest_before_now(words: str, at: time) -> None:
    """Without "am" or "pm" the clock time is the most recent one."""
    span = only(f"fed B {words}")
    assert (span.on, span.at) == (date(2026, 3, 12), at)


def test_a_clock_time_still_ahead_today_was_yesterdays() -> None:
    """An "at 11pm" told at 21:30 was last night's; one a few minutes ahead was rounded and is today's."""
    assert only("fed B at 11pm").on == date(2026, 3, 11)
    assert only("fed B at 9:35pm").on == date(2026, 3, 12)


def test_a_clock_time_ahead_is_the_next_one() -> None:
    """In a plan "at 8" told at 21:30 is tomorrow morning's."""
    span = only("mist B at 8", prefer="future")
    assert (span.on, span.at) == (date(2026, 3, 13), time(8))


@pytest.mark.parametrize(
    ("words", "on", "part"),
    [
        ("tonight", 12, "night"),
        ("2nite", 12, "night"),
        ("this arvo", 12, "afternoon"),
        ("this am", 12, "morning"),
        ("this evening", 12, "evening"),
        ("last night", 11, "night"),
        ("last nite", 11, "night"),
        ("yesterday evening", 11, "evening"),
        ("the night before last", 10, "night"),
        ("2 nights ago", 10, "night"),
        ("sat night", 7, "night"),
        ("fri eve", 6, "evening"),
        ("first thing this morning", 12, "morning"),
        ("last thing yesterday", 11, "night"),
        ("on the morning of the 10th", 10, "morning"),
        ("yesterday lunchtime", 11, "afternoon"),
        ("on Thursday evening", 5, "evening"),
    ],
)
def test_a_part_of_the_day(words: str, on: int, part: str) -> None:
    """The part is told, and belongs to the day beside it."""
    span = only(f"fed B {words}")
    assert (span.on, span.part) == (date(2026, 3, on), part)


def test_in_the_evening_told_at_noon_is_yesterdays() -> None:
    """A part of the day led in by words is the latest that has begun, in a plan the next to begin."""
    noon = datetime(2026, 3, 12, 12, 0)  # noqa: DTZ001
    assert only("fed B in the evening", noon).on == date(2026, 3, 11)
    assert only("feed B in the morning", noon, "future").on == date(2026, 3, 13)


@pytest.mark.parametrize("words", ["before work", "after lunch", "before bed", "now"])
def test_soft_words_are_weak(words: str) -> None:
    """They tell a part of the day or the moment, but not surely."""
    assert [span.surely for span in read_dates(f"checked everyone {words}", EVENING, "past")] == [False]


@pytest.mark.parametrize(
    ("words", "every"),
    [
        ("daily", 1),
        ("every day", 1),
        ("every night", 1),
        ("twice a day", 0.5),
        ("every other day", 2),
        ("every second day", 2),
        ("every 2nd day", 2),
        ("every third day", 3),
        ("every 10 days", 10),
        ("every 2-3 days", 2.5),
        ("every couple of days", 2),
        ("twice a week", 3.5),
        ("2x weekly", 3.5),
        ("three times a week", 7 / 3),
        ("mondays and thursdays", 3.5),
        ("every mon, wed and fri", 7 / 3),
        ("weekly", 7),
        ("every friday", 7),
        ("on sundays", 7),
        ("every weekend", 7),
        ("fortnightly", 14),
        ("every other week", 14),
        ("once every 2 weeks", 14),
        ("monthly", 30),
        ("every 6 hours", 0.25),
    ],
)
def test_a_repeat_in_days(words: str, every: float) -> None:
    """Each wording comes round after so many days."""
    recur = only(f"mist tub 4 {words}", prefer="future").recur
    assert recur is not None
    assert recur.every_days == pytest.approx(every)


def test_a_repeat_with_its_weekday_and_time() -> None:
    """A repeat keeps weekday, time and part; a time makes the part needless."""
    assert only("mist B every friday at 8pm").recur == Recurrence(1, "week", 4, time(20), None, 7)
    assert only("mist B friday mornings").recur == Recurrence(1, "week", 4, None, "morning", 7)
    assert only("mist B every morning at 9am").recur == Recurrence(1, "day", None, time(9), None, 1)


def test_each_tuesday_told_as_done_means_apiece() -> None:
    """The words "one roach each tuesday" mean a Tuesday in a log and a repeat in a plan."""
    assert only("singles all got one roach each tuesday").on == date(2026, 3, 10)
    assert only("one roach each tuesday", prefer="future").recur is not None
