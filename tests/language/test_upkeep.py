"""Misting, watering, cleaning and moves, by the contract's conventions."""

from __future__ import annotations

import pytest

from tests.language.house import entries, entry, fields

UPKEEP: list[tuple[str, dict[str, object], list[str]]] = [
    ("misting", {}, ["misted B", "sprayed B", "B misted", "wetted one corner of B", "damped the moss in B", "gave B a mist", "B got a spray", "spritzed B"]),
    ("misting", {"amount": "light"}, ["misted B lightly", "lightly misted B", "B sprayed gently", "gave B a light mist", "light spray for B"]),
    ("misting", {"amount": "heavy"}, ["misted B heavily", "soaked B", "heavy spray for B", "sprayed B heavily", "B got a heavy misting"]),
    ("watering", {}, ["filled the dish in B", "topped up water in B", "topped up B's water", "gave B water", "B water changed", "watered B", "fresh water for B", "took the water dish out of B", "refilled the bowl in B"]),
    ("cleaning", {"scope": "spot"}, ["pulled the leftovers from B", "cleared the boluses from B", "picked out mould in B", "spot cleaned B", "took the leftovers out of B", "removed boluses from B"]),
    ("cleaning", {"scope": "full"}, ["changed the substrate in B", "full clean out of B", "substrate change in B", "full clean of B", "B full substrate change", "did a full clean out on B"]),
    ("cleaning", {}, ["cleaned B", "B cleaned", "cleaned out B", "gave B a clean"]),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "want", "texts"), UPKEEP)
def test_upkeep(kind: str, want: dict[str, object], texts: list[str]) -> None:
    """Each wording is one entry of its kind; how much or how far only where the text says it."""
    for text in texts:
        found = entry(text)
        assert (found["kind"], found["subjects"]) in ((kind, ["group B"]), (kind, ["tub 2"])), text
        assert fields(text) == want, text


MOVES: list[tuple[dict[str, object], list[str]]] = [
    ({}, ["rehoused B", "moved B", "B rehoused", "B has been rehoused"]),
    ({"to": "glass cube"}, ["moved B to the glass cube", "moved B into the glass cube", "rehoused B into the glass cube", "B moved to the glass cube", "put B in the glass cube"]),
    ({"to": "spare tub"}, ["moved B to the spare", "moved B into the spare tub"]),
    ({"to": "wooden crate"}, ["moved B to a wooden crate", "rehoused B into the wooden crate"]),
    ({"to": "glass cube", "count": [42, 42]}, ["moved B to the glass cube, 42 in", "moved all of B to the glass cube, 42 in total", "moved 42 of B to the glass cube"]),
    ({"to": "spare tub", "count": [6, 6]}, ["split 6 of B into the spare", "moved six of B to the spare tub", "moved 6 B to the spare"]),
]  # fmt: skip


@pytest.mark.parametrize(("want", "texts"), MOVES)
def test_a_move(want: dict[str, object], texts: list[str]) -> None:
    """Where to as the roster spells it, else the words used without the article; the heads moved where told."""
    for text in texts:
        found = entry(text)
        assert (found["kind"], found["subjects"]) == ("move", ["group B"]), text
        assert fields(text) == want, text


def test_a_group_joined_to_another() -> None:
    """Tipping one group in with another is a move to that group or its tub."""
    found = entry("moved A in with B")
    assert (found["kind"], found["subjects"]) == ("move", ["group A"])
    assert found["to"] in {"group B", "tub 2"}


def test_two_acts_in_one_sentence() -> None:
    """Acts joined by "and" are an entry each, of the same place and day."""
    found = entries("yesterday I fed B and misted the tub and topped up the water")
    assert [each["kind"] for each in found] == ["feeding", "misting", "watering"]
    assert {each["on"] for each in found} == {"2026-03-11"}


def test_acts_on_several_days() -> None:
    """Each act has the day told for it."""
    found = entries("fed B on monday, misted D yesterday and cleaned A today")
    assert [(each["kind"], each["subjects"], each["on"]) for each in found] == [
        ("feeding", ["group B"], "2026-03-09"),
        ("misting", ["group D"], "2026-03-11"),
        ("cleaning", ["group A"], "2026-03-12"),
    ]


def test_lines_are_read_one_by_one() -> None:
    """A message of several lines holds an entry for each."""
    found = entries("B: 3 crickets\nD: misted\nMabel: moulted")
    assert [(each["kind"], each["subjects"]) for each in found] == [
        ("feeding", ["group B"]),
        ("misting", ["group D"]),
        ("moult", ["Mabel"]),
    ]
