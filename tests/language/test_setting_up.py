"""Set-up by talking: places and occupants added, renamed, measured, tagged, closed; words taught and forgotten."""

from __future__ import annotations

from typing import Any

import pytest

from bot.language import read
from bot.language.contract import entry_to_contract, to_contract
from bot.language.roster import Roster, roster_from_table
from bot.language.setting_up import known
from tests.language.house import HOUSE, NOW, TABLE, meaning


def setup(text: str, roster: Roster = HOUSE) -> tuple[str, dict[str, Any]]:
    """The action and the fields of a message that sets something up."""
    found = read(text, NOW, roster)
    assert found.setup is not None, (text, found.intent)
    assert found.intent == "setup"
    return found.setup.action, dict(found.setup.fields)


def taught(**vocabulary: str) -> Roster:
    """The house, with words its keeper has taught."""
    return roster_from_table({**TABLE, "vocabulary": vocabulary})


SETTING_UP: list[tuple[str, dict[str, Any], list[str]]] = [
    ("add", {"name": "group E", "kind": "group", "count": [42, 42], "species": "Neoholothele incei", "enclosure": "tub 7", "tags": ("shelf 2",)}, ["add group E, 42 Neoholothele incei, in tub 7 on shelf 2", "Please add group E, 42 Neoholothele incei, in the tub 7 on the shelf 2.", "add group E 42 Neoholothele incei in tub 7 on shelf 2"]),
    ("add", {"name": "Basil", "kind": "animal", "species": "Correlophus ciliatus", "enclosure": "viv 3"}, ["add Basil, a Correlophus ciliatus, in viv 3", "add animal Basil, Correlophus ciliatus, in viv 3"]),
    ("add", {"name": "brood 1", "kind": "group", "count": [60, 60], "parent": "group B", "enclosure": "pot 9"}, ["add brood 1, 60 from B in pot 9", "add brood 1, 60 from B's sac in pot 9"]),
    ("add", {"name": "group E", "kind": "group", "count": [45, 55], "enclosure": "tub 7"}, ["add group E, about 50, in tub 7"]),
    ("add_place", {"name": "tub 7"}, ["add tub 7", "create tub 7", "set up a new tub 7", "add the tub 7", "could you add tub 7"]),
    ("add_place", {"name": "tub 7", "tags": ("shelf 1",), "size_cm": (30.0, 20.0, 15.0)}, ["add tub 7 on shelf 1, 30x20x15 cm", "add tub 7 on shelf 1, 30 x 20 x 15"]),
    ("add_place", {"name": "tub 7", "size_cm": (30.48, 20.32, 15.24)}, ["add tub 7, 12x8x6 inches"]),
    ("rename", {"name": "group B", "to": "the shy ones"}, ["rename B to the shy ones", "rename group B as the shy ones", "please rename B to 'the shy ones'", "call B 'the shy ones'"]),
    ("rename", {"name": "tub 4", "to": "tub 40"}, ["rename tub 4 to tub 40.", "rename t4 to tub 40"]),
    ("size", {"name": "tub 4", "size_cm": (30.0, 20.0, 15.0)}, ["tub 4 is 30x20x15 cm", "tub 4 is 30 x 20 x 15", "tub 4 measures 30 by 20 by 15 cm", "tub 4 is 300x200x150mm", "t4 is 30\u00d720\u00d715 cm", "group D is 30x20x15cm"]),
    ("size", {"name": "tub 4", "size_cm": (30.48, 20.32, 15.24)}, ["tub 4 is 12x8x6 inches"]),
    ("close", {"name": "tub 4"}, ["close tub 4", "retire tub 4", "close down tub 4.", "please close t4"]),
    ("tag", {"name": "tub 4", "tags": ("warm",)}, ["tag tub 4 as warm", "tag D with warm", "label tub 4 as 'warm'"]),
    ("tag", {"name": "tub 4", "tags": ("warm", "dark")}, ["tag tub 4 as warm and dark", "tag tub 4 with warm, dark"]),
    ("tag", {"name": "tub 4", "tags": ("top shelf",)}, ["tub 4 is on the top shelf", "tub 4 is now on top shelf"]),
    ("alias", {"phrase": "the shy ones", "name": "group B"}, ["the shy ones is group B", "the shy ones are B", "the shy ones means group B", "the shy ones = B"]),
    ("teach", {"phrase": "RR", "means": "red runner roach"}, ["RR means red runner roach", "RR = red runner roach", "RR stands for red runner roach", "RR is short for red runner roach"]),
    ("zone", {"zone": "Europe/Lisbon"}, ["my timezone is Europe/Lisbon", "time zone is Europe/Lisbon"]),
]  # fmt: skip


