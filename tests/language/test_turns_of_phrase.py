"""Words of the trade that mean something else where they stand, run-on talk, and lists under a heading."""

from __future__ import annotations

from typing import Any

import pytest

from tests.language.house import contract


def told(text: str) -> list[tuple[str, list[str], dict[str, Any]]]:
    """Kind, subjects and own fields of each entry."""
    entries = contract(text)["entries"]
    plain = ("kind", "subjects", "on", "at", "part")
    return [
        (one["kind"], one["subjects"], {name: value for name, value in one.items() if name not in plain})
        for one in entries
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("changed the water for B took me the best part of an hour", [("watering", ["group B"], {})]),
        ("misted B, took ages", [("misting", ["group B"], {})]),
        ("just finished in here fed B ten crickets", [("feeding", ["group B"], {"prey": "cricket", "quantity": [10, 10]})]),
        ("finished feeding B", [("feeding", ["group B"], {})]),
        ("Mabel is missing the tip of a leg", [("observation", ["Mabel"], {"signs": ["injured"]})]),
        ("Mabel missing from the tub", [("observation", ["Mabel"], {"signs": ["escaped"]})]),
        ("B digging away under the cork", [("observation", ["group B"], {"signs": ["burrowing"]})]),
        ("two of B fighting over a hide", [("observation", ["group B"], {"signs": ["fighting"]})]),
        ("introduced Rilla to Rolla wish me luck", [("pairing", ["Rilla", "Rolla"], {})]),
        ("put Rilla in to Rolla, mated", [("pairing", ["Rilla", "Rolla"], {})]),
        ("sac in B still there", [("note", ["group B"], {})]),
        ("finally in the shed. fed B 8 roaches", [("feeding", ["group B"], {"prey": "roach", "quantity": [8, 8]})]),
        ("found the shed in B", [("moult", ["group B"], {})]),
        ("misted B, thats me caught up", [("misting", ["group B"], {})]),
        ("cleared mould out of tub 2 and tub 3 and gave the two of them a spray", [("cleaning", ["tub 2", "tub 3"], {"scope": "spot"}), ("misting", ["tub 2", "tub 3"], {})]),
        ("tub 1 - 4 roaches, misted", [("feeding", ["tub 1"], {"prey": "roach", "quantity": [4, 4]}), ("misting", ["tub 1"], {})]),
        ("tubs 1 - 2 misted", [("misting", ["tub 1", "tub 2"], {})]),
        ("swapped out the substrate in tub 2", [("cleaning", ["tub 2"], {"scope": "full"})]),
        ("Mabel has eggs under her, never seen that before", [("sac", ["Mabel"], {"stage": "laid"})]),
        ("two stilts scrapping, ones injured", [("observation", ["the stilts"], {"signs": ["fighting", "injured"]})]),
        ("sac in B!", [("sac", ["group B"], {"stage": "laid"})]),
        ("mites still there in B", [("observation", ["group B"], {"signs": ["mites"]})]),
        ("spot clean B, full clean out D", [("cleaning", ["group B"], {"scope": "spot"}), ("cleaning", ["group D"], {"scope": "full"})]),
        ("too hot to sleep so ive misted B", [("misting", ["group B"], {})]),
        ("had a look at B with the torch and theres at least 38", [("count", ["group B"], {"count": [38, None]})]),
        ("sold 6 of B to a man from work so thats 35 left", [("departure", ["group B"], {"number": [6, 6]}), ("count", ["group B"], {"count": [35, 35]})]),
    ],
)  # fmt: skip
def test_what_is_meant_is_told(text: str, expected: list[tuple[str, list[str], dict[str, Any]]]) -> None:
    """Nothing more than was said, and nothing less."""
    assert told(text) == expected


@pytest.mark.parametrize("heading", ["crickets:", "fed crickets:", "crickets,", "crickets -"])
def test_food_told_once_is_given_to_each_of_a_list(heading: str) -> None:
    """The heading is no feeding of its own."""
    expected = [(["group B"], [3, 3]), (["group D"], [5, 5])]
    assert [(who, own["quantity"]) for _, who, own in told(f"{heading} B 3, D 5")] == expected
    assert {own["prey"] for _, _, own in told(f"{heading} B 3, D 5")} == {"cricket"}


def test_a_colony_of_that_name_is_food_where_it_heads_a_list() -> None:
    """And where its state is told; by itself it is still the colony."""
    assert [own["prey"] for _, _, own in told("prekilled dubia: B 3, D 5")] == ["dubia roach"] * 2
    assert [own["prey"] for _, _, own in told("dubia: B 3, D 5")] == ["dubia roach"] * 2
    assert told("dubia colony moved to tub 3")[0][:2] == ("move", ["dubia colony"])


def test_one_who_refused_does_not_end_the_list() -> None:
    """Whoever is told after it is not dropped."""
    assert [who for _, who, _ in told("crickets: B 3, D refused, Mabel 1")] == [["group B"], ["group D"], ["Mabel"]]


def test_a_reminder_at_the_end_leaves_what_was_done() -> None:
    """Without a mark between them."""
    found = contract("misted B lightly remind me to do it again thursday")
    assert [(one["kind"], one["amount"]) for one in found["entries"]] == [("misting", "light")]
    assert [(one["kind"], one["on"]) for one in found["plans"]] == [("misting", "2026-03-19")]


def test_since_is_up_to_now() -> None:
    """What holds since a day is seen today."""
    done, seen = contract("changed the substrate in B on tuesday and there's been no sign of them since")["entries"]
    assert (done["on"], seen["on"], seen["signs"]) == ("2026-03-10", "2026-03-12", ["hiding"])


def test_all_the_dishes_are_everybodys() -> None:
    """And so are all but some."""
    assert len(told("all dishes filled")[0][1]) == len(told("watered everyone")[0][1])
    assert told("all dishes in B filled") == [("watering", ["group B"], {})]
    everybody, rest = told("filled all dishes")[0][1], told("filled all dishes but B")[0][1]
    assert set(everybody) - set(rest) == {"tub 2"}


@pytest.mark.parametrize(
    "text",
    ["wrong. undo", "scrub that last message", "oops, wrong, undo", "delete that last one love i was at the wrong tub"],
)
def test_what_is_taken_back_with_a_word_of_regret(text: str) -> None:
    """Before it or after it."""
    assert contract(text) == {"intent": "amend", "amend": {"action": "retract"}}


def test_a_correction_to_what_was_left() -> None:
    """A number left over is no quantity offered."""
    assert contract("actually she left one of them")["amend"]["changes"] == {"outcome": "partly"}
