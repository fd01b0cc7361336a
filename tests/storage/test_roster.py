"""Collections, members, the roster and its names; every change is recorded."""

from __future__ import annotations

import pytest
from sqlalchemy.exc import IntegrityError

from storage import changes, households, journal, roster, vocabulary
from storage.changes import Cause
from storage.faults import NameTaken
from storage.journal import Subject
from storage.roster import EnclosureRow, OccupantRow
from tests.storage.keeper import NOW, Keeper, day


def places(keeper: Keeper, *, closed: bool = False) -> dict[str, EnclosureRow]:
    return {row.name: row for row in roster.load(keeper.session, keeper.collection_id, closed).enclosures}


def animals(keeper: Keeper, *, closed: bool = False) -> dict[str, OccupantRow]:
    return {row.name: row for row in roster.load(keeper.session, keeper.collection_id, closed).occupants}


def test_a_collection_keeps_its_zone_and_units(keeper: Keeper) -> None:
    """Both may be changed; other collections are not touched."""
    session = keeper.session
    other = households.create_collection(session, "shed", "America/New_York", "imperial")
    households.set_zone(session, other, "America/Chicago")
    households.set_units(session, other, "metric")
    session.expire_all()
    assert households.collection(session, other) == households.CollectionRow(other, "shed", "America/Chicago", "metric")
    assert [row.zone for row in households.collections(session)] == ["Europe/Lisbon", "America/Chicago"]
    with pytest.raises(LookupError):
        households.collection(session, 99)


def test_an_address_is_one_member(keeper: Keeper) -> None:
    """A member is found by channel and address; the same address cannot be let in twice."""
    session = keeper.session
    found = households.member_by_address(session, "console", "ana")
    assert found == households.MemberRow(keeper.member_id, keeper.collection_id, "console", "ana", "Ana", "owner")
    assert households.members(session, keeper.collection_id) == [found]
    assert households.member_by_address(session, "matrix", "ana") is None
    with pytest.raises(IntegrityError), session.begin_nested():
        households.add_member(session, keeper.collection_id, "console", "ana", "Ana", "viewer", NOW)


def test_the_roster_says_who_lives_where(keeper: Keeper) -> None:
    """Places with aliases, tags and size; occupants with what was given, and the place of the journal."""
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    roster.set_size(keeper.session, keeper.tub, (30, 20, 15.5))
    roster.set_species(keeper.session, keeper.dwarfs, "Neoholothele incei")
    keeper.session.expire_all()
    assert places(keeper)["tub 4"] == EnclosureRow(keeper.tub, "tub 4", ("t4",), ("shelf 2",), (30, 20, 15.5), None)
    assert animals(keeper)["group B"] == OccupantRow(
        keeper.dwarfs, "group B", "group", "Neoholothele incei", (), keeper.tub, 42, None
    )
    assert animals(keeper)["Sid"].enclosure_id is None
    roster.set_size(keeper.session, keeper.tub, None)
    assert places(keeper)["tub 4"].size_cm is None


def test_names_in_use_are_unique(keeper: Keeper) -> None:
    """Whatever the case and the spaces; a place and an animal may share a name; another collection may use it too."""
    session = keeper.session
    with pytest.raises(NameTaken, match="a place called tub 4 already"):
        roster.add_enclosure(session, keeper.collection_id, " TUB  4")
    with pytest.raises(NameTaken, match="a group or animal called Sid already"):
        roster.add_occupant(session, keeper.collection_id, "sid", "animal")
    with pytest.raises(NameTaken):
        roster.rename_enclosure(session, keeper.cube, "Tub 4")
    with pytest.raises(NameTaken):
        roster.rename_occupant(session, keeper.scorpion, "GROUP B")
    roster.add_enclosure(session, keeper.collection_id, "Sid")
    other = households.create_collection(session, "shed", "UTC")
    roster.add_enclosure(session, other, "tub 4")
    assert set(places(keeper)) == {"tub 4", "glass cube", "Sid"}


def test_a_rename_keeps_the_old_name_as_an_alias(keeper: Keeper) -> None:
    """Renaming back takes the alias off again; a mere change of case leaves none."""
    session = keeper.session
    roster.rename_enclosure(session, keeper.tub, "pot 9")
    assert places(keeper)["pot 9"].aliases == ("t4", "tub 4")
    roster.rename_enclosure(session, keeper.tub, "tub 4")
    assert places(keeper)["tub 4"].aliases == ("t4", "pot 9")
    roster.rename_enclosure(session, keeper.tub, "Tub 4")
    assert places(keeper)["Tub 4"].aliases == ("t4", "pot 9")
    roster.rename_occupant(session, keeper.dwarfs, "the shy ones")
    assert animals(keeper)["the shy ones"].aliases == ("group B",)


