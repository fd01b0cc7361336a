"""From the journal to samples of sizes: what was measured of a group about the same time, its own or of those that left it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from bot.answers.view import Target, View
from storage import journal
from storage.journal import EntryRow

TOGETHER = timedelta(days=7)
"""Sizes told within so many days are one sample: a tub is rarely measured in one go, and few moult in a week."""

MEASURES_ASKED = ("legspan", "body", "weight")
"""In the order in which a measure is chosen, where several are told as often."""


@dataclass(frozen=True, slots=True)
class Sample:
    """Sizes of one measure (mm or g) told together: exact values, and the ends of what was told as a range.

    `on` is the last day of them; `entries` are what they come from, newest first.
    """

    measure: str
    on: date
    values: tuple[float, ...]
    ends: tuple[float, ...]
    entries: tuple[EntryRow, ...]

    @property
    def all_values(self) -> tuple[float, ...]:
        """Every value told, the ends of ranges too: for how far apart the sizes are."""
        return (*self.values, *self.ends)


def measurements(view: View, target: Target) -> list[EntryRow]:
    """Every measurement of an occupant with a value, newest first."""
    return [
        entry for entry in view.history(target, ("measurement",), limit=journal.WHOLE) if size_of(entry) and entry.on
    ]


def size_of(entry: EntryRow) -> tuple[float, float] | None:
    """The value of a measurement as its ends, equal where it is exact; None where there is none that can be a size."""
    value = entry.fields.get("value")
    if not isinstance(value, list | tuple) or len(value) != 2 or None in value:
        return None
    low, high = float(value[0]), float(value[1])
    return (low, high) if 0 < low <= high else None


def measure_of(entry: EntryRow) -> str:
    """The measure that an entry is of."""
    return str(entry.fields.get("measure") or "legspan")


def own(view: View, target: Target, entries: Iterable[EntryRow]) -> list[EntryRow]:
    """Those measurements that are of the group itself: not told along with animals that left it, nor of one who got them."""
    left = view.history(target, ("departure",), limit=journal.WHOLE)
    messages = {entry.message_id for entry in left if entry.message_id is not None}
    takers = {taker for entry in left for taker in _takers(entry)}
    return [
        entry
        for entry in entries
        if (entry.message_id is None or entry.message_id not in messages)
        and not any(_names(entry, taker) for taker in takers)
    ]


def of_lot(view: View, target: Target, entries: Iterable[EntryRow], taker: str) -> list[EntryRow]:
    """Those measurements that are of the animals that went to somebody: their words name the taker, or tell of the leaving.

    `taker` empty: of all that left.
    """
    told = list(entries)
    if taker:
        left = [entry for entry in view.history(target, ("departure",), limit=journal.WHOLE) if _names(entry, taker)]
        messages = {entry.message_id for entry in left if entry.message_id is not None}
        return [entry for entry in told if _names(entry, taker) or entry.message_id in messages]
    kept = {entry.id for entry in own(view, target, told)}
    return [entry for entry in told if entry.id not in kept]


def spelled(entries: Iterable[EntryRow], taker: str) -> str:
    """The name of a taker as it is spelled in the words of entries; as asked, if it stands in none."""
    found = (re.search(rf"(?<!\w){re.escape(taker)}(?!\w)", entry.words, re.IGNORECASE) for entry in entries)
    return next((match[0] for match in found if match), taker)


def newest(entries: Sequence[EntryRow], measure: str) -> Sample | None:
    """The newest sample of one measure: all that was told within a week of its last day; None where nothing was."""
    fitting = [(entry, size) for entry in entries if measure_of(entry) == measure and (size := size_of(entry))]
    last = max((entry.on for entry, _size in fitting if entry.on), default=None)
    if last is None:
        return None
    near = [(entry, size) for entry, size in fitting if entry.on and last - entry.on < TOGETHER]
    values = tuple(low for _entry, (low, high) in near if low == high)
    ends = tuple(end for _entry, (low, high) in near if low != high for end in (low, high))
    return Sample(measure, last, values, ends, tuple(entry for entry, _size in near))


def shared_measure(first: Sequence[EntryRow], second: Sequence[EntryRow]) -> str | None:
    """The measure that both have most sizes of; None where they share none."""
    counts = {
        name: min(sum(measure_of(entry) == name for entry in part) for part in (first, second))
        for name in MEASURES_ASKED
    }
    best = max(MEASURES_ASKED, key=lambda name: counts[name])
    return best if counts[best] else None


def _takers(entry: EntryRow) -> list[str]:
    """Who got animals, by the words of a departure: the name after "to"."""
    return re.findall(r"\b(?:to|for)\s+([A-Z]\w+)", entry.words)


def _names(entry: EntryRow, taker: str) -> bool:
    return re.search(rf"(?<!\w){re.escape(taker)}(?!\w)", entry.words, re.IGNORECASE) is not None
