"""A member of a list whom nobody on the roster is called is asked about; those beside it are not lost over the question."""

from __future__ import annotations

import pytest

from bot.language import complete
from tests.language.house import HOUSE, NOW, contract, meaning


@pytest.mark.parametrize(
    ("text", "stranger"),
    [
        ("fed B and Zuzu 3 crickets", "Zuzu"),
        ("fed B, Zuzu and D", "Zuzu"),
        ("fed B, D and zuzu", "zuzu"),
        ("fed zuzu and B 3 crickets", "zuzu"),
        ("misted B and the zuzu", "zuzu"),
        ("moved B and Q to tub 4", "Q"),
        ("fed B 2 crickets and Zuzu 3", "Zuzu"),
        ("fed B 2, Zuzu 3 and D 4 crickets", "Zuzu"),
        ("Zuzu and B ate", "Zuzu"),
        ("B and zuzu got 2 roaches", "zuzu"),
        ("fed D, B and zuzu got 2 roaches", "zuzu"),
        ("fed B and the quarry box 3 roaches", "quarry box"),
        ("the quarry box and B got 2 roaches", "quarry box"),
        ("misted B, the old jar and D", "old jar"),
        ("misted B and the empty tank", "empty tank"),
    ],
)
def test_a_stranger_among_names_is_asked_about(text: str, stranger: str) -> None:
    """First, in the middle, last, or with a number of its own."""
    found = meaning(text)
    assert (found.intent, found.missing) == ("unclear", ("subjects",)), found
    assert f"There is no {stranger} on the roster" in found.question


@pytest.mark.parametrize(
    "text",
    [
        "fed B and D, thanks",
        "fed B and D, brilliant",
        "fed B and vacced the shelf",
        "B ate, yay",
        "fed B and then went out",
        "misted B and everything else is fine",
        "fed B 3 crickets and 2 roaches",
        "misted B and the tall tank",
        "fed B and the roach tub",
        "filled B and the water cup",
        "fed B and the new box is drying",
        "moved B and D to the glass tub",
    ],
)
def test_words_that_are_no_names_are_not_asked_about(text: str) -> None:
    """Everyday words and other acts beside a name leave the entry as it is."""
    assert contract(text)["intent"] == "log"


@pytest.mark.parametrize(
    ("text", "answer", "subjects"),
    [
        ("fed B and Zuzu 3 crickets", "D", ("group B", "group D")),
        ("fed B, Zuzu and D", "tub 4", ("group B", "group D", "tub 4")),
        ("fed B and rulla 3 crickets", "Rolla", ("group B", "Rolla")),
    ],
)
def test_an_answer_comes_on_top_of_those_named_for_sure(text: str, answer: str, subjects: tuple[str, ...]) -> None:
    """Whoever was meant by the doubtful name joins the others; none of them is dropped."""
    found = complete(meaning(text), answer, NOW, HOUSE)
    assert found is not None
    assert found.entries[0].subjects == subjects


@pytest.mark.parametrize(
    ("text", "answer", "subjects"),
    [
        ("remind me to feed B and Zuzu on friday", "D", ("group B", "group D")),
        ("remind me to feed rulla on friday", "Rolla", ("Rolla",)),
        ("remind me to feed B and rulla on friday", "Rolla", ("group B", "Rolla")),
    ],
)
def test_a_plan_for_a_list_is_settled_the_same_way(text: str, answer: str, subjects: tuple[str, ...]) -> None:
    """What is planned waits for the answer, and is then for those named for sure and the one meant."""
    found = complete(meaning(text), answer, NOW, HOUSE)
    assert found is not None
    assert found.plans[0].subjects == subjects


@pytest.mark.parametrize("answer", ["none", "Nobody else.", "leave it out", "neither"])
def test_the_one_in_doubt_may_be_left_out(answer: str) -> None:
    """What was told of the others stands."""
    found = complete(meaning("fed B, the quarry box and D 3 crickets"), answer, NOW, HOUSE)
    assert found is not None
    assert found.entries[0].subjects == ("group B", "group D")


def test_where_nobody_else_was_named_none_is_no_answer() -> None:
    """An act of nobody cannot be written."""
    assert complete(meaning("fed Zuzu 3 crickets"), "none", NOW, HOUSE) is None