def test_a_closed_place_frees_its_name(keeper: Keeper) -> None:
    """It is loaded only on demand; it cannot be opened again while another bears its name."""
    session = keeper.session
    roster.close_enclosure(session, keeper.tub, day(8))
    assert set(places(keeper)) == {"glass cube"}
    assert places(keeper, closed=True)["tub 4"].closed_on == day(8)
    roster.rename_enclosure(session, keeper.tub, "old tub")
    roster.rename_enclosure(session, keeper.tub, "tub 4")
    again = roster.add_enclosure(session, keeper.collection_id, "tub 4")
    with pytest.raises(NameTaken):
        roster.close_enclosure(session, keeper.tub, None)
    roster.close_enclosure(session, again, day(9))
    roster.close_enclosure(session, keeper.tub, None)
    assert places(keeper)["tub 4"].id == keeper.tub


def test_an_ended_occupant_frees_its_name(keeper: Keeper) -> None:
    """The same for groups and animals."""
    session = keeper.session
    roster.end_occupant(session, keeper.scorpion, day(8))
    assert set(animals(keeper)) == {"group B"}
    assert animals(keeper, closed=True)["Sid"].ended_on == day(8)
    roster.add_occupant(session, keeper.collection_id, "Sid", "animal")
    with pytest.raises(NameTaken):
        roster.end_occupant(session, keeper.scorpion, None)


def test_an_alias_or_tag_given_twice_is_there_once(keeper: Keeper) -> None:
    """Nor is a thing's own name an alias of it."""
    session = keeper.session
    roster.add_alias(session, enclosure_id=keeper.tub, alias="T4")
    roster.add_alias(session, enclosure_id=keeper.tub, alias="tub 4")
    roster.add_alias(session, occupant_id=keeper.dwarfs, alias="B")
    roster.add_tags(session, keeper.tub, ["Shelf 2", "slings", "SLINGS"])
    roster.add_tags(session, keeper.tub, ["slings"])
    assert (places(keeper)["tub 4"].aliases, places(keeper)["tub 4"].tags) == (("t4",), ("shelf 2", "SLINGS"))
    assert animals(keeper)["group B"].aliases == ("B",)
    with pytest.raises(ValueError, match="place or"):
        roster.add_alias(session, alias="nothing")


def test_every_change_is_recorded_with_its_cause(keeper: Keeper) -> None:
    """Action, what it was before, who, by which message, when and in which words."""
    cause = Cause(keeper.member_id, keeper.message("rename tub 4 to pot 9"), NOW, "rename tub 4 to pot 9")
    roster.rename_enclosure(keeper.session, keeper.tub, "pot 9", cause)
    roster.close_enclosure(keeper.session, keeper.cube, day(8))
    keeper.session.expire_all()
    rows = changes.changes(keeper.session, keeper.collection_id)
    rename, close = rows[-2:]
    assert rename.cause == cause
    assert rename.what == {
        "action": "rename",
        "was": "tub 4",
        "name": "pot 9",
        "enclosure_id": keeper.tub,
        "occupant_id": None,
    }
    assert (close.cause, close.what["on"]) == (Cause(), "2026-03-08")
    assert [row.what["action"] for row in rows[:3]] == ["add_enclosure", "add_alias", "add_tags"]


def test_lineage_holds_as_long_as_its_entry(keeper: Keeper) -> None:
    """A corrected split is still a split; one that is taken back is none."""
    session = keeper.session
    part = roster.add_occupant(session, keeper.collection_id, "group B2", "group")
    split = keeper.move(Subject(keeper.dwarfs), keeper.cube, day(5))
    roster.add_lineage(session, part, keeper.dwarfs, "split", split, day(5))
    roster.add_lineage(session, part, keeper.scorpion, "join", None, None)
    corrected = keeper.write("move", Subject(keeper.dwarfs), day(6), supersedes=split)
    assert [(row.parent_id, row.how, row.on) for row in roster.parents(session, part)] == [
        (keeper.dwarfs, "split", day(5)),
        (keeper.scorpion, "join", None),
    ]
    assert [row.child_id for row in roster.children(session, keeper.dwarfs)] == [part]
    keeper.take_back(corrected)
    assert roster.children(session, keeper.dwarfs) == []
    assert [row.how for row in roster.parents(session, part)] == ["join"]
    assert not journal.entry(session, corrected).current


def test_the_last_word_on_a_phrase_holds(keeper: Keeper) -> None:
    """Teaching again replaces, forgetting takes away, whatever the case; all of it stays on record."""
    session, collection_id = keeper.session, keeper.collection_id
    cause = (keeper.member_id, keeper.message("RR means red runner roach"), NOW)
    vocabulary.teach(session, collection_id, "RR", "red runner", *cause)
    vocabulary.teach(session, collection_id, "rr", "red runner roach", *cause)
    vocabulary.teach(session, collection_id, "the shy ones", "group B")
    assert vocabulary.vocabulary(session, collection_id) == {"rr": "red runner roach", "the shy ones": "group B"}
    assert vocabulary.forget(session, collection_id, "RR", *cause)
    assert not vocabulary.forget(session, collection_id, "RR", *cause)
    assert vocabulary.vocabulary(session, collection_id) == {"the shy ones": "group B"}
    vocabulary.teach(session, collection_id, "RR", "rusty red")
    assert vocabulary.vocabulary(session, collection_id)["RR"] == "rusty red"
    assert vocabulary.vocabulary(session, collection_id + 1) == {}
