"""Whom a message names: one, lists, ranges, tags, species, all but, typos, and names that fit two."""

from __future__ import annotations

import pytest

from bot.language import read
from bot.language.roster import Roster, roster_from_table
from tests.language.house import HOUSE, NOW, contract, entry, meaning, missing

PLACES = [place.name for place in HOUSE.enclosures]
LIVED_IN = [name for name in PLACES if name != "spare tub"]
POTS = ["pot 1", "pot 2", "pot 3", "pot 4"]


def fed(whom: str) -> list[str]:
    """The places that "fed …" says were fed."""
    return sorted({HOUSE.place_of(name) or name for name in entry(f"fed {whom}")["subjects"]})


@pytest.mark.parametrize(
    ("places", "wordings"),
    [
        (["tub 2"], ["B", "b", "group B", "Group b", "tub 2", "TUB 2", "t2", "tub two", "tub #2", "tub no 2", "tub number 2", "the B"]),
        (["tub 5"], ["Mabel", "mabel", "MABEL", "mabel the tarantula", "tub 5"]),
        (["tall tank"], ["the stilts", "stilts", "tall tank", "the tower", "tower", "the tall tank"]),
        (["glass cube"], ["clove", "Clove", "the glass cube", "glass cube", "the cube"]),
        (["pot 3"], ["sling 3", "pot 3", "sling three", "pot three"]),
        (["roach bin"], ["the dubia colony", "the roach bin"]),
    ],
)  # fmt: skip
def test_one_name(places: list[str], wordings: list[str]) -> None:
    """A name, an alias, the place lived in, whatever the case, with or without the article, figures or words."""
    for words in wordings:
        assert fed(words) == places, words


@pytest.mark.parametrize(
    ("places", "wordings"),
    [
        (["tub 2", "tub 4"], ["B and D", "B & D", "B + D", "B, D", "b n d", "both B and D", "groups B and D", "B plus D", "tubs 2 and 4", "tub 2 and tub 4", "t2 and t4", "B as well as D"]),
        (["tub 1", "tub 2", "tub 4"], ["A, B and D", "A, B, D", "A, B, and D", "tubs 1, 2 and 4", "tub 1, tub 2 and tub 4", "tubs one two and four", "groups A, B and D"]),
        (["tub 5", "glass cube"], ["mabel and clove", "Mabel, Clove", "clove and tub 5"]),
        (["tub 1", "tub 2", "tub 3"], ["tubs 1-3", "tubs 1 to 3", "tubs 1 through 3", "tubs 1 - 3", "t1-t3", "tub 1 to tub 3", "groups A to C", "groups A-C"]),
        (["pot 2", "pot 3"], ["pots 2-3", "slings 2-3", "slings 2 and 3", "pots two and three"]),
        (["pot 1", "pot 2", "tub 4"], ["pots 1 and 2 and D", "sling 1, sling 2 and D"]),
    ],
)  # fmt: skip
def test_several_names(places: list[str], wordings: list[str]) -> None:
    """Lists and ranges name every one of them, and one act on several is one entry."""
    for words in wordings:
        assert fed(words) == sorted(places), words


@pytest.mark.parametrize(
    ("places", "wordings"),
    [
        (["tub 1", "tub 2"], ["shelf 1", "the tubs on shelf 1", "all of shelf 1", "everyone on shelf 1"]),
        (POTS, ["the slings", "all slings", "all the slings", "all pots", "the pots", "the nursery", "every sling", "slings 1-4", "all four slings", "pots 1 to 4"]),
        (["tub 1", "tub 2"], ["the inceis", "all incei", "Neoholothele incei", "the neoholotheles"]),
        (["tub 3"], ["villosella", "the Heterothele"]),
        (["bark jar", "moss jar"], ["the irminias", "both irminias", "Psalmopoeus irminia"]),
        (["tall tank", "tub 4"], ["the damons", "all Damon"]),
        (["tub 1", "tub 2", "tub 3", "tall tank", "roach bin", "tub 4"], ["all groups", "all the groups"]),
        (LIVED_IN, ["everyone", "everybody", "all", "everything", "all the animals"]),
    ],
)  # fmt: skip
def test_a_tag_a_species_or_everyone(places: list[str], wordings: list[str]) -> None:
    """A tag names every enclosure that carries it, a species each of its own, "everyone" all that are lived in."""
    for words in wordings:
        assert fed(words) == sorted(places), words


@pytest.mark.parametrize(
    ("gone", "wordings"),
    [
        (["tub 2"], ["all but B", "everyone but B", "everyone except B", "all except for B", "everyone apart from B", "everybody bar B", "everyone besides B", "everyone other than B", "everyone, except B"]),
        (["tub 2", "tub 4"], ["all but B and D", "everyone except B and D", "everyone but tubs 2 and 4", "everyone except B, D"]),
        (POTS, ["everyone but the slings", "all except the nursery", "everyone but the pots"]),
        (["roach bin"], ["everyone but the feeders", "all but the roach bin"]),
    ],
)  # fmt: skip
def test_all_but_some(gone: list[str], wordings: list[str]) -> None:
    """An exception takes away those it names and nobody else."""
    for words in wordings:
        assert fed(words) == sorted(set(LIVED_IN) - set(gone)), words


