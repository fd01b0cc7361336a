"""From the names a keeper uses to the rows that are meant, and back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from string import ascii_uppercase
from typing import TypeVar

from bot.language.roster import Enclosure, Occupant, Roster
from storage.journal import Subject
from storage.roster import EnclosureRow, OccupantRow, RosterRows

_ORDINALS = ("", "second ", "third ", "fourth ", "fifth ", "sixth ")

Row = TypeVar("Row", EnclosureRow, OccupantRow)


@dataclass(frozen=True, slots=True)
class Names:
    """Everybody and every place of one collection, those no longer kept too: their old entries still name them."""

    rows: RosterRows

    @property
    def places(self) -> tuple[EnclosureRow, ...]:
        """The enclosures in use."""
        return tuple(row for row in self.rows.enclosures if row.closed_on is None)

    @property
    def animals(self) -> tuple[OccupantRow, ...]:
        """The groups and animals still kept."""
        return tuple(row for row in self.rows.occupants if row.ended_on is None)

    def place(self, name: str) -> EnclosureRow | None:
        """The enclosure in use with this name or alias, whatever its case."""
        return _called(name, self.places)

    def animal(self, name: str) -> OccupantRow | None:
        """The group or animal still kept with this name or alias, whatever its case."""
        return _called(name, self.animals)

    def subject(self, name: str) -> Subject | None:
        """What a roster name stands for: a group or animal before a place. None for a name that is not on the roster."""
        animal = self.animal(name)
        if animal is not None:
            return Subject(occupant_id=animal.id, enclosure_id=None)
        place = self.place(name)
        return None if place is None else Subject(occupant_id=None, enclosure_id=place.id)

    def name(self, subject: Subject) -> str:
        """The roster name of a subject, also of one no longer kept."""
        rows: Iterable[EnclosureRow | OccupantRow] = self.rows.occupants
        if subject.occupant_id is None:
            rows = self.rows.enclosures
        wanted = subject.enclosure_id if subject.occupant_id is None else subject.occupant_id
        return next((row.name for row in rows if row.id == wanted), "something no longer on the roster")

    def living_in(self, enclosure_id: int) -> tuple[OccupantRow, ...]:
        """The groups and animals that live in an enclosure now."""
        return tuple(row for row in self.animals if row.enclosure_id == enclosure_id)

    def place_of(self, subject: Subject) -> int | None:
        """The id of the enclosure where a subject is now."""
        if subject.enclosure_id is not None:
            return subject.enclosure_id
        return next((row.enclosure_id for row in self.rows.occupants if row.id == subject.occupant_id), None)

    def home(self, animal: OccupantRow) -> EnclosureRow | None:
        """The enclosure where a group or an animal lives."""
        return next((row for row in self.places if row.id == animal.enclosure_id), None)

    def has_tag(self, words: str) -> bool:
        """True for words that are a tag of some enclosure, such as "shelf 2"."""
        return any(words.lower() == tag.lower() for row in self.places for tag in row.tags)

    def offshoot(self, mother: str) -> str:
        """A free name for what is split off a group: "group B offshoot", "group B second offshoot".

        No digits in it: "fed group B 2 roaches" must go on meaning two roaches for group B.
        """
        names = [f"{mother} {ordinal}offshoot" for ordinal in _ORDINALS]
        names += [f"{mother} offshoot {letter}" for letter in ascii_uppercase]
        return next((name for name in names if self.animal(name) is None), f"{mother} offshoot of an offshoot")

    def short_name(self, name: str) -> str | None:
        """What a group is called for short, if nobody else is: "B" for "group B"; None for a name that has no such form."""
        first, _, last = name.rpartition(" ")
        usual = first.lower() in ("group", "colony", "the") and not any(letter.isdigit() for letter in last)
        return last if usual and self.animal(last) is None and self.place(last) is None else None

    def roster(self, zone: str, vocabulary: Mapping[str, str]) -> Roster:
        """The roster as the reader of messages takes it; the same one as long as nothing in it changes."""
        return _roster(self.rows, zone, tuple(vocabulary.items()))


@lru_cache(maxsize=256)
def _roster(rows: RosterRows, zone: str, vocabulary: tuple[tuple[str, str], ...]) -> Roster:
    """Kept between messages, since the reader builds an index for each roster it meets.

    One that lives nowhere yet is given its own name for a place: to the reader everybody is in exactly one.
    """
    names = Names(rows)
    homes = {row.id: row.name for row in names.places}
    return Roster(
        zone=zone,
        enclosures=tuple(Enclosure(row.name, row.aliases, row.tags, row.size_cm) for row in names.places),
        occupants=tuple(
            Occupant(
                name=row.name,
                kind=row.kind,
                enclosure=row.name if row.enclosure_id is None else homes.get(row.enclosure_id, row.name),
                aliases=row.aliases,
                species=row.species,
                count=row.count,
            )
            for row in names.animals
        ),
        vocabulary=dict(vocabulary),
    )


def _called(name: str, rows: tuple[Row, ...]) -> Row | None:
    wanted = " ".join(name.lower().split())
    named = [row for row in rows if row.name.lower() == wanted]
    return next(iter(named or [row for row in rows if wanted in (alias.lower() for alias in row.aliases)]), None)
