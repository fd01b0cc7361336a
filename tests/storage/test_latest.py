"""What matters now of a whole collection is what the walk of each single history gives, found in a few statements."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

import storage.latest
from storage import journal, roster
from storage.journal import NewEntry, Subject
from storage.latest import Mark, Scope, latest
from storage.plans import plans
from storage.store import Store
from tests import databases
from tests.storage.keeper import NOW, ZONE, Keeper, day
from tests.storage.statements import sqlite_steps, statements_of
from tests.storage.test_model import KINDS, Both, steps

LONG_AGO = date(2020, 1, 1)
LATER = date(2026, 12, 31)


def test_the_newest_of_each_kind_and_all_since_a_day(keeper: Keeper) -> None:
    """Of five feedings the two newest count, or all since the 2nd where that is more; other kinds are not crowded out."""
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    fed = [keeper.write("feeding", Subject(keeper.dwarfs), day(number)) for number in range(1, 6)]
    moulted = keeper.write("moult", Subject(keeper.dwarfs), day(1))
    few = latest(keeper.session, Scope(keeper.collection_id), LATER, 2).of_occupants[keeper.dwarfs]
    assert [note.id for note in few if note.kind == "feeding"] == [fed[4], fed[3]]
    assert [note.id for note in few if note.kind == "moult"] == [moulted]
    many = latest(keeper.session, Scope(keeper.collection_id), day(2), 2).of_occupants[keeper.dwarfs]
    assert [note.id for note in many if note.kind == "feeding"] == fed[:0:-1]


def test_what_was_taken_back_or_corrected_takes_no_place(keeper: Keeper) -> None:
    """Two newest means the two newest that still hold; a correction stands for what it corrects."""
    fed = [keeper.write("feeding", Subject(keeper.dwarfs), day(number)) for number in range(1, 6)]
    keeper.take_back(fed[4])
    corrected = keeper.write("feeding", Subject(keeper.dwarfs), day(3), supersedes=fed[3], outcome="refused")
    found = latest(keeper.session, Scope(keeper.collection_id), LATER, 2).of_occupants[keeper.dwarfs]
    assert [note.id for note in found] == [corrected, fed[2]]
    assert found[0].fields == {"outcome": "refused"}
    assert (found[0].on, found[0].mood, found[0].words) == (day(3), "log", "feeding it")


def test_entries_of_the_place_count_while_it_lived_there(keeper: Keeper) -> None:
    """A feeding told of the tub counts for the group only from its stay; the place keeps all that names it."""
    before = keeper.write("feeding", Subject(enclosure_id=keeper.cube), day(2))
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    in_tub = keeper.write("feeding", Subject(enclosure_id=keeper.tub), day(3))
    keeper.move(Subject(keeper.dwarfs), keeper.cube, day(5))
    after_it_left = keeper.write("feeding", Subject(enclosure_id=keeper.tub), day(6))
    in_cube = keeper.write("feeding", Subject(enclosure_id=keeper.cube), day(7))
    found = latest(keeper.session, Scope(keeper.collection_id), LATER, 5)
    assert [note.id for note in found.of_occupants[keeper.dwarfs] if note.kind == "feeding"] == [in_cube, in_tub]
    assert [note.id for note in found.of_enclosures[keeper.cube]] == [in_cube, before]
    assert [note.id for note in found.of_enclosures[keeper.tub]] == [after_it_left, in_tub]
    home = found.homes[keeper.dwarfs]
    assert (home.enclosure_id, home.since) == (keeper.cube, day(5))
    assert journal.entry(keeper.session, home.entry_id).kind == "move"


def test_who_has_ended_and_what_is_closed_is_left_out(keeper: Keeper) -> None:
    """Only those who live and places in use are told of; another collection's are not."""
    keeper.place(keeper.scorpion, keeper.tub, day(1))
    keeper.write("feeding", Subject(keeper.scorpion), day(2))
    keeper.write("cleaning", Subject(enclosure_id=keeper.cube), day(2))
    roster.end_occupant(keeper.session, keeper.scorpion, day(3))
    roster.close_enclosure(keeper.session, keeper.cube, day(3))
    found = latest(keeper.session, Scope(keeper.collection_id), LONG_AGO, 5)
    assert (found.of_occupants, found.of_enclosures, found.homes) == ({}, {}, {})
    assert latest(keeper.session, Scope(keeper.collection_id + 1), LONG_AGO, 5).of_occupants == {}


