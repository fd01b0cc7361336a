"""Which words made which field, and the readings that came next."""

from __future__ import annotations

import pytest

from bot.language.contract import to_contract
from tests.language.house import meaning


def words_for(text: str) -> dict[str, str]:
    """The words that made each field, by the field's place; where several did, the longest."""
    found: dict[str, str] = {}
    for mark in meaning(text).evidence:
        assert text[mark.start : mark.end] == mark.words, (text, mark)
        if len(mark.words) > len(found.get(mark.where, "")):
            found[mark.where] = mark.words
    return found


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("fed B 3 pre-killed roaches last night", {"entries.0.subjects": "B", "entries.0.prey": "roaches", "entries.0.prey_state": "pre-killed", "entries.0.on": "last night"}),
        ("Mabel  refused a Cricket", {"entries.0.subjects": "Mabel", "entries.0.prey": "Cricket", "entries.0.outcome": "refused"}),
        ("um, misted tub 2 lightly", {"entries.0.subjects": "tub 2", "entries.0.amount": "lightly"}),
        ("\U0001f577 fed B 3 crickets", {"entries.0.subjects": "B", "entries.0.prey": "crickets"}),
        ("fed A; misted D", {"entries.0.subjects": "A", "entries.1.subjects": "D"}),
        ("moved B to the glass cube, 42 in", {"entries.0.subjects": "B", "entries.0.to": "glass cube", "entries.0.count": "42"}),
        ("feed B tomorrow", {"plans.0.subjects": "B", "plans.0.on": "tomorrow"}),
        ("no, D not B", {"amend.subjects": "D"}),
        ("make that 4", {"amend.quantity": "4"}),
    ],
)  # fmt: skip
def test_each_field_points_at_its_words(text: str, want: dict[str, str]) -> None:
    """The words named for a field stand in the message at the offsets told, as they were typed."""
    found = words_for(text)
    assert {where: found.get(where) for where in want} == want


@pytest.mark.parametrize(
    "text",
    [
        "fed B 3 pre-killed roaches last night, 2 left over",
        "misted tubs 1-3 and topped up the water",
        "Mabel 14cm legspan, 31g",
        "3 moults in B and one dead",
    ],
)
def test_every_field_of_an_entry_has_its_words(text: str) -> None:
    """Each own field of each entry names at least one piece of the message."""
    found = meaning(text)
    told = {mark.where for mark in found.evidence}
    made = {
        f"entries.{number}.{name}"
        for number, entry in enumerate(found.entries)
        for name in entry.fields
        if name != "measure"
    }
    assert made <= told


def test_explain_shows_words_and_offsets() -> None:
    """The explained output adds a score, the words of each field with their offsets, and the runners-up."""
    text = "fed B 3 crickets"
    shown = to_contract(meaning(text), explain=True)["explain"]
    assert 0 <= shown["score"] <= 1
    assert {"field": "entries.0.prey", "words": "crickets", "start": 8, "end": 16} in shown["words"]
    assert isinstance(shown["runners_up"], list)


def test_a_doubtful_reading_has_a_lower_score() -> None:
    """A message that must ask scores below one that need not."""
    assert meaning("fed rulla").score < meaning("fed B").score
