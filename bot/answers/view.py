"""What an answer may look at: one collection, its roster and journal, at one moment, in one zone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from pathlib import Path
from textwrap import shorten
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from bot.conversation.meter_book import MeterBook, meter_book
from bot.language.meaning import Ask
from bot.wording import join_names, say_act, say_date, say_day, say_entry
from storage import households, journal, roster
from storage.journal import EntryRow, Subject
from storage.roster import EnclosureRow, OccupantRow, RosterRows

PLACE_KINDS = frozenset({"misting", "watering", "cleaning", "reading"})
"""What is done to a place, whoever lives in it; other kinds are of the animals, and go with them when they move."""


if TYPE_CHECKING:
    from sqlalchemy.orm import Session

NOTE_WIDTH = 300
"""A longer note is cut in answers; the journal keeps it whole."""


@dataclass(frozen=True, slots=True)
class Target:
    """One thing asked about: an occupant or an enclosure, exactly one of them."""

    occupant: OccupantRow | None = None
    enclosure: EnclosureRow | None = None

    @property
    def name(self) -> str:
        """The name it has on the roster."""
        named = self.occupant or self.enclosure
        return named.name if named else ""

    @property
    def subject(self) -> Subject:
        """The same as the journal names it."""
        return Subject(
            self.occupant.id if self.occupant else None,
            self.enclosure.id if self.enclosure else None,
        )


@dataclass(frozen=True, slots=True)
class Place:
    """An enclosure that holds somebody, or the lack of one (None) for occupants that live nowhere on record."""

    enclosure: EnclosureRow | None
    residents: tuple[OccupantRow, ...]

    @property
    def unit(self) -> Target:
        """What is cared for as one: a lone occupant, else the enclosure that several share."""
        if len(self.residents) == 1 or self.enclosure is None:
            return Target(occupant=self.residents[0])
        return Target(enclosure=self.enclosure)

    def label(self, residents: Sequence[OccupantRow] | None = None) -> str:
        """The place with who lives there (or with some of them alone): "tub 4 (group B)"."""
        names = join_names([occupant.name for occupant in residents or self.residents])
        return f"{self.enclosure.name} ({names})" if self.enclosure and self.enclosure.name != names else names


@dataclass(frozen=True)
class View:
    """A collection as it stands at `now` (aware, UTC); days are days of `zone`; `units` are metric or imperial.

    `roster` may hold what is closed or ended too: it is then known by name, and left out of the whole collection. `folder` is
    the data folder, into which pictures are put; None where there is none.
    """

    session: Session
    collection_id: int
    roster: RosterRows
    now: datetime
    zone: ZoneInfo
    units: str = "metric"
    folder: Path | None = None

    @classmethod
    def open(cls, session: Session, collection_id: int, now: datetime, folder: Path | None = None) -> View:
        """Look at a collection with its own zone and units and its whole roster, closed places and ended groups too."""
        kept = households.collection(session, collection_id)
        rows = roster.load(session, collection_id, include_closed=True)
        return cls(session, collection_id, rows, now, ZoneInfo(kept.zone), kept.units, folder)

    @cached_property
    def today(self) -> date:
        """The keeper's day."""
        return self.now.astimezone(self.zone).date()

    @cached_property
    def meters(self) -> MeterBook:
        """The checks and places of all hygrometers."""
        return meter_book(self.session, self.collection_id, self.roster.occupants)

    @cached_property
    def places(self) -> tuple[Place, ...]:
        """Every place that holds somebody, in the order of the roster."""
        living = [occupant for occupant in self.roster.occupants if occupant.ended_on is None]
        places = [
            Place(enclosure, tuple(one for one in living if one.enclosure_id == enclosure.id))
            for enclosure in self.roster.enclosures
            if enclosure.closed_on is None
        ]
        housed = {one.id for place in places for one in place.residents}
        homeless = [Place(None, (one,)) for one in living if one.id not in housed]
        return (*(place for place in places if place.residents), *homeless)

    def target(self, name: str) -> Target | None:
        """What a roster name or alias stands for; what is in use goes before what is closed, occupants before places."""
        found: list[Target] = [Target(occupant=one) for one in self.roster.occupants if _called(one, name)]
        found += [Target(enclosure=one) for one in self.roster.enclosures if _called(one, name)]
        return min(found, key=_closed, default=None)

    def targets(self, names: Iterable[str]) -> list[Target]:
        """What these names stand for, each once, unknown names left out; for no names every place in use."""
        found = [self.target(name) for name in names] or [place.unit for place in self.places]
        return list(dict.fromkeys(target for target in found if target is not None))

    def asked(self, ask: Ask) -> list[Target]:
        """What a question is about: for a kind of the animals, an enclosure stands for those who live in it."""
        targets = self.targets(ask.subjects)
        if ask.kind is None or ask.kind in PLACE_KINDS:
            return targets
        return list(dict.fromkeys(one for target in targets for one in self.animals(target)))

    def animals(self, target: Target) -> list[Target]:
        """The occupants of an enclosure; an occupant, and an enclosure in which nobody lives, stand for themselves."""
        if target.enclosure is None:
            return [target]
        return [Target(occupant=one) for one in self.residents(target.enclosure.id)] or [target]

    def residents(self, enclosure_id: int) -> tuple[OccupantRow, ...]:
        """Who lives in an enclosure now."""
        for place in self.places:
            if place.enclosure is not None and place.enclosure.id == enclosure_id:
                return place.residents
        return ()

    def history(
        self,
        target: Target,
        kinds: Iterable[str] | None = None,
        since: date | None = None,
        until: date | None = None,
        limit: int = 1000,
    ) -> list[EntryRow]:
        """What is written of a target (places and occupants reach each other through the stays), newest first."""
        return journal.history(
            self.session,
            occupant_id=target.subject.occupant_id,
            enclosure_id=target.subject.enclosure_id,
            kinds=None if kinds is None else tuple(kinds),
            since=since,
            until=until,
            limit=limit,
        )

    def last(self, target: Target, kind: str | None, until: date | None = None) -> EntryRow | None:
        """Find the newest entry of a kind (None: of any) up to a day."""
        found = self.history(target, None if kind is None else (kind,), until=until, limit=1)
        return found[0] if found else None

    def last_taken(self, target: Target, until: date | None = None) -> EntryRow | None:
        """Find the newest feeding that was not refused."""
        for limit in (20, 100_000):  # a fast of more than twenty feedings is rare; then all of them are looked through
            found = self.history(target, ("feeding",), until=until, limit=limit)
            taken = next((entry for entry in found if not refused(entry)), None)
            if taken is not None or len(found) < limit:
                return taken
        return None

    def name_of(self, subject: Subject) -> str:
        """Name of a subject of the journal."""
        rows = self._occupants if subject.occupant_id is not None else self._enclosures
        row = rows.get(subject.occupant_id or subject.enclosure_id or 0)
        return row.name if row else "one no longer on the roster"

    def names(self, entry: EntryRow) -> list[str]:
        """Names of the subjects of an entry, as they are called now."""
        return [self.name_of(subject) for subject in entry.subjects]

    def day(self, day: date | None) -> str:
        """A day with its distance from today."""
        return "on a day not known" if day is None else say_day(day, self.today)

    def bare_day(self, day: date) -> str:
        """A day by itself."""
        return say_date(day, self.today)

    def act(self, entry: EntryRow) -> str:
        """What an entry says was done, with part of day and time and without names and date."""
        said = [say_act(entry.kind, self._fields(entry), self.units, entry.mood)]
        said += [entry.part] if entry.part else []
        said += [f"{entry.at:%H:%M}"] if entry.at else []
        return ", ".join(said)

    def line(self, entry: EntryRow) -> str:
        """One whole line for an entry."""
        fields = self._fields(entry)
        return say_entry(
            entry.kind,
            self.names(entry),
            fields,
            entry.on,
            entry.at,
            entry.part,
            self.today,
            self.units,
            entry.mood,
        )

    def source(self, entry: EntryRow) -> str:
        """Where an entry comes from: "“fed B” (told Tue 3 Mar, yesterday, 19:05, by Ana)"."""
        told = entry.told_at.astimezone(self.zone)
        teller = self._members.get(entry.member_id or 0)
        by = f", by {teller}" if teller else ""
        words = shorten(entry.words, NOTE_WIDTH, placeholder=" …")
        return f"“{words}” (told {self.day(told.date())}, {told:%H:%M}{by})"

    def _fields(self, entry: EntryRow) -> dict[str, object]:
        fields: dict[str, object] = dict(entry.fields)
        if entry.kind == "note":
            fields.setdefault("text", f"“{shorten(entry.words, NOTE_WIDTH, placeholder=' …')}”")
        to = fields.get("to_enclosure_id")
        if isinstance(to, int) and to in self._enclosures:
            fields["to"] = self._enclosures[to].name
        return fields

    @cached_property
    def _occupants(self) -> dict[int, OccupantRow | EnclosureRow]:
        return {row.id: row for row in self.roster.occupants}

    @cached_property
    def _enclosures(self) -> dict[int, OccupantRow | EnclosureRow]:
        return {row.id: row for row in self.roster.enclosures}

    @cached_property
    def _members(self) -> dict[int, str]:
        return {row.id: row.name for row in households.everyone(self.session, self.collection_id)}


def refused(entry: EntryRow) -> bool:
    """Whether a feeding was offered and not taken."""
    return entry.fields.get("outcome") == "refused"


def _called(row: OccupantRow | EnclosureRow, name: str) -> bool:
    key = name.casefold()
    return row.name.casefold() == key or any(alias.casefold() == key for alias in row.aliases)


def _closed(target: Target) -> bool:
    if target.occupant is not None:
        return target.occupant.ended_on is not None
    return target.enclosure is not None and target.enclosure.closed_on is not None
