"""The roster as it is kept: places, occupants, their names; every change of it is recorded with its cause.

Where an occupant lives is not kept here: it comes from its stays, and those from the journal.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from storage.changes import Cause
from storage.lineage import LineageRow, add_lineage, children, parents
from storage.moments import END
from storage.roster_edits import (
    add_alias,
    add_enclosure,
    add_occupant,
    add_tags,
    close_enclosure,
    end_occupant,
    rename_enclosure,
    rename_occupant,
    set_size,
    set_species,
)
from storage.tables import Alias, Enclosure, Occupant, StayRecord, Tag

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy.orm import Session

__all__ = [
    "Cause",
    "EnclosureRow",
    "LineageRow",
    "OccupantRow",
    "RosterRows",
    "add_alias",
    "add_enclosure",
    "add_lineage",
    "add_occupant",
    "add_tags",
    "children",
    "close_enclosure",
    "end_occupant",
    "load",
    "parents",
    "rename_enclosure",
    "rename_occupant",
    "set_size",
    "set_species",
]


@dataclass(frozen=True, slots=True)
class EnclosureRow:
    """A place. `size_cm` is width, depth, height in centimetres; `closed_on` None: in use."""

    id: int
    name: str
    aliases: tuple[str, ...]
    tags: tuple[str, ...]
    size_cm: tuple[float, float, float] | None
    closed_on: date | None


@dataclass(frozen=True, slots=True)
class OccupantRow:
    """A group or an animal. `enclosure_id` is where it lives now; `count` the number of heads given at set-up."""

    id: int
    name: str
    kind: str
    species: str | None
    aliases: tuple[str, ...]
    enclosure_id: int | None
    count: int | None
    ended_on: date | None


@dataclass(frozen=True, slots=True)
class RosterRows:
    """A collection's places and occupants, in the order in which they were added."""

    enclosures: tuple[EnclosureRow, ...]
    occupants: tuple[OccupantRow, ...]


def load(session: Session, collection_id: int, include_closed: bool = False) -> RosterRows:  # noqa: FBT001, FBT002
    """The roster of a collection as it is now; with `include_closed` also what is closed or ended."""
    aliases_of_places, aliases_of_occupants = _aliases(session, collection_id)
    tags = _tags(session, collection_id)
    places = select(Enclosure).where(Enclosure.collection_id == collection_id).order_by(Enclosure.id)
    occupants = select(Occupant).where(Occupant.collection_id == collection_id).order_by(Occupant.id)
    if not include_closed:
        places = places.where(Enclosure.closed_on.is_(None))
        occupants = occupants.where(Occupant.ended_on.is_(None))
    homes = _homes(session, collection_id)
    return RosterRows(
        tuple(_enclosure_row(row, aliases_of_places[row.id], tags[row.id]) for row in session.scalars(places)),
        tuple(
            _occupant_row(row, aliases_of_occupants[row.id], homes.get(row.id)) for row in session.scalars(occupants)
        ),
    )


def _aliases(session: Session, collection_id: int) -> tuple[dict[int, list[str]], dict[int, list[str]]]:
    """Aliases of places and of occupants, by id."""
    of_places: dict[int, list[str]] = defaultdict(list)
    of_occupants: dict[int, list[str]] = defaultdict(list)
    for row in session.scalars(select(Alias).where(Alias.collection_id == collection_id).order_by(Alias.id)):
        if row.enclosure_id is not None:
            of_places[row.enclosure_id].append(row.alias)
        if row.occupant_id is not None:
            of_occupants[row.occupant_id].append(row.alias)
    return of_places, of_occupants


def _tags(session: Session, collection_id: int) -> dict[int, list[str]]:
    tags: dict[int, list[str]] = defaultdict(list)
    for row in session.scalars(select(Tag).where(Tag.collection_id == collection_id).order_by(Tag.id)):
        tags[row.enclosure_id].append(row.tag)
    return tags


def _homes(session: Session, collection_id: int) -> dict[int, int]:
    """Where each occupant lives now."""
    wanted = select(StayRecord.occupant_id, StayRecord.enclosure_id)
    wanted = wanted.where(StayRecord.collection_id == collection_id, StayRecord.until_moment == END)
    return {occupant_id: enclosure_id for occupant_id, enclosure_id in session.execute(wanted)}  # noqa: C416 - typed rows


def _enclosure_row(row: Enclosure, aliases: list[str], tags: list[str]) -> EnclosureRow:
    size = None if row.size_cm is None else (row.size_cm[0], row.size_cm[1], row.size_cm[2])
    return EnclosureRow(row.id, row.name, tuple(aliases), tuple(tags), size, row.closed_on)


def _occupant_row(row: Occupant, aliases: list[str], enclosure_id: int | None) -> OccupantRow:
    return OccupantRow(row.id, row.name, row.kind, row.species, tuple(aliases), enclosure_id, row.count, row.ended_on)
