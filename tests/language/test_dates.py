"""What the words of a date mean: days, weekdays, calendar dates, distances, periods."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import pytest

from bot.language.dates import DateSpan, read_dates

THURSDAY = datetime(2026, 3, 12, 21, 30)  # noqa: DTZ001 - the keeper's local clock carries no zone


def only(text: str, now: datetime = THURSDAY, prefer: str = "past") -> DateSpan:
    """The one sure date of a text."""
    spans = [span for span in read_dates(text, now, "future" if prefer == "future" else "past") if span.surely]
    assert len(spans) == 1, (text, spans)
    return spans[0]


def days_ago(days: int) -> date:
    return THURSDAY.date() - timedelta(days=days)


@pytest.mark.parametrize(
    ("words", "ago"),
    [
        ("today", 0),
        ("2day", 0),
        ("yday", 1),
        ("yest", 1),
        ("yesturday", 1),
        ("ystrday", 1),
        ("yesterdya", 1),
        ("the day before yesterday", 2),
        ("2 days before yesterday", 3),
        ("3d ago", 3),
        ("a couple of days ago", 2),
        ("couple days back", 2),
        ("a wk ago", 7),
        ("week ago", 7),
        ("a fortnight ago", 14),
        ("two weeks ago", 14),
        ("a week last tuesday", 9),
        ("friday week ago", 13),
        ("2 thursdays ago", 14),
        ("tuesday", 2),
        ("tues", 2),
        ("wensday", 1),
        ("last friday", 6),
        ("friday gone", 6),
        ("the tuesday before last", 9),
        ("tuesday of last week", 9),
        ("this time last week", 7),
        ("a week ago yesterday", 8),
    ],
)
def test_a_day_told_back_from_today(words: str, ago: int) -> None:
    """Each wording is so many days before the day of now."""
    assert only(f"fed B {words}").on == days_ago(ago)


@pytest.mark.parametrize(
    ("words", "ahead"),
    [
        ("tomorrow", 1),
        ("tmrw", 1),
        ("tomoz", 1),
        ("tomorow", 1),
        ("the day after tomorrow", 2),
        ("in 3 days", 3),
        ("in two weeks' time", 14),
        ("a week today", 7),
        ("a week tomorrow", 8),
        ("friday", 1),
        ("on coming friday", 1),
        ("next friday", 8),
        ("friday after next", 8),
        ("tuesday week", 12),
        ("a week on friday", 8),
        ("2 fridays from now", 8),
        ("a week after tomorrow", 8),
        ("friday next week", 8),
        ("next week on wednesday", 6),
    ],
)
def test_a_day_told_ahead_of_today(words: str, ahead: int) -> None:
    """Each wording is so many days after the day of now, where dates point ahead."""
    assert only(f"mist tub 4 {words}", prefer="future").on == days_ago(-ahead)


@pytest.mark.parametrize(
    ("words", "on"),
    [
        ("the 14th", date(2026, 2, 14)),
        ("on the 12th", date(2026, 3, 12)),
        ("on the 31st", date(2026, 1, 31)),
        ("the 14th of last month", date(2026, 2, 14)),
        ("march 9", date(2026, 3, 9)),
        ("9 mar", date(2026, 3, 9)),
        ("the ninth of march", date(2026, 3, 9)),
        ("march the 9th, 2025", date(2025, 3, 9)),
        ("monday the 9th", date(2026, 3, 9)),
        ("Monday, 9th of March", date(2026, 3, 9)),
        ("on friday the 13th", date(2026, 2, 13)),
        ("14/2", date(2026, 2, 14)),
        ("on 9.3.", date(2026, 3, 9)),
        ("9/3/26", date(2026, 3, 9)),
        ("09-03-2026", date(2026, 3, 9)),
        ("2026-03-09", date(2026, 3, 9)),
        ("2/25/2026", date(2026, 2, 25)),
        ("dec 30", date(2025, 12, 30)),
        ("new year's eve", date(2025, 12, 31)),
        ("boxing day", date(2025, 12, 26)),
        ("first monday of last month", date(2026, 2, 2)),
        ("last friday of february", date(2026, 2, 27)),
    ],
)
def test_a_calendar_date_in_a_log(words: str, on: date) -> None:
    """A date without its month or year is the most recent one; day comes before month unless that is no date."""
    assert only(f"moulted {words}").on == on


@pytest.mark.parametrize(
    "words", ["31 february", "30 feb", "on june 31st", "the 45th of may", "at 25:70", "on 31/2", "29 feb 2026"]
)
def test_a_date_that_does_not_exist(words: str) -> None:
    """It is marked impossible and gives no day."""
    span = only(f"fed B {words}")
    assert span.impossible
    assert span.on is None


@pytest.mark.parametrize(
    "words",
    [
        "the other day",
        "recently",
        "a while back",
        "ages ago",
        "sometime last week",
        "last week",
        "a few days ago",
        "2 or 3 days ago",
        "monday or tuesday",
        "yesterday or the day before",
        "can't remember which day",
        "not sure when",
        "at some point",
        "mid march",
    ],
)
def test_a_day_that_cannot_be_told(words: str) -> None:
    """It is marked vague."""
    assert only(f"fed B {words}").vague


@pytest.mark.parametrize("words", ["sometime", "a few days ago", "2 or 3 days ago", "monday or tuesday"])
def test_a_guess_is_no_day(words: str) -> None:
    """Where the words only allow a guess, `on` is empty; guesses stand in `alternatives`."""
    assert only(f"fed B {words}").on is None


def test_a_weekday_said_on_that_weekday_has_two_readings() -> None:
    """A week ago first, today beside it."""
    span = only("fed B thursday")
    assert (span.on, span.alternatives) == (days_ago(7), (days_ago(0),))


def test_half_weeks_have_two_readings() -> None:
    """Two and a half weeks ago is 17 or 18 days ago."""
    span = only("moved A two and a half weeks ago")
    assert {span.on, *span.alternatives} == {days_ago(17), days_ago(18)}


def test_last_night_just_after_midnight() -> None:
    """At 00:30 "tonight" is the new date and "last night" the evening before."""
    now = datetime(2026, 2, 1, 0, 30)  # noqa: DTZ001
    assert (only("fed B last night", now).on, only("fed B tonight", now).on) == (date(2026, 1, 31), date(2026, 2, 1))


def test_a_yearless_date_ahead_keeps_this_years_day_too() -> None:
    """A "march 14" told on March 12th is last year's in a log, and says what this year's would be."""
    span = only("fed B on march 14")
    assert (span.on, span.this_year) == (date(2025, 3, 14), date(2026, 3, 14))


@pytest.mark.parametrize(
    ("words", "prefer", "on", "until"),
    [
        ("in february", "past", date(2026, 2, 1), date(2026, 2, 28)),
        ("this week", "past", date(2026, 3, 9), date(2026, 3, 15)),
        ("this month", "past", date(2026, 3, 1), date(2026, 3, 31)),
        ("from may 3 to 5", "future", date(2026, 5, 3), date(2026, 5, 5)),
        ("1-5 march", "past", date(2026, 3, 1), date(2026, 3, 5)),
        ("between the 1st and the 5th", "past", date(2026, 3, 1), date(2026, 3, 5)),
        ("from monday to wednesday", "past", date(2026, 3, 9), date(2026, 3, 11)),
        ("dec 28 - jan 3", "past", date(2025, 12, 28), date(2026, 1, 3)),
        ("over the weekend", "past", date(2026, 3, 7), date(2026, 3, 8)),
        ("at the weekend", "future", date(2026, 3, 14), date(2026, 3, 15)),
        ("next 3 days", "future", date(2026, 3, 13), date(2026, 3, 15)),
        ("the week of october 7th", "future", date(2026, 10, 5), date(2026, 10, 11)),
        ("the rest of the week", "future", date(2026, 3, 12), date(2026, 3, 15)),
        ("in the first week of may", "future", date(2026, 5, 4), date(2026, 5, 10)),
        ("later this week", "future", date(2026, 3, 12), date(2026, 3, 15)),
        ("last two months", "past", date(2026, 1, 1), date(2026, 2, 28)),
        ("next three weeks", "future", date(2026, 3, 16), date(2026, 4, 5)),
        ("last 2 years", "past", date(2024, 1, 1), date(2025, 12, 31)),
        ("at the end of the month", "future", date(2026, 3, 31), date(2026, 3, 31)),
        ("from 02 to April 07", "future", date(2026, 4, 2), date(2026, 4, 7)),
        ("Aug 10 - Nov 12, 2025", "past", date(2025, 8, 10), date(2025, 11, 12)),
        ("from January through the end of February", "past", date(2026, 1, 1), date(2026, 2, 28)),
    ],
)
def test_a_range_of_days(words: str, prefer: str, on: date, until: date) -> None:
    """A range gives its first and its last day."""
    span = only(f"show tub 4 {words}", prefer=prefer)
    assert (span.on, span.until) == (on, until)


@pytest.mark.parametrize(
    ("words", "days"),
    [
        ("in the last ten days", 10),
        ("in two weeks", 14),
        ("for three days", 3),
        ("over the past month", 30),
        ("this week", 7),
        ("in the last week", 7),
        ("for the last fortnight", 14),
    ],
)
def test_a_length_in_days(words: str, days: int) -> None:
    """A stretch of time counted in units gives its length."""
    assert only(f"who hasn't eaten {words}").days == days


def test_open_stretches() -> None:
    """The words "since" and "from … on" open a stretch, "until", "till" and "by" close one."""
    assert only("show me B since january").since
    assert only("feed B from monday on", prefer="future").since
    assert all(only(f"no food {word} friday", prefer="future").till for word in ("until", "till", "by"))


@pytest.mark.parametrize(
    ("words", "relation"),
    [
        ("yesterday", "past"),
        ("3 days ago", "past"),
        ("last night", "past"),
        ("tomorrow", "future"),
        ("next friday", "future"),
        ("in 3 days", "future"),
        ("friday", None),
    ],
)
def test_which_way_the_words_point(words: str, relation: str | None) -> None:
    """Only some words say by themselves whether they look back or ahead."""
    assert only(f"B {words}").relation == relation


def test_several_dates_in_one_message() -> None:
    """Each date is a span of its own, in the order of the text."""
    spans = read_dates("Friday: fed B. Today: misted B.", THURSDAY, "past")
    assert [(span.words, span.on) for span in spans] == [("Friday", days_ago(6)), ("Today", days_ago(0))]


def test_the_order_of_day_and_month_can_be_turned() -> None:
    """With the month first, 3/4 is the fourth of March."""
    assert read_dates("on 3/4", THURSDAY, "past", day_first=False)[0].on == date(2026, 3, 4)


def test_an_exact_distance_gives_the_minute() -> None:
    """Half an hour before 00:12 is 23:42 of the day before."""
    span = only("misted tub 3 half an hour ago", datetime(2026, 3, 1, 0, 12))  # noqa: DTZ001
    assert (span.on, span.at) == (date(2026, 2, 28), time(23, 42))
