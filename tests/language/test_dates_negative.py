"""Texts that hold tempting words and figures but no date, and tempting ones that do."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from bot.language.dates import read_dates

NOW = datetime(2026, 3, 12, 14, 30)  # noqa: DTZ001 - the keeper's local clock carries no zone

NO_DATE = """
tansy may need water
pots 7-9 may moult soon
may I move D?
she sat in the corner
B sat on her sac
all three sat in a huddle
moved out of the sun
sun lamp on
wed to the idea
mar is digging
gave 3 march flies
they march round the tub
june has moulted
fed june 2 crickets
april ate 3
2 of 3 ate
12 of 15 seen
second roach refused
the second one is bigger
give it a second
first moult for D
the 3rd moult
her 4th instar
2nd leg is missing
on the 2nd shelf
on the third attempt
spring cleaned the springtails
fall from the lid
1/2 a waxworm each
3/4 full
10/10 eater
24/7
half a cricket
t13 21,5C 74%
24.5C 61%
27,8
42 in
1.5 in
pots 7-9 got one each
tubs 2-5 misted
60-70 eggs
5 or 6 small roaches
5 to 10 roaches
10g
B 42
at 24 C
at 72F
at 9 weeks
at 12 moults
looked at 9
around 40 crickets
3 amphipods
3a moulted
10:1 mix
2 week old slings
twice the size
each got two
every one of them
good night
happy new year
merry christmas
yesterday's leftovers
since it got hot
till she moults
for 2 of them
put on 5g
all winter
""".strip().splitlines()


@pytest.mark.parametrize("prefer", ["past", "future"])
@pytest.mark.parametrize("text", NO_DATE)
def test_no_date_is_read_where_none_is(text: str, prefer: str) -> None:
    """Nothing is read surely from a tempting word out of a date's place."""
    assert not [span for span in read_dates(text, NOW, "past" if prefer == "past" else "future") if span.surely]


@pytest.mark.parametrize(
    ("text", "words", "on"),
    [
        ("tub 4 friday", "friday", date(2026, 3, 6)),
        ("fed B sat", "sat", date(2026, 3, 7)),
        ("sat: fed B", "sat", date(2026, 3, 7)),
        ("misted sat and sun", "sat", date(2026, 3, 7)),
        ("fed B on sun", "on sun", date(2026, 3, 8)),
        ("fed them wed", "wed", date(2026, 3, 11)),
        ("moulted in may", "in may", date(2025, 5, 1)),
        ("moulted may 3rd", "may 3rd", date(2025, 5, 3)),
        ("fed B 3 mar", "3 mar", date(2026, 3, 3)),
        ("fed B on the second", "on the second", date(2026, 3, 2)),
        ("7 of 9 ate on the 9th", "on the 9th", date(2026, 3, 9)),
        ("pots 7-9 on 9/3", "on 9/3", date(2026, 3, 9)),
        ("on building 4 this afternoon", "this afternoon", date(2026, 3, 12)),
    ],
)
def test_the_same_words_in_a_dates_place(text: str, words: str, on: date) -> None:
    """A number, a preposition or the place in the clause makes them a date, and the span holds no more than that."""
    sure = [span for span in read_dates(text, NOW, "past") if span.surely]
    assert (sure[0].words, sure[0].on) == (words, on)


def test_later_in_a_log_counts_from_the_act_told() -> None:
    """The words "an hour later" are no date in a log, and an hour from now in a plan."""
    assert not read_dates("took it an hour later", NOW, "past")
    assert read_dates("look in an hour later", NOW, "future")
