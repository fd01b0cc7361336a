"""Our reading beside that of python-dateutil (BSD-3-Clause/Apache-2.0) and dateparser (BSD-3-Clause), where they agree.

python-dateutil: relativedelta reckons distances and weekdays, rrule repeats, parser.parse written dates.
dateparser: dateparser.parse reads a span that is a date already.
"""

from __future__ import annotations

import warnings
from datetime import date, datetime, timedelta

import pytest
from dateutil import parser as dateutil_parser
from dateutil.relativedelta import FR, MO, SA, SU, TH, TU, WE, relativedelta
from dateutil.rrule import DAILY, MONTHLY, WEEKLY, rrule

from bot.language.dates import read_dates

NOWS = [
    datetime.fromisoformat(told)
    for told in ("2026-03-12T21:30", "2024-02-29T09:05", "2025-12-31T23:50", "2026-01-01T00:20", "2026-05-31T12:00")
]


def on(words: str, now: datetime, prefer: str = "past") -> date | None:
    spans = read_dates(words, now, "past" if prefer == "past" else "future")
    assert len(spans) == 1, (words, spans)
    return spans[0].on


@pytest.mark.parametrize("now", NOWS)
@pytest.mark.parametrize("count", [1, 2, 3, 5, 11])
@pytest.mark.parametrize("unit", ["days", "weeks", "months", "years"])
def test_distances_are_those_of_relativedelta(now: datetime, count: int, unit: str) -> None:
    """`dateutil.relativedelta`: months and years keep the day of the month, or take the month's last."""
    step = relativedelta(**{unit: count})
    assert on(f"{count} {unit} ago", now) == (now - step).date()
    assert on(f"in {count} {unit}", now, "future") == (now + step).date()


@pytest.mark.parametrize("now", NOWS)
@pytest.mark.parametrize("count", [1, 5, 20, 90])
@pytest.mark.parametrize("unit", ["minutes", "hours"])
def test_exact_distances_are_those_of_relativedelta(now: datetime, count: int, unit: str) -> None:
    """`dateutil.relativedelta`: hours and minutes cross midnight."""
    span = read_dates(f"{count} {unit} ago", now, "past")[0]
    then = now - relativedelta(**{unit: count})
    assert (span.on, span.at) == (then.date(), then.time())


@pytest.mark.parametrize("now", NOWS)
@pytest.mark.parametrize(
    ("name", "weekday"),
    [
        ("monday", MO),
        ("tuesday", TU),
        ("wednesday", WE),
        ("thursday", TH),
        ("friday", FR),
        ("saturday", SA),
        ("sunday", SU),
    ],
)
def test_weekdays_are_those_of_relativedelta(now: datetime, name: str, weekday: object) -> None:
    """`dateutil.relativedelta(weekday=…)` counted from yesterday back and from tomorrow on."""
    assert on(name, now) == (now - timedelta(days=1) + relativedelta(weekday=weekday(-1))).date()  # type: ignore[operator]
    assert on(name, now, "future") == (now + timedelta(days=1) + relativedelta(weekday=weekday(1))).date()  # type: ignore[operator]


@pytest.mark.parametrize(
    "words",
    [
        "14 march 2025",
        "march 14, 2025",
        "14th march 2025",
        "2025-03-14",
        "14/03/2025",
        "14.03.2025",
        "Fri 14 Mar 2025",
        "Friday, March 14th, 2025",
        "Sept 4, 2024",
        "1 dec 2023",
    ],
)
def test_written_dates_are_those_of_both_libraries(words: str) -> None:
    """`dateutil.parser.parse(dayfirst=True)` and `dateparser.parse(DATE_ORDER=DMY)` give the same day."""
    import dateparser  # noqa: PLC0415 - slow to import

    iso = words[:4].isdigit()
    ours = on(words, NOWS[0])
    assert ours == dateutil_parser.parse(words, dayfirst=not iso).date()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        theirs = dateparser.parse(words, languages=["en"], settings={"DATE_ORDER": "YMD" if iso else "DMY"})
    assert theirs is not None
    assert ours == theirs.date()


@pytest.mark.parametrize("now", NOWS)
@pytest.mark.parametrize(
    "words", ["yesterday", "3 days ago", "a week ago", "2 months ago", "1 year ago", "an hour ago", "15 minutes ago"]
)
def test_relative_words_are_those_of_dateparser(now: datetime, words: str) -> None:
    """`dateparser.parse(RELATIVE_BASE=now)` gives the same day."""
    import dateparser  # noqa: PLC0415 - slow to import

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        theirs = dateparser.parse(words, languages=["en"], settings={"RELATIVE_BASE": now})
    assert theirs is not None
    assert on(words, now) == theirs.date()


@pytest.mark.parametrize("now", NOWS)
@pytest.mark.parametrize("day", [1, 9, 14, 28, 31])
def test_a_day_of_the_month_is_the_last_of_rrule(now: datetime, day: int) -> None:
    """`dateutil.rrule(MONTHLY, bymonthday=…)`: the last such day up to now, the first from today on."""
    start = now - relativedelta(years=1)
    days = [found.date() for found in rrule(MONTHLY, bymonthday=day, dtstart=start, until=now + relativedelta(years=1))]
    assert on(f"on the {day}th", now) == max(found for found in days if found <= now.date())
    assert on(f"on the {day}th", now, "future") == min(found for found in days if found >= now.date())


@pytest.mark.parametrize(
    ("words", "rule"),
    [
        ("every 3 days", rrule(DAILY, interval=3, count=30, dtstart=NOWS[0])),
        ("every other week", rrule(WEEKLY, interval=2, count=30, dtstart=NOWS[0])),
        ("mondays and thursdays", rrule(WEEKLY, byweekday=(MO, TH), count=61, dtstart=NOWS[0])),
        ("every mon, wed and fri", rrule(WEEKLY, byweekday=(MO, WE, FR), count=61, dtstart=NOWS[0])),
    ],
)
def test_the_mean_distance_of_a_repeat_is_that_of_rrule(words: str, rule: rrule) -> None:
    """`dateutil.rrule`: `every_days` is the mean distance of its occurrences."""
    found = list(rule)
    recur = read_dates(words, NOWS[0], "future")[0].recur
    assert recur is not None
    assert recur.every_days == pytest.approx((found[-1] - found[0]) / timedelta(days=1) / (len(found) - 1), rel=0.02)
