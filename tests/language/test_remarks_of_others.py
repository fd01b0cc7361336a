"""What is said of somebody else beside an act: neither lost, nor taken for one more whom the act was done to. The messages are invented."""

from __future__ import annotations

from typing import Any

import pytest

from tests.language.house import TODAY, contract, entries, entry


@pytest.mark.parametrize(
    "said", ["dry", "bone dry", "still damp", "is dry", "is still wet", "looks grumpy", "has a cracked lid", "too wet"]
)
@pytest.mark.parametrize("act", ["misted B", "misted A, B", "fed B 5 roaches"])
def test_a_remark_after_an_act_is_a_note(act: str, said: str) -> None:
    """The act was done to those before it alone."""
    done, remark = entries(f"{act}, C {said}")
    assert done == entry(act)
    assert remark == {"kind": "note", "subjects": ["group C"], "on": TODAY}


@pytest.mark.parametrize("said", ["wants watching", "likes the new bark", "seems happier", "prefers the dark"])
def test_what_is_said_of_another_is_kept(said: str) -> None:
    """Whatever it is, it is a note where nothing else became of it."""
    assert {"kind": "note", "subjects": ["group C"], "on": TODAY} in entries(f"misted B, C {said}")


def test_a_remark_of_two() -> None:
    """After the last comma, where "and" joins those it is said of."""
    done, remark = entries("misted A, B and C are dry")
    assert (done["subjects"], remark["subjects"], remark["kind"]) == (["group A"], ["group B", "group C"], "note")


@pytest.mark.parametrize(
    "text", ["misted A, B, C", "misted A, B and C", "fed A, B and C dry flakes", "gave water to A, B, C"]
)
def test_a_list_without_a_remark_stays_whole(text: str) -> None:
    """Dry is no state where something follows it."""
    assert entry(text)["subjects"] == ["group A", "group B", "group C"]


def test_more_of_the_same_one_is_no_second_entry() -> None:
    """Only of whom nothing else is told."""
    assert len(entries("fed B 5 roaches, B is fine")) == 1


@pytest.mark.parametrize(
    ("text", "kind", "own"),
    [
        ("gave 6 slings of B to a friend", "departure", {"number": [6, 6]}),
        ("6 slings out of B went to a friend today", "departure", {"number": [6, 6]}),
        ("lost 2 slings from B", "death", {"number": [2, 2]}),
        ("counted 19 slings in B", "count", {"count": [19, 19]}),
        ("moved 5 slings of B to the spare tub", "move", {"count": [5, 5], "to": "spare tub"}),
        ("fed the slings in B 2 fruit flies each", "feeding", {"prey": "fruit fly", "quantity": [2, 2], "each": True}),
    ],
)
def test_slings_of_somebody_are_none_of_those_with_the_name(text: str, kind: str, own: dict[str, Any]) -> None:
    """The house has four animals named sling; those counted here are B's."""
    assert entry(text) == {"kind": kind, "subjects": ["group B"], "on": TODAY, **own}


def test_slings_alone_are_those_with_the_name() -> None:
    """And one of them in its pot is that one."""
    assert entry("fed the slings")["subjects"] == ["sling 1", "sling 2", "sling 3", "sling 4"]
    assert entry("one sling in pot 2 moulted")["subjects"] == ["pot 2"]


def test_what_a_mother_does_after_her_sac() -> None:
    """At another time it is a sighting; the silk around the sac is none."""
    sac, seen = entries("Rilla dropped an egg sac yesterday and today she is webbing up the entrance")
    assert (sac["kind"], seen["kind"], seen["signs"], seen["on"]) == ("sac", "observation", ["webbing"], TODAY)
    assert entry("Rilla ate her sac, nothing left but silk")["kind"] == "sac"


def test_web_that_is_put_up_moves_nobody() -> None:
    """Though it is put over the door."""
    assert entry("the stilts have put up new web all over the door")["kind"] == "observation"
    assert entry("put the stilts into the spare tub")["kind"] == "move"


def test_a_sorry_of_three_letters() -> None:
    """As in haste."""
    assert contract("sry that was yesterday") == contract("sorry, that was yesterday")
