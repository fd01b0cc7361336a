"""The roster: who lives where, and the names a keeper may call them by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any


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


@dataclass(frozen=True)
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
    raise NotImplementedError(table)


def roster_to_table(roster: Roster) -> dict[str, Any]:
    """The contract's table of a roster, ready to be written as TOML."""
    raise NotImplementedError(roster)
