"""What a message may lean on: the place last talked of, and the entries last written."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.language.meaning import Context, Entry
from tests.language.house import NOW, meaning

FED = Entry("feeding", ("group B",), NOW.date() - timedelta(1), fields={"prey": "cricket", "quantity": [3, 3]})
FOCUS = Context(focus=("group B",))
LAST = Context(focus=("group B",), last=(FED,))


@pytest.mark.parametrize(
    "text",
    ["misted them", "they moulted", "they ate", "misted them lightly", "fed them 3 crickets", "it refused a cricket"],
)
def test_a_pronoun_takes_the_place_last_talked_of(text: str) -> None:
    """With a place in focus a pronoun is that place; without one it asks whom."""
    assert [entry.subjects for entry in meaning(text, context=FOCUS).entries] == [("group B",)], text
    assert meaning(text).intent == "unclear", text


@pytest.mark.parametrize("text", ["misted D", "D moulted", "fed D 3 crickets"])
def test_a_name_wins_over_the_focus(text: str) -> None:
    """Where the message names somebody, the focus does not count."""
    assert [entry.subjects for entry in meaning(text, context=FOCUS).entries] == [("group D",)]


@pytest.mark.parametrize("text", ["when did they last eat?", "how many are in it?", "when did it last moult?"])
def test_a_question_with_a_pronoun_asks_about_the_focus(text: str) -> None:
    """A pronoun in a question is the place last talked of."""
    found = meaning(text, context=FOCUS)
    assert found.ask is not None
    assert found.ask.subjects == ("group B",)


@pytest.mark.parametrize(
    "text", ["same again for D", "same for D", "ditto D", "the same for D", "and D too", "and D as well", "likewise D"]
)
def test_the_same_again_for_others(text: str) -> None:
    """The entries written last are told again of others, today."""
    found = meaning(text, context=LAST)
    assert [(entry.kind, entry.subjects, entry.on, dict(entry.fields)) for entry in found.entries] == [
        ("feeding", ("group D",), NOW.date(), dict(FED.fields))
    ]


@pytest.mark.parametrize("text", ["same again for D", "ditto D"])
def test_the_same_as_nothing_is_not_written_as_an_act(text: str) -> None:
    """Without entries to repeat, "same again" is no feeding."""
    assert all(entry.kind == "note" for entry in meaning(text).entries)


@pytest.mark.parametrize("text", ["same again for Q", "same again", "same for rulla"])
def test_the_same_again_for_nobody(text: str) -> None:
    """Where it cannot be told for whom, the last entries are not told again."""
    assert all(entry.kind != "feeding" for entry in meaning(text, context=LAST).entries)


def test_a_wish_about_a_pronoun_is_a_note_on_the_focus() -> None:
    """A wish without a name is kept as a note on the place last talked of."""
    found = meaning("thinking of moving them", context=FOCUS)
    assert [(entry.kind, entry.subjects) for entry in found.entries] == [("note", ("group B",))]


def test_a_number_for_one_of_those_written_last() -> None:
    """Saying "no, D was 5" corrects D's entry where D was written; where nothing was written of D it corrects nothing."""
    written = meaning("fed B 3 crickets, D 4").entries
    amend = meaning("no, D was 5", context=Context(last=written)).amend
    assert amend is not None
    assert (amend.action, dict(amend.changes), amend.of) == ("change", {"quantity": [5, 5]}, ("group D",))
    assert meaning("no, C was 5", context=Context(last=written)).amend is None
