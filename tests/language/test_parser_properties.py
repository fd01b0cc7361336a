"""What holds for every text: no failure, the same reading twice, values that fit."""

from __future__ import annotations

import json
from datetime import date, datetime, timedelta

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from bot.language import read
from bot.language.contract import to_contract
from bot.language.meaning import Context, Entry, Meaning
from tests.language.house import HOUSE, NOW, meaning
from tests.language.long_texts import WORDS

ON_ROSTER = {item.name for item in (*HOUSE.enclosures, *HOUSE.occupants)}
CONTEXT = Context(focus=("group B",), last=(Entry("feeding", ("group B",), NOW.date(), fields={"prey": "cricket"}),))

SENTENCES = st.lists(st.sampled_from(WORDS), max_size=40).map(" ".join)
ANY_TEXT = st.text(alphabet=st.characters(exclude_categories=()), max_size=300)  # surrogates and controls too
TEXTS = st.one_of(SENTENCES, ANY_TEXT, st.lists(st.one_of(st.sampled_from(WORDS), ANY_TEXT), max_size=12).map(" ".join))
TIMES = st.datetimes(datetime(1990, 1, 1), datetime(2090, 1, 1))  # noqa: DTZ001 - the keeper's local clock, naive

STRANGE = [
    "", " ", "\n\n\t", "\x00", "fed B\x00 3 crickets", "\ud800", "fed \udfff B", "\u202efed B 3 crickets\u202c",
    "العنكبوت أكل صرصور B", "🕷️🕷️🕷️", "fed B 🦗🦗🦗", "f\u0301ed B", "\ufeff", "?" * 300, "..." * 100, "'" * 200,
    '"' * 200, "-3 in B", "counted B -3", "B 1000000000", "B 1e309", "counted B, " + "9" * 400, "fed B on 31 february",
    "fed B on 0/0/0", "fed B 99/99/9999", "at 99:99", "²³½ ¼ ①", "\uff26\uff25\uff24 \uff22 \uff13", "\u00a0fed\u00a0B\u00a0", "[]{}()<>|\\^~`",
    "%s %d {0} {} $1", "fed B 3/0 crickets", "B 1/2/3/4/5/6", "0 0 0 0", "tub tub tub", "the the the", "tubs 5-1",
    "tubs 1-999999999999999999999", "groups A to", "all but", "all but all", "everyone but everyone", "no not no",
    "RR means", "means", "is", "x means x", "rename", "rename B to", "add", "close", "forget", "undo undo",
]  # fmt: skip


def subjects_of(found: Meaning) -> set[str]:
    """Every name that a meaning stands for, anywhere in it."""
    asked = found.ask.subjects if found.ask else ()
    changed = found.amend.changes.get("subjects", ()) if found.amend else ()
    told = [name for act in (*found.entries, *found.plans) for name in act.subjects]
    return {*asked, *changed, *told}


@given(TEXTS, TIMES)
@settings(max_examples=400)
def test_no_text_fails(text: str, now: datetime) -> None:
    """Whatever is sent, a Meaning comes back, it can be written as JSON, and the same text gives the same again."""
    found = read(text, now, HOUSE)
    written = json.dumps(to_contract(found, explain=True))
    assert json.dumps(to_contract(read(text, now, HOUSE), explain=True)) == written


@given(TEXTS)
@settings(max_examples=150)
def test_no_text_fails_after_another(text: str) -> None:
    """With entries and a place to lean on, too, every text is read."""
    json.dumps(to_contract(read(text, NOW, HOUSE, CONTEXT)))


@pytest.mark.parametrize("text", STRANGE)
def test_strange_texts_are_read(text: str) -> None:
    """Control characters, half surrogates, right-to-left, emoji, numbers past all measure: each gives a Meaning."""
    json.dumps(to_contract(meaning(text), explain=True))


@given(TEXTS, TIMES)
@example("fed B tomorrow", NOW)
@example("fed B on march 14", NOW)
@example("left Mabel tomorrow", NOW)
@settings(max_examples=300)
def test_a_log_never_lies_in_the_future(text: str, now: datetime) -> None:
    """Every entry of a log has a day, and it is today or before."""
    found = read(text, now, HOUSE)
    if found.intent == "log":
        assert all(entry.on is not None and entry.on <= now.date() for entry in found.entries), found


@given(TEXTS)
@example("crickets add")
@settings(max_examples=300)
def test_only_names_of_the_roster_are_subjects(text: str) -> None:
    """Whatever the words, a subject is spelled as on the roster, and a log has one for every entry but those on the stock of feeders."""
    found = meaning(text)
    assert subjects_of(found) <= ON_ROSTER
    if found.intent == "log":
        assert all(entry.subjects or {"stock", "delivery_days"} & entry.fields.keys() for entry in found.entries), found


@given(SENTENCES)
@settings(max_examples=200)
def test_evidence_points_into_the_text(text: str) -> None:
    """The words said to have made a field stand in the text where it is said."""
    for mark in meaning(text).evidence:
        assert text[mark.start : mark.end] == mark.words


@given(SENTENCES)
@example("2 march ?")
@settings(max_examples=200)
def test_ranges_are_the_right_way_round(text: str) -> None:
    """A pair of numbers is [low, high] with low not above high, and neither below nought but for temperatures."""
    for entry in meaning(text).entries:
        for name in ("quantity", "number", "count"):
            low, high = entry.fields.get(name) or (None, None)
            assert low is None or low >= 0, entry
            assert low is None or high is None or low <= high, entry


@pytest.mark.parametrize("length", [4001, 5000, 100_000])
def test_a_text_past_all_length_is_no_message(length: int) -> None:
    """More than 4,000 characters are not read at all."""
    assert meaning("fed B three crickets. " * (length // 20)).intent == "chat"


@given(st.dates(date(2000, 1, 1), date(2080, 12, 31)), st.integers(0, 60))
@settings(max_examples=100)
def test_days_ago_count_back_from_now(day: date, days: int) -> None:
    """So many days ago is so many days before the day of now, whatever the day."""
    now = datetime(day.year, day.month, day.day, 12)  # noqa: DTZ001 - the keeper's local clock, naive
    found = read(f"fed B {days + 2} days ago", now, HOUSE)
    assert [entry.on for entry in found.entries] == [day - timedelta(days=days + 2)]
