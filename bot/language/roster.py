"""The roster: who lives where, and the names a keeper may call them by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError


@dataclass(frozen=True)
class Enclosure:
    """A place. `size_cm` is width, depth, height in centimetres."""

    name: str
    aliases: tuple[str, ...] = ()
    tags: tuple[str, ...] = ()
    size_cm: tuple[float, float, float] | None = None


@dataclass(frozen=True)
class Occupant:
    """A group or an animal, living in exactly one enclosure."""

    name: str
    kind: str
    enclosure: str
    aliases: tuple[str, ...] = ()
    species: str | None = None
    count: int | None = None


@dataclass(frozen=True, eq=False)
class Roster:
    """A collection's places and occupants, its zone (IANA name) and the words its keeper has taught (phrase -> meaning)."""

    zone: str = "UTC"
    enclosures: tuple[Enclosure, ...] = ()
    occupants: tuple[Occupant, ...] = ()
    vocabulary: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def enclosure_by_name(self) -> dict[str, Enclosure]:
        """Enclosures by their name in lower case."""
        return {place.name.lower(): place for place in self.enclosures}

    @cached_property
    def occupant_by_name(self) -> dict[str, Occupant]:
        """Occupants by their name in lower case."""
        return {occupant.name.lower(): occupant for occupant in self.occupants}

    def place_of(self, name: str) -> str | None:
        """Name of the enclosure that a roster name stands for; None for a name that is not on the roster."""
        key = name.lower()
        if key in self.occupant_by_name:
            return self.occupant_by_name[key].enclosure
        return self.enclosure_by_name[key].name if key in self.enclosure_by_name else None


class RosterFault(ValueError):
    """The roster cannot be used; the message is a sentence for the keeper."""


def roster_from_table(table: Mapping[str, Any]) -> Roster:
    """Roster from the contract's table (parsed TOML). Raises RosterFault with a sentence that names what is wrong."""
    enclosures = tuple(_enclosure(row) for row in _rows(table, "enclosures"))
    occupants = tuple(_occupant(row) for row in _rows(table, "occupants"))
    for what, items in (("enclosures", enclosures), ("occupants", occupants)):
        twice = _twice([item.name.lower() for item in items])
        if twice:
            raise RosterFault(f"Two {what} on the roster are called {twice!r}; each needs a name of its own.")
    places = {place.name.lower(): place.name for place in enclosures}
    for occupant in occupants:
        if occupant.enclosure.lower() not in places:
            raise RosterFault(f"{occupant.name} is put in {occupant.enclosure!r}, which is no enclosure on the roster.")
    placed = tuple(replace(occupant, enclosure=places[occupant.enclosure.lower()]) for occupant in occupants)
    vocabulary = table.get("vocabulary", {})
    return Roster(_zone(table), enclosures, placed, {str(phrase): str(means) for phrase, means in vocabulary.items()})


def _zone(table: Mapping[str, Any]) -> str:
    zone = str(table.get("zone", "UTC"))
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise RosterFault(f"{zone!r} is no time zone; an IANA name such as Europe/Lisbon is wanted.") from None
    return zone


def _rows(table: Mapping[str, Any], what: str) -> list[Mapping[str, Any]]:
    rows = table.get(what, [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise RosterFault(f"The roster's {what} must be written as [[{what}]] tables.")
    return rows


def _text(row: Mapping[str, Any], field_name: str, what: str) -> str:
    value = row.get(field_name)
    if not isinstance(value, str) or not value.strip():
        raise RosterFault(f"One of the roster's {what} has no {field_name}.")
    return value.strip()


def _texts(row: Mapping[str, Any], field_name: str, name: str) -> tuple[str, ...]:
    values = row.get(field_name, [])
    if not isinstance(values, list) or not all(isinstance(value, str) for value in values):
        raise RosterFault(f"The {field_name} of {name} must be a list of words.")
    return tuple(value.strip() for value in values if value.strip())


def _enclosure(row: Mapping[str, Any]) -> Enclosure:
    name = _text(row, "name", "enclosures")
    return Enclosure(name, _texts(row, "aliases", name), _texts(row, "tags", name), _size(row.get("size_cm"), name))


def _size(sides: object, name: str) -> tuple[float, float, float] | None:
    """Width, depth and height in centimetres; None where the roster does not say."""
    if sides is None:
        return None
    if (
        not isinstance(sides, list)
        or len(sides) != 3
        or not all(isinstance(side, int | float) and side > 0 for side in sides)
    ):
        raise RosterFault(f"The size_cm of {name} must be three lengths above zero: width, depth, height.")
    width, depth, height = sides
    return float(width), float(depth), float(height)


def _occupant(row: Mapping[str, Any]) -> Occupant:
    name = _text(row, "name", "occupants")
    kind = row.get("kind", "group" if row.get("count", 1) != 1 else "animal")
    if kind not in {"group", "animal"}:
        raise RosterFault(f"{name} is of kind {kind!r}; it must be a group or an animal.")
    count = row.get("count")
    if count is not None and not (isinstance(count, int) and not isinstance(count, bool) and count >= 0):
        raise RosterFault(f"The count of {name} must be a whole number, none below zero.")
    species = row.get("species")
    return Occupant(
        name,
        kind,
        _text(row, "enclosure", "occupants"),
        _texts(row, "aliases", name),
        str(species) if species else None,
        count,
    )


def _twice(names: list[str]) -> str | None:
    return next((name for index, name in enumerate(names) if name in names[:index]), None)


def roster_to_table(roster: Roster) -> dict[str, Any]:
    """The contract's table of a roster, ready to be written as TOML; what is not known is left out."""
    table: dict[str, Any] = {"zone": roster.zone}
    table["enclosures"] = [
        _filled(
            {
                "name": place.name,
                "aliases": list(place.aliases),
                "tags": list(place.tags),
                "size_cm": list(place.size_cm or ()),
            }
        )
        for place in roster.enclosures
    ]
    table["occupants"] = [
        _filled(
            {
                "name": item.name,
                "kind": item.kind,
                "aliases": list(item.aliases),
                "species": item.species,
                "enclosure": item.enclosure,
                "count": item.count,
            }
        )
        for item in roster.occupants
    ]
    if roster.vocabulary:
        table["vocabulary"] = dict(roster.vocabulary)
    return table


def _filled(row: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in row.items() if value not in (None, [])}
