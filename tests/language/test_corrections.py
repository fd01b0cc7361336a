"""Corrections of what was logged just before: taken back, or changed in what was said instead."""

from __future__ import annotations

from typing import Any

import pytest

from tests.language.house import HOUSE, changes, contract


@pytest.mark.parametrize(
    "text",
    ["undo", "Undo.", "undo that", "scrap that", "delete that last one", "delete the last entry", "please undo that", "no, scrap that", "oh no, delete that", "oops, undo", "cancel that", "scratch that", "ignore that", "forget that", "take that back", "can you delete that please", "undo the last one", "sorry, delete that, wrong tub", "that was a mistake", "never mind that"],
)  # fmt: skip
def test_taking_back(text: str) -> None:
    """Words of taking back retract, with or without please, sorry and a reason."""
    assert contract(text) == {"intent": "amend", "amend": {"action": "retract"}}


@pytest.mark.parametrize(
    ("want", "texts"),
    [
        ({"subjects": ["tub 4"]}, ["no, D not B", "D not B", "no, D", "sorry, D not B", "not B, D", "I meant D", "it was D not B", "should be D", "no wait, D", "correction: D", "oops meant D not B"]),
        ({"on": "2026-03-11"}, ["that was yesterday", "no, yesterday", "sorry, that was yesterday", "it was yesterday", "that was yesterday not today", "actually that was yesterday"]),
        ({"on": "2026-03-07"}, ["that was on saturday", "it was saturday", "no, saturday"]),
        ({"on": "2026-03-09"}, ["that was on the 9th", "it should be the 9th", "that was 3 days ago"]),
        ({"quantity": [4, 4]}, ["make that 4", "make it 4", "I meant 4", "no, 4", "4 not 3", "should be 4", "sorry, 4", "it was 4 not 3", "make that four"]),
        ({"prey": "locust"}, ["they were locusts", "they were locusts not crickets", "locusts not crickets", "I meant locusts", "it was a locust"]),
        ({"outcome": "ate"}, ["actually he ate it", "she did eat it in the end", "oh, he did eat it after all"]),
        ({"outcome": "refused"}, ["actually he refused it", "no, she refused"]),
        ({"prey_state": "pre-killed"}, ["they were pre-killed", "pre-killed not live"]),
        ({"count": [27, 27]}, ["the count should be 27, not 72"]),
    ],
)  # fmt: skip
def test_changing(want: dict[str, Any], texts: list[str]) -> None:
    """What was said instead is the change: names, day, number, prey, outcome."""
    for text in texts:
        found = changes(text)
        if "subjects" in found:
            found["subjects"] = [HOUSE.place_of(name) for name in found["subjects"]]
        assert found == want, text


def test_several_fields_at_once() -> None:
    """Number and prey may be corrected together."""
    assert changes("make that 4 locusts") == {"quantity": [4, 4], "prey": "locust"}


@pytest.mark.parametrize(
    "text",
    ["no moults in B", "actually fed B 3 crickets", "sorry I forgot to tell you, fed B yesterday", "no deaths in B today", "oh and fed B", "wait, B moulted"],
)  # fmt: skip
def test_a_message_of_its_own_is_no_correction(text: str) -> None:
    """An opener such as "no" or "sorry" before an act of its own makes no correction of the last."""
    assert contract(text)["intent"] == "log"


@pytest.mark.parametrize(
    "text",
    ["oops delete that last one pls, my brain is mush", "take that back please, I mixed up two notebooks", "nooo undo undo", "would you kindly undo that? I pressed send in error", "undo that will you, wrong button", "delete what you just put down", "ignore what I sent there, delete it", "I do beg your pardon. Please delete that last entry.", "aw hell, scrap that", "nvm delete that"],
)  # fmt: skip
def test_taking_back_with_a_reason(text: str) -> None:
    """What is told after it is of no animal."""
    assert contract(text) == {"intent": "amend", "amend": {"action": "retract"}}


@pytest.mark.parametrize(
    "text", ["delete that, misted B", "scrap that, B refused", "change the water for B weekly", "take B back to tub 2"]
)
def test_taking_back_is_all_that_is_said(text: str) -> None:
    """Who goes on to tell of care takes nothing back."""
    assert contract(text) != {"intent": "amend", "amend": {"action": "retract"}}


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("prey should say locusts", {"prey": "locust"}),
        ("that one was yesterday, sorry", {"on": "2026-03-11"}),
        ("should of said, that was yesterday", {"on": "2026-03-11"}),
        ("I am so sorry, would you please make that five?", {"quantity": [5, 5]}),
        ("make that 7, cannot count at this hour", {"quantity": [7, 7]}),
    ],
)
def test_changing_in_other_words(text: str, want: dict[str, Any]) -> None:
    """A field by its name, an opener after another."""
    assert changes(text) == want