def test_a_seldom_entry_is_found_among_many_of_its_kind(keeper: Keeper) -> None:
    """The newest full clean comes though five spot cleans are newer, once, unless it was taken back or lies too far back."""
    tub = Subject(enclosure_id=keeper.tub)
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    full = [keeper.write("cleaning", tub, day(number), scope="full") for number in (1, 2, 3)]
    keeper.take_back(full[2])
    for number in range(4, 9):
        keeper.write("cleaning", tub, day(number), scope="spot")

    def cleaned(since: date, each: int = 2) -> list[int]:
        mark = Mark("cleaning", '"scope": "full"', since)
        found = latest(keeper.session, Scope(keeper.collection_id), LATER, each, [mark])
        scopes = [note for note in found.of_enclosures[keeper.tub] if note.fields["scope"] == "full"]
        assert all(note in found.of_occupants[keeper.dwarfs] for note in scopes)
        return [note.id for note in scopes]

    assert cleaned(LONG_AGO) == [full[1]]
    assert cleaned(day(3)) == []
    assert cleaned(LONG_AGO, each=99) == [full[1], full[0]]


def test_only_what_is_in_scope_is_read(keeper: Keeper) -> None:
    """Asked of one group and its place, nothing of the others is told."""
    keeper.place(keeper.dwarfs, keeper.tub, day(1))
    keeper.place(keeper.scorpion, keeper.cube, day(1))
    for place in (keeper.tub, keeper.cube):
        keeper.write("feeding", Subject(enclosure_id=place), day(2))
    found = latest(keeper.session, Scope(keeper.collection_id, {keeper.dwarfs}, {keeper.tub}), LONG_AGO, 5)
    assert [note.kind for note in found.of_occupants[keeper.dwarfs]] == ["feeding", "placed"]
    assert [set(found.of_occupants), set(found.of_enclosures)] == [{keeper.dwarfs}, {keeper.tub}]


def test_plans_stand_with_their_subjects(keeper: Keeper) -> None:
    """Plans without a day, coming ones and repeating ones of old are told; single ones from before the day are not."""
    both = (Subject(keeper.dwarfs), Subject(enclosure_id=keeper.cube))

    def plan(on: date | None, *subjects: Subject, **fields: object) -> int:
        new = NewEntry("check", "plan", on, None, None, ZONE, fields, subjects)
        return journal.append(keeper.session, keeper.collection_id, keeper.member_id, None, NOW, [new])[0]

    repeating = plan(day(1), *both, every_days=7)
    plan(day(2), *both)
    coming, undated, taken_back = plan(day(20)), plan(None, both[0]), plan(day(20))
    keeper.take_back(taken_back)
    found = [(one.note.id, one.subjects) for one in plans(keeper.session, keeper.collection_id, day(10))]
    assert found == [(repeating, both), (coming, ()), (undated, both[:1])]


@pytest.fixture(scope="module")
def shared(empty_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """A store for this module; every example ends without a commit."""
    folder = databases.copy(empty_folder, tmp_path_factory.mktemp("latest") / "data")
    opened = Store.open(databases.of(folder))
    yield opened
    opened.close()


@pytest.mark.slow
@settings(max_examples=100, suppress_health_check=[HealthCheck.too_slow])
@given(steps=steps)
def test_it_is_what_the_walks_give(shared: Store, steps: list[tuple[str, dict[str, object], int]]) -> None:
    """For any journal, the newest two of each kind of each occupant are those of its own history."""
    with pytest.MonkeyPatch.context() as patch, databases.passing(shared) as session:
        patch.setattr(storage.latest, "EARLIER_HOMES", 99)
        both = Both(session)
        for step, drawn, chosen in steps:
            earlier = both.model.acts[chosen % len(both.model.acts)] if both.model.acts else None
            if step == "retract" and earlier is not None:
                both.retract(earlier)
            else:
                both.write(drawn, earlier if step == "correct" else None)
        found = latest(session, Scope(both.collection_id), LATER, 2)
        for occupant_id in both.occupants:
            notes = found.of_occupants.get(occupant_id, ())
            for kind in KINDS:
                walked = journal.last_of_kind(session, occupant_id=occupant_id, kind=kind, limit=2)
                mine = [note.id for note in notes if note.kind == kind]
                assert mine[:2] == [row.id for row in walked]


@pytest.mark.sqlite_only("by the words in which it explains its plans")
def test_every_statement_searches_its_index(store: Store) -> None:
    """SQLite's own plan: entries and their subjects are never scanned, and each stretch of the index is bounded by moment."""
    with store.write() as session:
        keeper = Keeper(session)
        keeper.place(keeper.dwarfs, keeper.tub, day(1))
        keeper.move(Subject(keeper.dwarfs), keeper.cube, day(5))
    with store.read() as session:
        with statements_of(store.engine) as statements:
            latest(session, Scope(keeper.collection_id), day(1), 3, [Mark("cleaning", "full", day(1))])
            plans(session, keeper.collection_id, day(1))
        asked = [one for one in statements if one[0].startswith(("SELECT", "WITH"))]
        taken = [sqlite_steps(session.connection(), *one) for one in asked]
    assert len(asked) == 7
    assert any("ix_entries_repeating" in step for step in taken[-1])
    for searched in taken:
        assert not [step for step in searched if "SCAN" in step and "entr" in step], searched
        for step in (step for step in searched if "SEARCH mine" in step):
            assert "kind=? AND moment>? AND moment<?" in step
