"""A word of an act that says what a thing is for tells no act."""

from __future__ import annotations

import pytest

from tests.language.house import contract


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("cleaned the feeding dish in B", ["cleaning"]),
        ("cleaned feeding dish in B", ["cleaning"]),
        ("cleaned the food dish in B", ["cleaning"]),
        ("the feeding cup in B is dirty", ["note"]),
        ("B is in the moulting box", ["note"]),
        ("B moved to the feeding corner", ["move"]),
    ],
)
def test_what_a_thing_is_for_is_no_act(text: str, kinds: list[str]) -> None:
    """Between an article and a dish, a box or a tool."""
    found = contract(text)
    assert found["intent"] == "log"
    assert [entry["kind"] for entry in found["entries"]] == kinds


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("finished cleaning tub 4", "cleaning"),
        ("saw her moulting pot 3", "moult"),
        ("B is still moulting, tub was wet", "moult"),
        ("been misting tub 2", "misting"),
    ],
)
def test_an_act_beside_a_place_is_one(text: str, kind: str) -> None:
    """Where the place has a name, or nothing leads a noun on."""
    assert [entry["kind"] for entry in contract(text)["entries"]] == [kind]
