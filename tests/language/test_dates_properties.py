"""What holds for every text: no failure, the same answer twice, spans that fit the text, time in proportion to length."""

from __future__ import annotations

import random
import sys
import time as clock
from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.language.dates import date_answer, read_dates

WORDS = [
    "fed",
    "B",
    "on",
    "the",
    "at",
    "since",
    "until",
    "from",
    "to",
    "in",
    "for",
    "last",
    "next",
    "this",
    "every",
    "other",
    "each",
    "day",
    "days",
    "week",
    "weeks",
    "month",
    "ago",
    "half",
    "past",
    "quarter",
    "a",
    "an",
    "two",
    "three",
    "monday",
    "fri",
    "sat",
    "march",
    "may",
    "14th",
    "31",
    "2026",
    "9",
    "9pm",
    "21:30",
    "tonight",
    "morning",
    "night",
    "yesterday",
    "tomorrow",
    "weekend",
    "and",
    "or",
    ",",
    ".",
    "/",
    "-",
    ":",
    "first",
    "second",
    "twice",
    "before",
    "after",
    "now",
    "of",
    "between",
    "later",
    "few",
    "couple",
    "noon",
    "3/4",
    "14.3.",
    "twenty",
    "hundred",
]
NOWS = st.datetimes(datetime(1990, 1, 1), datetime(2100, 1, 1))  # noqa: DTZ001 - local clocks carry no zone
TEXTS = st.one_of(st.text(max_size=120), st.lists(st.sampled_from(WORDS), max_size=18).map(" ".join))


@given(text=TEXTS, now=NOWS, prefer=st.sampled_from(["past", "future"]))
def test_spans_fit_the_text(text: str, now: datetime, prefer: str) -> None:
    """Spans lie in order, do not overlap, hold their own words, and come out the same twice; ranges run forward."""
    which = "past" if prefer == "past" else "future"
    spans = read_dates(text, now, which)
    assert spans == read_dates(text, now, which)
    end = 0
    for span in spans:
        assert end <= span.start < span.end <= len(text)
        assert text[span.start : span.end] == span.words
        assert span.until is None or (span.on is not None and span.on <= span.until)
        end = span.end
    date_answer(text, now, which)


@pytest.mark.parametrize(
    "unit",
    [
        "1 ",
        "1-",
        "two thousand ",
        "a ",
        "the ",
        "monday and ",
        "1 day ",
        "may 1 ",
        "a week after ",
        "in the ",
        "1 month 2 days 3 hours ",
    ],
)
def test_time_grows_with_length_only(unit: str) -> None:
    """Ten times the words take about ten times as long, not a hundred times."""
    now = datetime(2026, 3, 12, 21, 30)  # noqa: DTZ001

    def cost(repeats: int) -> float:
        begun = clock.process_time()
        read_dates(unit * repeats, now, "past")
        return clock.process_time() - begun

    read_dates(unit, now, "past")
    assert cost(2000) < 40 * max(cost(200), 0.002)


@pytest.mark.skipif(sys.gettrace() is not None, reason="a tracer slows every line")
def test_random_characters_are_read_quickly() -> None:
    """500 random characters take less than 10 ms of processor time, on the mean of a hundred texts."""
    draw = random.Random(5)  # noqa: S311 - no secret
    texts = [
        "".join(draw.choice("abcdefgh 0123456789 ./:-,the mon may at in of ") for _ in range(500)) for _ in range(100)
    ]
    begun = clock.process_time()
    for text in texts:
        read_dates(text, datetime(2026, 3, 12, 21, 30), "past")  # noqa: DTZ001
    assert (clock.process_time() - begun) / len(texts) < 0.01
