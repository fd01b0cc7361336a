"""Rosters as tables: good ones are read and written back, bad ones are refused with a sentence each."""

from __future__ import annotations

from typing import Any

import pytest

from bot.language.roster import Enclosure, Occupant, Roster, RosterFault, roster_from_table, roster_to_table
from tests.language.house import HOUSE, TABLE

TUB = {"name": "tub 1"}
OONA = {"name": "Oona", "kind": "animal", "enclosure": "tub 1"}


def test_a_roster_is_written_back_as_it_was_read() -> None:
    """The table of a roster gives the same roster again."""
    again = roster_from_table(roster_to_table(HOUSE))
    assert (again.zone, again.enclosures, again.occupants) == (HOUSE.zone, HOUSE.enclosures, HOUSE.occupants)


def test_taught_words_go_with_the_roster() -> None:
    """The words taught are part of the table, and left out where there are none."""
    table = roster_to_table(roster_from_table({**TABLE, "vocabulary": {"RR": "red runner roach"}}))
    assert table["vocabulary"] == {"RR": "red runner roach"}
    assert "vocabulary" not in roster_to_table(HOUSE)


def test_what_is_not_known_is_not_written() -> None:
    """A table holds no empty lists and no fields without a value."""
    table = roster_to_table(Roster("UTC", (Enclosure("tub 1"),), (Occupant("Oona", "animal", "tub 1"),)))
    assert table["enclosures"] == [TUB]
    assert table["occupants"] == [OONA]


def test_defaults() -> None:
    """Without a zone it is UTC; without a kind one animal is an animal and several are a group; spaces are trimmed."""
    roster = roster_from_table(
        {
            "enclosures": [{"name": " tub 1 "}],
            "occupants": [{"name": "Oona", "enclosure": "TUB 1"}, {"name": "lot", "enclosure": "tub 1", "count": 9}],
        }
    )
    assert roster.zone == "UTC"
    assert [(item.kind, item.enclosure) for item in roster.occupants] == [("animal", "tub 1"), ("group", "tub 1")]
    assert roster_from_table({}).occupants == ()


@pytest.mark.parametrize(
    ("name", "place"),
    [("group B", "tub 2"), ("GROUP b", "tub 2"), ("Tub 2", "tub 2"), ("Mabel", "tub 5"), ("nobody", None)],
)
def test_where_a_name_lives(name: str, place: str | None) -> None:
    """A group lives in its tub, a tub is itself, a stranger nowhere; the case does not matter."""
    assert HOUSE.place_of(name) == place


BAD: list[tuple[str, dict[str, Any]]] = [
    ("Two enclosures on the roster are called 'tub 1'; each needs a name of its own.", {"enclosures": [TUB, {"name": "Tub 1"}]}),
    ("Two occupants on the roster are called 'oona'; each needs a name of its own.", {"enclosures": [TUB], "occupants": [OONA, {**OONA, "name": "oona"}]}),
    ("Oona is put in 'tub 9', which is no enclosure on the roster.", {"enclosures": [TUB], "occupants": [{**OONA, "enclosure": "tub 9"}]}),
    ("'Mars/Olympus' is no time zone; an IANA name such as Europe/Lisbon is wanted.", {"zone": "Mars/Olympus"}),
    ("'../etc' is no time zone; an IANA name such as Europe/Lisbon is wanted.", {"zone": "../etc"}),
    ("The roster's enclosures must be written as [[enclosures]] tables.", {"enclosures": {"name": "tub 1"}}),
    ("The roster's occupants must be written as [[occupants]] tables.", {"occupants": ["Oona"]}),
    ("One of the roster's enclosures has no name.", {"enclosures": [{}]}),
    ("One of the roster's enclosures has no name.", {"enclosures": [{"name": "  "}]}),
    ("One of the roster's enclosures has no name.", {"enclosures": [{"name": 7}]}),
    ("One of the roster's occupants has no name.", {"occupants": [{"enclosure": "tub 1"}]}),
    ("One of the roster's occupants has no enclosure.", {"occupants": [{"name": "Oona"}]}),
    ("The aliases of tub 1 must be a list of words.", {"enclosures": [{**TUB, "aliases": "t1"}]}),
    ("The tags of tub 1 must be a list of words.", {"enclosures": [{**TUB, "tags": [1]}]}),
    ("The size_cm of tub 1 must be three lengths above zero: width, depth, height.", {"enclosures": [{**TUB, "size_cm": [30, 20]}]}),
    ("The size_cm of tub 1 must be three lengths above zero: width, depth, height.", {"enclosures": [{**TUB, "size_cm": [30, 20, 0]}]}),
    ("The size_cm of tub 1 must be three lengths above zero: width, depth, height.", {"enclosures": [{**TUB, "size_cm": "30x20x15"}]}),
    ("Oona is of kind 'herd'; it must be a group or an animal.", {"enclosures": [TUB], "occupants": [{**OONA, "kind": "herd"}]}),
    ("The count of Oona must be a whole number, none below zero.", {"enclosures": [TUB], "occupants": [{**OONA, "count": -3}]}),
    ("The count of Oona must be a whole number, none below zero.", {"enclosures": [TUB], "occupants": [{**OONA, "count": 2.5}]}),
    ("The count of Oona must be a whole number, none below zero.", {"enclosures": [TUB], "occupants": [{**OONA, "count": True}]}),
]  # fmt: skip


@pytest.mark.parametrize(("sentence", "table"), BAD)
def test_a_bad_roster_is_refused_with_a_sentence(sentence: str, table: dict[str, Any]) -> None:
    """What is wrong is said in one sentence that names it."""
    with pytest.raises(RosterFault) as fault:
        roster_from_table(table)
    assert str(fault.value) == sentence
