"""Names where something else could be meant: homes, what food is sold in, letters, crowds, short names, one of a group."""

from __future__ import annotations

from typing import Any

import pytest

from bot.language import read
from bot.language.contract import to_contract
from bot.language.roster import roster_from_table
from tests.language.house import HOUSE, NOW, TABLE, contract, entries, entry


def fed(text: str) -> list[tuple[list[str], Any]]:
    """Whom and how many."""
    return [(one["subjects"], one.get("quantity")) for one in entries(text)]


def test_whose_home_it_is() -> None:
    """The home is the one who lives there; a number after it counts what follows."""
    assert fed("fed Mabel's tub 2 roaches") == [(["Mabel"], [2, 2])]
    assert entry("changed the water in Mabel's tank and the glass cube")["subjects"] == ["Mabel", "glass cube"]
    assert entry("filled Mabel's dish and Clove's")["subjects"] == ["Mabel", "Clove"]
    assert entry("the dishes of Mabel and Clove were refilled")["subjects"] == ["Mabel", "Clove"]


def test_what_food_is_sold_in() -> None:
    """No tub of the roster."""
    for one in contract("bought 50 small locusts and 2 tubs of fruit flies").get("entries", []):
        assert one["subjects"] == []


def test_places_that_are_not_here() -> None:
    """Bigger pots are others than those on the roster."""
    moved = entry("moved Rilla and Rolla to bigger pots this morning")
    assert (moved["subjects"], moved["to"]) == (["Rilla", "Rolla"], "bigger pots")
    assert entry("B rehoused to the old fish tank")["to"] == "old fish tank"


def test_a_letter_apart_from_its_number() -> None:
    """The number counts what follows; written together they are a place."""
    table = TABLE | {"enclosures": [*TABLE["enclosures"], {"name": "box 4", "aliases": ["b4"]}]}
    house = roster_from_table(table)
    (told,) = to_contract(read("gave b 4 locusts", NOW, house))["entries"]
    assert (told["subjects"], told["quantity"]) == (["group B"], [4, 4])
    (told,) = to_contract(read("gave b4 2 locusts", NOW, house))["entries"]
    assert (told["subjects"], told["quantity"]) == (["box 4"], [2, 2])


def test_a_short_name_is_not_the_word_it_could_be_short_for() -> None:
    """An animal called Em is not meant by "them"."""
    table = TABLE | {
        "occupants": [
            *TABLE["occupants"],
            {"name": "Empress", "aliases": ["Em"], "kind": "animal", "enclosure": "spare tub"},
        ]
    }
    house = roster_from_table(table)
    (told,) = to_contract(read("counted B, about 30 of them I think", NOW, house))["entries"]
    assert told["subjects"] == ["group B"]
    (told,) = to_contract(read("gave Em a hornworm", NOW, house))["entries"]
    assert told["subjects"] == ["Empress"]


def test_one_of_a_group() -> None:
    """Told with an article."""
    assert (
        entry("a stilt got eaten by its sibling")["kind"],
        entry("a stilt got eaten by its sibling")["subjects"],
    ) == ("death", ["the stilts"])


@pytest.mark.parametrize(
    "text",
    [
        "gave B a waxworm, whole lot feeding in a huddle",
        "gave B a waxworm and the whole gang of them are feeding in a huddle",
    ],
)
def test_a_crowd_is_that_of_those_told(text: str) -> None:
    """And not everybody."""
    assert [one["subjects"] for one in entries(text)] == [["group B"], ["group B"]]


def test_the_lot_is_everybody_after_a_round() -> None:
    """As "everyone" is, with exceptions told after the day too."""
    everyone = {HOUSE.place_of(name) for name in entry("misted everyone")["subjects"]}
    assert {HOUSE.place_of(name) for name in entry("misted the lot")["subjects"]} == everyone
    rest = {HOUSE.place_of(name) for name in entry("misted everyone today but B and the stilts")["subjects"]}
    assert everyone - rest == {"tub 2", "tall tank"}


def test_none_of_two_is_both_denied() -> None:
    """An "or" after "no" leaves nothing open."""
    assert (entry("no moults in B or C again")["kind"], entry("no moults in B or C again")["subjects"]) == (
        "note",
        ["group B", "group C"],
    )


def test_taken_up_and_put_elsewhere() -> None:
    """Who and how many are those taken up."""
    moved = entry("took 5 out of B and put them in the spare tub")
    assert (moved["kind"], moved["subjects"], moved["count"], moved["to"]) == ("move", ["group B"], [5, 5], "spare tub")


def test_a_lamp_over_a_place_is_of_that_place() -> None:
    """The place is named only by where the lamp is."""
    assert entry("the lamp above tub 2 was broken, put in a new bulb")["subjects"] == ["tub 2"]


def test_a_word_of_its_own_is_no_slip_for_a_name() -> None:
    """Unless it is the name in the singular; then whoever else it could be is asked about."""
    more = [
        {"name": "lower viv"},
        {"name": "Olives", "kind": "group", "enclosure": "bark jar"},
        {"name": "Oliver", "kind": "animal", "enclosure": "lower viv"},
    ]
    house = roster_from_table(
        {"zone": "UTC", "enclosures": [*TABLE["enclosures"], more[0]], "occupants": [*TABLE["occupants"], *more[1:]]}
    )
    assert read("olive ate 2 crickets", NOW, house).missing == ("subjects",)
    assert read("olivr ate 2 crickets", NOW, house).entries[0].subjects == ("Oliver",)
    assert read("fed the flower 3 roaches", NOW, house).missing == ("subjects",)
