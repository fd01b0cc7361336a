"""What one clause tells of somebody or something that another one named, and who is left out."""

from __future__ import annotations

from typing import Any

import pytest

from tests.language.house import HOUSE, ask, contract, entries, entry, missing, plan


def told(text: str, *names: str) -> list[tuple[Any, ...]]:
    """Kind, subjects and these fields of each entry."""
    return [(one["kind"], one["subjects"], *(one.get(name) for name in names)) for one in entries(text)]


def test_a_sac_named_before_what_became_of_it() -> None:
    """Its number and its end may be told after it."""
    assert told("so much for the sac in C, they've eaten it", "stage") == [("sac", ["group C"], "eaten")]
    assert told("42 little ones from Mabel's sac, it hatched on tuesday", "stage", "number") == [
        ("sac", ["Mabel"], "hatched", [42, 42])
    ]


def test_both_are_the_two_told_one_after_the_other() -> None:
    """And who were told together stay together."""
    found = told("tub 1 got five dubias and tub 2 got four and then I wetted the corner in both")
    assert found[-1] == ("misting", ["tub 1", "tub 2"])
    assert told("moved Rilla and Rolla to the spare tub. both hiding since")[-1] == ("observation", ["Rilla", "Rolla"])


def test_a_move_without_a_verb() -> None:
    """Where a place is said to which somebody goes."""
    assert told("8 of B over to the spare tub", "to", "count") == [("move", ["group B"], "spare tub", [8, 8])]
    assert told("sling 2 into the bark jar", "to") == [("move", ["sling 2"], "bark jar")]
    assert plan("sling 2 to the moss jar tomorrow evening")["to"] == "moss jar"


def test_where_somebody_was_moved_may_be_in_doubt() -> None:
    """Then it is asked, however the doubt is said."""
    assert missing("moved Mabel but can't remember if it was to the glass cube or the tall tank") == ["to"]
    assert missing("B moved, either to the glass cube or to the spare") == ["to"]


def test_a_thing_of_the_last_one_named() -> None:
    """It begins something new."""
    assert told("boluses out of A and B, Mabel's dish refilled") == [
        ("cleaning", ["group A", "group B"]),
        ("watering", ["Mabel"]),
    ]


def test_an_afterthought_leaves_some_out() -> None:
    """It is no correction of what was written before."""
    everyone = {HOUSE.place_of(name) for name in entry("misted pots 1-4")["subjects"]}
    rest = {HOUSE.place_of(name) for name in entry("misted pots 1-4. not pot 2 though")["subjects"]}
    assert everyone - rest == {"pot 2"}


@pytest.mark.parametrize(
    "text",
    [
        "misted everyone but the geckos",
        "fed all but the geckos 3 crickets each",
        "misted everyone today but the geckos and Mabel",
    ],
)
def test_a_stranger_left_out_is_asked_about(text: str) -> None:
    """Nobody here is called so, and whoever it is would be written wrongly."""
    found = contract(text)
    assert found["intent"] == "unclear"
    assert found["question"] == "There is no geckos on the roster to leave out. For whom was it?"


def test_who_is_asked_about_may_stand_before_the_question() -> None:
    """With a comma."""
    assert ask("Mabel, how big now?") == ask("how big is Mabel now?")


def test_two_days_are_two_feedings() -> None:
    """In one sentence or in two."""
    expected = [("feeding", ["Mabel"], "2026-03-11", "refused"), ("feeding", ["Mabel"], "2026-03-12", "ate")]
    assert told("Mabel refused yesterday but took a roach today", "on", "outcome") == expected
    assert [one["on"] for one in entries("Mabel - Tuesday night: ate half a dozen isopods. Wednesday: refused.")] == [
        "2026-03-10",
        "2026-03-11",
    ]


@pytest.mark.parametrize(
    ("text", "every_days"),
    [
        ("I want B misted every other day", 2), ("can we have B cleaned every 5 days please", 5), ("put B down for spraying every other day", 2), ("set up weekly watering for B", 7),
        ("water B twice a week, add that to the list", 3.5),
    ],
)  # fmt: skip
def test_what_is_wanted_again_and_again(text: str, every_days: float) -> None:
    """A past verb that is wanted is a plan."""
    assert plan(text)["every_days"] == every_days


def test_the_second_of_two_repeats_may_leave_out_its_unit() -> None:
    """It is that of the first."""
    assert [one["every_days"] for one in contract("feed B every 4 days and the stilts every six")["plans"]] == [4, 6]