@pytest.mark.parametrize(
    ("places", "wordings"),
    [
        (["pot 1", "pot 2", "pot 4"], ["the slings except 3", "slings bar 3", "all slings but sling 3", "all pots but pot 3", "all the slings except sling 3"]),
        (["tub 1"], ["shelf 1 except B", "shelf 1 except tub 2"]),
    ],
)  # fmt: skip
def test_some_but_one(places: list[str], wordings: list[str]) -> None:
    """A tag or a plural may have its exception too."""
    for words in wordings:
        assert fed(words) == places, words


@pytest.mark.parametrize(
    ("place", "wordings"),
    [
        ("tub 5", ["mable", "mabell", "maebl", "mabal", "Mabeel"]),
        ("glass cube", ["clvoe", "cloev", "clovee"]),
        ("tall tank", ["stlits", "stilt", "stiltz", "the towwer"]),
        ("pot 2", ["slng 2", "silng 2"]),
    ],
)
def test_one_typo_in_a_name_is_understood(place: str, wordings: list[str]) -> None:
    """A letter wrong, missing, doubled or swapped in a name of four letters or more still finds it."""
    for words in wordings:
        assert fed(words) == [place], words


@pytest.mark.parametrize(
    "text",
    [
        "fed rulla a cricket",
        "rulla ate",
        "fed the jar a cricket",
        "fed the jar",
    ],
)
def test_a_name_that_two_fit_is_asked_about(text: str) -> None:
    """Where two names fit alike, it asks which, and each choice is one of those that fit."""
    assert missing(text) == ["subjects"], text
    labels = {choice.label for choice in meaning(text).choices}
    assert labels, text
    assert labels <= {"Rilla", "Rolla", "bark jar", "moss jar"}


@pytest.mark.parametrize(
    "text",
    [
        "fed Q",
        "fed Bartholomew 3 crickets",
        "fed group F two roaches",
        "fed tub 9",
        "Zebedee moulted",
        "fed 3 crickets",
        "misted",
        "fed pot 7 a cricket",
    ],
)
def test_a_name_that_nobody_has_is_asked_about(text: str) -> None:
    """A strange name, a number past the last tub, or no name at all: it asks whom."""
    assert missing(text) == ["subjects"], text


def test_a_place_alone_needs_no_name() -> None:
    """With one place on the roster, an act without a name is its."""
    table = {
        "enclosures": [{"name": "the box"}],
        "occupants": [{"name": "Oona", "kind": "animal", "enclosure": "the box"}],
    }
    found = read("fed 3 crickets", NOW, roster_from_table(table))
    assert (found.intent, found.entries[0].subjects) == ("log", ("Oona",))


@pytest.mark.parametrize("text", ["fed q 2 crickets", "misted e", "fed Q 3 roaches"])
def test_a_letter_that_nobody_bears_is_asked_about_even_where_one_lives_alone(text: str) -> None:
    """Its case does not matter, and the only group there is does not get what was said of somebody else."""
    roster = roster_from_table(
        {
            "zone": "Europe/Lisbon",
            "enclosures": [{"name": "tub 4"}],
            "occupants": [{"name": "group B", "kind": "group", "enclosure": "tub 4"}],
        }
    )
    found = read(text, NOW, roster)
    assert found.intent == "unclear"
    assert found.missing == ("subjects",)


def test_an_empty_roster_names_nobody() -> None:
    """Without anybody on the roster, every act asks whom and nothing fails."""
    for text in ("fed B", "fed everyone", "all moulted", "B", "fed all but B"):
        assert read(text, NOW, Roster()).intent in {"unclear", "chat"}, text


@pytest.mark.parametrize(
    ("text", "subjects"),
    [
        ("A moult in B", ["group B"]),
        ("a moult in B", ["group B"]),
        ("fed A", ["group A"]),
        ("I fed D", ["group D"]),
        ("A ate, D did not", ["group A"]),
        ("fed D 3 crickets", ["group D"]),
        ("B: 3 crickets", ["group B"]),
        ("in tub 3 two moults", ["tub 3"]),
    ],
)
def test_a_letter_is_a_name_only_where_it_stands_as_one(text: str, subjects: list[str]) -> None:
    """The article "a", the pronoun "I" and the letters of units are not the groups of those letters."""
    found = contract(text)
    assert found["entries"][0]["subjects"] == subjects


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("fed tub 1 2 crickets", {"tub 1": [2, 2]}),
        ("fed tub 1, 2 crickets", {"tub 1": [2, 2]}),
        ("fed tub 1 2 crickets and tub 2 3 crickets", {"tub 1": [2, 2], "tub 2": [3, 3]}),
        ("pot 1 2 crickets, pot 2 3 roaches", {"pot 1": [2, 2], "pot 2": [3, 3]}),
        ("fed the slings 2 crickets", {pot: [2, 2] for pot in ("sling 1", "sling 2", "sling 3", "sling 4")}),
        ("fed A 6 roaches, B 4", {"group A": [6, 6], "group B": [4, 4]}),
    ],
)
def test_a_number_belongs_to_the_place_or_to_the_prey(text: str, counts: dict[str, list[int]]) -> None:
    """The number before prey is a quantity, the one after the word for a place is its name."""
    found = contract(text)["entries"]
    assert {name: each["quantity"] for each in found for name in each["subjects"]} == counts