@pytest.mark.parametrize(("action", "want", "texts"), SETTING_UP)
def test_a_set_up(action: str, want: dict[str, Any], texts: list[str]) -> None:
    """Each wording sets up the same thing, with names as the keeper spells them."""
    for text in texts:
        assert setup(text) == (action, want), text


@pytest.mark.parametrize(
    "text",
    ["add water to B", "add 3 crickets to B", "add a note to B", "close", "rename", "rename B", "B is hiding", "B is fat", "that is B", "what is B", "is B hungry?", "tub 4 is 24 degrees", "close the lid of Zed", "tub 99 is 30x20x15", "it means trouble", "that = B", "forget it", "forget the last one", "tag Zed as warm", "a\nb is B"],
)  # fmt: skip
def test_no_set_up(text: str) -> None:
    """Words that look like set-up but name no one, or tell an act, set nothing up."""
    assert meaning(text).intent != "setup"


def test_set_up_is_chat_in_the_contract() -> None:
    """The contract knows no set-up: it is "chat" there, with what is set up beside it."""
    assert to_contract(meaning("close tub 4")) == {"intent": "chat", "setup": {"action": "close", "name": "tub 4"}}


@pytest.mark.parametrize(
    ("vocabulary", "text", "want"),
    [
        ({"RR": "red runner roach"}, "fed B 3 RR", {"prey": "red runner roach", "quantity": [3, 3]}),
        ({"RR": "red runner roach"}, "fed B 3 rr", {"prey": "red runner roach", "quantity": [3, 3]}),
        ({"RR": "red runners"}, "fed B 3 RR", {"prey": "red runner roach", "quantity": [3, 3]}),
        ({"wrigglers": "mealworms"}, "fed B 5 wrigglers", {"prey": "mealworm", "quantity": [5, 5]}),
        ({"the shy ones": "group B"}, "fed the shy ones 3 crickets", {"subjects": ["group B"], "prey": "cricket"}),
        ({"quenched": "misted"}, "quenched B", {"kind": "misting", "subjects": ["group B"]}),
    ],
)
def test_a_taught_word_is_used(vocabulary: dict[str, str], text: str, want: dict[str, Any]) -> None:
    """A word that the keeper has taught means what it was taught to mean, whatever its case."""
    found = read(text, NOW, taught(**vocabulary))
    assert found.intent == "log"
    told = entry_to_contract(found.entries[0])
    assert {name: told.get(name) for name in want} == want


@pytest.mark.parametrize("text", ["fed B 3 RR", "fed B 3 rr"])
def test_a_word_not_taught_means_nothing(text: str) -> None:
    """The same word before it is taught is no prey."""
    assert all("prey" not in entry.fields for entry in meaning(text).entries)


@pytest.mark.parametrize("text", ["forget RR", "forget rr", "forget the word RR", "forget what RR means", "unlearn RR"])
def test_a_taught_word_is_forgotten(text: str) -> None:
    """What was taught can be forgotten again."""
    action, fields = setup(text, taught(RR="red runner roach"))
    assert action == "forget"
    assert fields["phrase"].lower() == "rr"


@pytest.mark.parametrize(
    ("name", "whose"),
    [
        ("B", "group B"),
        ("group b", "group B"),
        ("t4", "tub 4"),
        ("The Stilts", "the stilts"),
        ("stilts", "the stilts"),
        ("Zed", None),
        ("", None),
        ("nursery", None),
        ("'B'", "group B"),
    ],
)
def test_whose_a_name_is(name: str, whose: str | None) -> None:
    """A name or an alias is somebody's; a tag and a strange word are nobody's."""
    assert known(name, HOUSE) == whose


@pytest.mark.parametrize("text", ["add !", "add ,", "add the ."])
def test_adding_nothing_sets_nothing_up(text: str) -> None:
    """Marks alone are no name."""
    assert read(text, NOW, HOUSE).setup is None
