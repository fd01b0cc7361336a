"""Of whom an entry tells, and the keeper's words without anybody else's name: what a hand-over sheet goes by."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from textwrap import shorten

from bot.answers.view import View
from bot.handover.facts import OWN, SHARED, TOGETHER
from storage import households, stays
from storage.journal import EntryRow, Subject
from storage.roster import EnclosureRow, OccupantRow
from storage.stays import Stay

LONGEST_QUOTE = 600
"""Characters of a note on a sheet; a longer one is cut."""

PUT_OUT = "[…]"
"""What stands for the name of anybody or anything else."""


@dataclass(frozen=True, slots=True)
class Company:
    """Who lived with one occupant, looked up once for each enclosure."""

    view: View
    row: OccupantRow
    _stays: dict[int, list[Stay]] = field(default_factory=dict)

    def told(self, entry: EntryRow) -> str:
        """Of whom an entry of its history tells: OWN, TOGETHER (by name, with others) or SHARED (an enclosure it shared)."""
        named = Subject(occupant_id=self.row.id) in entry.subjects
        if named or entry.fields.get("new_occupant_id") == self.row.id:
            return OWN if len(entry.subjects) == 1 else TOGETHER
        places = [subject.enclosure_id for subject in entry.subjects if subject.enclosure_id is not None]
        if any(self.others(place, entry.on) for place in places):
            return SHARED
        return OWN if len(entry.subjects) == 1 else TOGETHER

    def alone(self, entry: EntryRow) -> bool:
        """Whether any entry, be it of its history or not, tells of this one and of nobody else."""
        if Subject(occupant_id=self.row.id) in entry.subjects:
            return len(entry.subjects) == 1
        places = [subject.enclosure_id for subject in entry.subjects]
        lived = len(places) == 1 and places[0] is not None and self._lived(places[0], entry.on)
        return lived and self.told(entry) == OWN

    def others(self, enclosure_id: int, on: date | None) -> bool:
        """Whether anybody else lived in an enclosure for some of a day (None: at any time)."""
        return any(one.occupant_id != self.row.id and _holds(one, on) for one in self._in(enclosure_id))

    def _lived(self, enclosure_id: int, on: date | None) -> bool:
        return any(one.occupant_id == self.row.id and _holds(one, on) for one in self._in(enclosure_id))

    def _in(self, enclosure_id: int) -> list[Stay]:
        if enclosure_id not in self._stays:
            self._stays[enclosure_id] = stays.stays_in(self.view.session, enclosure_id)
        return self._stays[enclosure_id]


def _holds(stay: Stay, on: date | None) -> bool:
    return on is None or ((stay.since is None or stay.since <= on) and (stay.until is None or stay.until >= on))


@dataclass(frozen=True, slots=True)
class Eraser:
    """Puts names out of words."""

    patterns: tuple[re.Pattern[str], ...]

    @classmethod
    def of(cls, view: View, row: OccupantRow, *, members: bool) -> Eraser:
        """One for the names of everybody and everything but this occupant; with `members` those of people here too."""
        own = {_plain(name).casefold() for name in (row.name, *row.aliases)}
        others = {_plain(name) for name in _names(view, row)}
        if members:
            others |= {_plain(one.name) for one in households.everyone(view.session, view.collection_id)}
        wanted = [name for name in others if name and name.casefold() not in own]
        return cls(tuple(_pattern(name) for name in sorted(wanted, key=lambda name: (-len(name), name))))

    def erased(self, words: str) -> str:
        """Words on one line, without those names, cut where they are long."""
        line = _plain(words)
        for pattern in self.patterns:
            line = pattern.sub(PUT_OUT, line)
        return shorten(line, LONGEST_QUOTE, placeholder=" …") or "…"


def _names(view: View, row: OccupantRow) -> Iterator[str]:
    for other in view.roster.occupants:
        if other.id != row.id:
            yield from _called(other)
    for place in view.roster.enclosures:
        yield from (*_called(place), *place.tags)


def _called(row: OccupantRow | EnclosureRow) -> Iterable[str]:
    return (row.name, *row.aliases)


def _pattern(name: str) -> re.Pattern[str]:
    """A name as a word of its own; one letter in its own case, since "a" is no name of group A."""
    flags = re.IGNORECASE if len(name) > 1 else re.NOFLAG
    parts = r"\s+".join(re.escape(part) for part in name.split())
    return re.compile(rf"(?<!\w){parts}(?!\w)", flags)


def _plain(words: str) -> str:
    return " ".join(unicodedata.normalize("NFC", words).split())
