"""Adding a roster from a file to a collection: what is new is put on the roster, what is there already is not overwritten."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from bot.conversation.names import Names
from bot.language.roster import Enclosure, Occupant, Roster
from storage import households, roster
from storage.households import MemberRow
from storage.journal import NewEntry, Subject, append
from storage.roster import Cause, EnclosureRow
from storage.vocabulary import teach, vocabulary

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

WORDS = "roster import"
"""Stands in the record of changes where a change made by talking has the keeper's words."""


@dataclass(frozen=True, slots=True)
class Import:
    """One import under way: in whose name, and at which moment."""

    session: Session
    owner: MemberRow
    now: datetime

    @property
    def cause(self) -> Cause:
        """What the record of changes says of each change."""
        return Cause(self.owner.id, None, self.now, WORDS)

    @property
    def names(self) -> Names:
        """Who and what is on the roster now."""
        return Names(roster.load(self.session, self.owner.collection_id))


def add_roster(session: Session, owner: MemberRow, wanted: Roster, now: datetime) -> list[str]:
    """Add a roster; a line for each thing added or left as it is.

    On an empty roster the zone of the file becomes the collection's. Raises NameTaken where a name is that of something
    else; the caller's transaction then takes all of it back.
    """
    work = Import(session, owner, now)
    before = work.names
    if not before.places and not before.animals:
        households.set_zone(session, owner.collection_id, wanted.zone)
    said = [_add_place(work, before, place) for place in wanted.enclosures]
    names = work.names
    zone = households.collection(session, owner.collection_id).zone
    said += [_add_animal(work, names, animal, zone) for animal in wanted.occupants]
    return said + _teach(work, wanted.vocabulary)


def _add_place(work: Import, names: Names, place: Enclosure) -> str:
    known = next((row for row in names.places if row.name.lower() == place.name.lower()), None)
    if known is not None:
        return _complete_place(work, known, place)
    roster.add_enclosure(
        work.session,
        work.owner.collection_id,
        place.name,
        aliases=place.aliases,
        tags=place.tags,
        size_cm=place.size_cm,
        cause=work.cause,
    )
    return f"added {place.name}"


def _complete_place(work: Import, known: EnclosureRow, place: Enclosure) -> str:
    """Give a place that is there already the aliases, tags and size that it lacks."""
    for alias in place.aliases:
        roster.add_alias(work.session, enclosure_id=known.id, alias=alias, cause=work.cause)
    roster.add_tags(work.session, known.id, place.tags, cause=work.cause)
    if place.size_cm is not None and known.size_cm is None:
        roster.set_size(work.session, known.id, place.size_cm, cause=work.cause)
    return f"{known.name} is there already; aliases and tags were added to it"


def _add_animal(work: Import, names: Names, animal: Occupant, zone: str) -> str:
    known = next((row for row in names.animals if row.name.lower() == animal.name.lower()), None)
    if known is not None:
        for alias in animal.aliases:
            roster.add_alias(work.session, occupant_id=known.id, alias=alias, cause=work.cause)
        return f"{known.name} is there already; it was not moved or counted anew"
    home = next(row for row in names.places if row.name.lower() == animal.enclosure.lower())
    made = roster.add_occupant(
        work.session,
        work.owner.collection_id,
        animal.name,
        animal.kind,
        species=animal.species,
        aliases=animal.aliases,
        count=animal.count,
        cause=work.cause,
    )
    # Without a day: the file does not say since when they live there, and older acts told later must still find them.
    placed = NewEntry("placed", "log", None, None, None, zone, {"to_enclosure_id": home.id}, (Subject(made),), WORDS)
    append(work.session, work.owner.collection_id, work.owner.id, None, work.now, [placed])
    return f"added {animal.name} in {home.name}"


def _teach(work: Import, wanted: Mapping[str, str]) -> list[str]:
    """Teach the words of the file that the keeper has not taught already."""
    collection = work.owner.collection_id
    known = vocabulary(work.session, collection)
    fresh = {phrase: means for phrase, means in wanted.items() if phrase.lower() not in map(str.lower, known)}
    for phrase, means in fresh.items():
        teach(work.session, collection, phrase, means, work.owner.id, None, work.now)
    return [f"learned that {phrase} means {means}" for phrase, means in fresh.items()]
