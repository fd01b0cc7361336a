"""A question's Meaning, put away and taken out again."""

from __future__ import annotations

import json
from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.conversation.pending import from_json, to_json
from bot.conversation.reply import Reply, from_body, to_body
from bot.language.meaning import Amend, Ask, Choice, Entry, Evidence, Meaning, Plan, Setup

WORDS = st.text(max_size=20)
NUMBERS = st.integers(-5, 10**9) | st.floats(allow_nan=False, allow_infinity=False)
DAYS = st.none() | st.dates()
TIMES = st.none() | st.times()
NAMES = st.lists(WORDS, max_size=3).map(tuple)
PLAIN = st.none() | st.booleans() | NUMBERS | WORDS | st.dates() | st.times()
FIELDS = st.dictionaries(
    WORDS, st.recursive(PLAIN, lambda inner: st.lists(inner) | st.lists(inner).map(tuple), max_leaves=5)
)
ENTRIES = st.builds(Entry, WORDS, NAMES, DAYS, TIMES, st.none() | WORDS, FIELDS, WORDS)
PLANS = st.builds(Plan, WORDS, NAMES, DAYS, TIMES, st.none() | WORDS, st.none() | NUMBERS, st.none() | WORDS)
ASKS = st.builds(Ask, WORDS, st.none() | WORDS, NAMES, DAYS, DAYS, st.none() | st.integers(0, 99))
MEANINGS = st.recursive(
    st.builds(Meaning, WORDS),
    lambda inner: st.builds(
        Meaning,
        intent=WORDS,
        entries=st.lists(ENTRIES, max_size=2).map(tuple),
        plans=st.lists(PLANS, max_size=2).map(tuple),
        ask=st.none() | ASKS,
        amend=st.none() | st.builds(Amend, WORDS, FIELDS),
        setup=st.none() | st.builds(Setup, WORDS, FIELDS),
        missing=NAMES,
        question=WORDS,
        choices=st.lists(st.builds(Choice, WORDS, FIELDS), max_size=2).map(tuple),
        evidence=st.lists(st.builds(Evidence, WORDS, WORDS, st.integers(), st.integers()), max_size=2).map(tuple),
        runners_up=st.lists(inner, max_size=1).map(tuple),
    ),
    max_leaves=3,
)


@given(MEANINGS)
def test_a_meaning_comes_back_from_json_as_it_was(meaning: Meaning) -> None:
    """Whatever a Meaning holds, putting it away as JSON text and taking it out gives an equal one."""
    assert from_json(json.loads(json.dumps(to_json(meaning)))) == meaning


def test_the_days_of_an_entry_come_back_as_days() -> None:
    """A day and a clock time keep their types, also inside the changes of a choice."""
    entry = Entry("feeding", ("group B",), date(2026, 3, 2), time(19, 5), "evening", {"quantity": [3, 3]})
    meaning = Meaning("unclear", (entry,), choices=(Choice("Monday", {"on": date(2026, 3, 2)}),))
    assert from_json(to_json(meaning)).choices[0].changes["on"] == date(2026, 3, 2)


@pytest.mark.parametrize("stored", [{}, {"$": "map", "of": {}}, {"$": "Nothing", "of": {}}])
def test_what_is_no_stored_meaning_is_refused(stored: dict[str, object]) -> None:
    """Anything that is not a stored Meaning raises ValueError instead of becoming half a Meaning."""
    with pytest.raises(ValueError, match="stored Meaning"):
        from_json(stored)


def test_a_reply_comes_back_from_the_outbox_as_it_was() -> None:
    """A reply with choices, a table and entries survives its time in the outbox."""
    reply = Reply("Which?", ("A", "B"), ("day", "what"), (("Mon", "fed"),), ({"kind": "feeding"},))
    assert from_body(json.loads(json.dumps(to_body(reply)))) == reply
    assert from_body({"text": "hello"}) == Reply("hello")
