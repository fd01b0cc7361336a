"""An entry of one collection is about its own animals, places and entries: storage writes no other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from storage import households, journal, roster
from storage.journal import NewEntry, Subject
from storage.store import Store
from tests.isolation.world import MORNING

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

TODAY, ZONE = MORNING.date(), "UTC"


@dataclass(frozen=True)
class Kept:
    """One collection: a group in a place, and something written of it."""

    collection_id: int
    member_id: int
    group: int
    place: int
    entry_id: int


@pytest.fixture
def session(store: Store) -> Iterator[Session]:
    """A session that writes."""
    with store.write() as opened:
        yield opened


def made(session: Session, address: str) -> Kept:
    """A collection with group B in tub 4, which was fed."""
    of = households.create_collection(session, "The rack", ZONE)
    member = households.add_member(session, of, "telegram", address, "Sam", "owner", MORNING)
    place = roster.add_enclosure(session, of, "tub 4")
    group = roster.add_occupant(session, of, "group B", "group")
    [entry_id] = journal.append(session, of, member, None, MORNING, [told(Subject(group))])
    return Kept(of, member, group, place, entry_id)


def told(*subjects: Subject, kind: str = "feeding", **fields: object) -> NewEntry:
    """An entry of today."""
    return NewEntry(kind, "log", TODAY, None, None, ZONE, fields, subjects)


@pytest.mark.parametrize("what", ["group", "place", "moved into", "split off", "superseded"])
def test_nothing_is_written_about_another_collections_things(session: Session, what: str) -> None:
    """Neither as the subject, nor where a move leads or what it makes, nor as what is corrected."""
    ours, theirs = made(session, "1"), made(session, "2")
    entry = {
        "group": told(Subject(ours.group), Subject(theirs.group)),
        "place": told(Subject(enclosure_id=theirs.place)),
        "moved into": told(Subject(ours.group), kind="move", to_enclosure_id=theirs.place),
        "split off": told(Subject(ours.group), kind="move", part_of_group=True, new_occupant_id=theirs.group),
        "superseded": told(Subject(ours.group)),
    }[what]
    supersedes = [theirs.entry_id if what == "superseded" else None]
    with pytest.raises(LookupError, match="of another collection"):
        journal.append(session, ours.collection_id, ours.member_id, None, MORNING, [entry], supersedes)
    assert [row.id for row in journal.history(session, occupant_id=theirs.group, limit=9)] == [theirs.entry_id]
    assert len(journal.between(session, ours.collection_id, None, None)) == 1


def test_nobody_takes_back_what_another_collection_wrote(session: Session) -> None:
    """Neither by itself nor among own entries; without a member, as the program itself does it, it is no question."""
    ours, theirs = made(session, "1"), made(session, "2")
    with pytest.raises(LookupError, match="of another collection"):
        journal.retract(session, [ours.entry_id, theirs.entry_id], ours.member_id, None, MORNING)
    assert journal.entry(session, ours.entry_id).current
    assert journal.entry(session, theirs.entry_id).current
    journal.retract(session, [theirs.entry_id], None, None, MORNING)
    assert not journal.entry(session, theirs.entry_id).current


def test_own_things_are_written_of(session: Session) -> None:
    """The same entries about the own place and group, with a correction, go through."""
    ours = made(session, "1")
    made(session, "2")
    new = [
        told(Subject(ours.group), Subject(enclosure_id=ours.place)),
        told(Subject(ours.group), kind="move", to_enclosure_id=ours.place),
        told(Subject(ours.group)),
    ]
    written = journal.append(
        session, ours.collection_id, ours.member_id, None, MORNING, new, [None, None, ours.entry_id]
    )
    assert [journal.entry(session, one).current for one in written] == [True, True, True]
    assert journal.entry(session, ours.entry_id).superseded_by == written[2]
