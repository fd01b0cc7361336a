"""The meters of a collection: how each was checked over salt, where each hangs, and what a reading made with one comes to."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from bot.care.facts import middle
from bot.care.salt_check import Check, Correction, correction
from storage.asides import notes_with
from storage.journal import EntryRow
from storage.roster import OccupantRow

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

Pair = tuple[float | None, float | None]
Moment = tuple[datetime, int]


@dataclass(frozen=True, slots=True)
class Checked:
    """A check with the entry that tells it."""

    check: Check
    entry: EntryRow


@dataclass(frozen=True, slots=True)
class Hung:
    """A meter put in an enclosure from an entry on; None: it was taken down and hangs nowhere."""

    meter: str
    enclosure_id: int | None
    entry: EntryRow


@dataclass(frozen=True, slots=True)
class Corrected:
    """A humidity reading set right: the range in per cent, the raw one, the meter, and what was done to it and why."""

    value: Pair
    raw: Pair
    meter: str
    correction: Correction

    @property
    def changed(self) -> bool:
        """Whether the reading was set right at all."""
        return self.value != self.raw


@dataclass(frozen=True, slots=True)
class MeterBook:
    """All checks by meter, and all places of meters, oldest first."""

    checks: Mapping[str, Sequence[Checked]]
    places: Sequence[Hung]

    def correction(self, meter: str, on: date) -> Correction:
        """What is done to a reading that a meter gives on a day; checks of later days change nothing of it."""
        return correction([one.check for one in self.checks.get(meter, ())], on)

    def meter_of(self, fields: Mapping[str, Any], at: Moment, enclosures: Collection[int]) -> str | None:
        """The meter a reading was made with: the one it names, else the one that hung in one of its enclosures then."""
        named = fields.get("meter")
        if named:
            return str(named)
        hung = [one for one in self._hanging(at) if one.enclosure_id in enclosures]
        return hung[-1].meter if hung else None

    def now_in(self, meter: str) -> Hung | None:
        """Where a meter hangs now; None where it hangs nowhere on record."""
        last = next((one for one in reversed(self.places) if one.meter == meter), None)
        return None if last is None or last.enclosure_id is None else last

    def corrected(self, entry: EntryRow, homes: Mapping[int, int | None]) -> Corrected | None:
        """The humidity of a reading set right by the checks of its meter; None without a humidity or a known meter.

        `homes` is the enclosure in which each occupant lives.
        """
        places = (subject.enclosure_id or homes.get(subject.occupant_id or 0) for subject in entry.subjects)
        return self.set_right(entry.fields, entry.on, _moment(entry), [place for place in places if place])

    def set_right(
        self, fields: Mapping[str, Any], on: date | None, at: Moment, enclosures: Collection[int]
    ) -> Corrected | None:
        """The same of a reading given by its fields, its day, its place in the order of the journal, and its enclosures."""
        raw, meter = fields.get("humidity_pct"), self.meter_of(fields, at, enclosures)
        if raw is None or meter is None or on is None:
            return None
        found = self.correction(meter, on)
        low, high = raw
        value = (None if low is None else found.corrected(low), None if high is None else found.corrected(high))
        return Corrected(value, (low, high), meter, found)

    def _hanging(self, moment: Moment) -> list[Hung]:
        """Where each meter hung at a moment, the one hung last at the end."""
        latest: dict[str, Hung] = {}
        for one in self.places:
            if _moment(one.entry) <= moment:
                latest.pop(one.meter, None)
                latest[one.meter] = one
        return list(latest.values())


def meter_book(session: Session, collection_id: int, occupants: Iterable[OccupantRow]) -> MeterBook:
    """Read the checks and places of all meters of a collection from its notes."""
    homes = homes_of(occupants)
    checks: dict[str, list[Checked]] = {}
    places: list[Hung] = []
    for entry in notes_with(session, collection_id, ("meter",)):
        meter = str(entry.fields.get("meter"))
        check = _check(entry)
        if check is not None:
            checks.setdefault(meter, []).append(Checked(check, entry))
        elif entry.fields.get("taken_down"):
            places.append(Hung(meter, None, entry))
        elif "salt" not in entry.fields:
            enclosures = (subject.enclosure_id or homes.get(subject.occupant_id or 0) for subject in entry.subjects)
            places += [Hung(meter, place, entry) for place in enclosures if place]
    return MeterBook(checks, places)


def homes_of(occupants: Iterable[OccupantRow]) -> dict[int, int | None]:
    """The enclosure in which each occupant lives."""
    return {one.id: one.enclosure_id for one in occupants}


def _check(entry: EntryRow) -> Check | None:
    """The check that an entry tells; None where its numbers cannot be."""
    shown, salt = middle(entry.fields.get("shown_pct")), entry.fields.get("salt")
    if shown is None or salt is None or entry.on is None:
        return None
    try:
        return Check(entry.on, str(salt), shown, middle(entry.fields.get("checked_c")))
    except ValueError:
        return None


def _moment(entry: EntryRow) -> Moment:
    return entry.moment or datetime.max, entry.origin_id  # noqa: DTZ901 - local wall time, which has no zone
