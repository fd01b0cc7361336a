"""Readings of a place as they are shown: humidity set right where the meter was checked over salt, the raw one beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from bot.answers.view import Target, View
from bot.care.facts import middle
from bot.care.words import short_day
from bot.conversation.meter_book import Corrected, MeterBook, homes_of
from bot.wording import say_humidity
from storage.journal import EntryRow

LOOKED_BACK = 200
"""Readings that are looked through for the last: one that gives only the temperature must not hide the last humidity."""

Span = Sequence[float | None]


@dataclass(frozen=True, slots=True)
class Shown:
    """A reading: temperature in °C and humidity in per cent as ranges, None where not told; `corrected` where a meter is known."""

    entry: EntryRow
    temperature_c: Span | None
    humidity_pct: Span | None
    corrected: Corrected | None

    @property
    def whole(self) -> bool:
        """Whether both are told with both ends, so that the air can be reckoned."""
        both = (self.temperature_c, self.humidity_pct)
        return all(span is not None and None not in span for span in both)


def book_of(view: View) -> MeterBook:
    """The meters of the collection."""
    return view.meters


def readings_of(
    view: View, book: MeterBook, target: Target, since: date | None = None, limit: int = LOOKED_BACK
) -> list[Shown]:
    """The readings of a place, newest first."""
    homes = homes_of(view.roster.occupants)
    return [shown(book, homes, entry) for entry in view.history(target, ("reading",), since=since, limit=limit)]


def shown(book: MeterBook, homes: dict[int, int | None], entry: EntryRow) -> Shown:
    """One reading as it is shown."""
    corrected = book.corrected(entry, homes)
    humidity = corrected.value if corrected is not None else entry.fields.get("humidity_pct")
    return Shown(entry, entry.fields.get("temperature_c"), humidity, corrected)


def say_corrected(view: View, reading: Shown) -> str:
    """Say the humidity: "61 % humidity (raw 57, hyg 3 checked 3 Mar)"; only the raw one where nothing was set right."""
    raw = reading.entry.fields["humidity_pct"]
    found = reading.corrected
    if found is None:
        return say_humidity(raw)
    if not found.changed:
        return f"{say_humidity(raw)} by {found.meter}"
    last = found.correction.checks[0].on
    raw_said = say_humidity(raw).removesuffix(" % humidity")
    return f"{say_humidity(rounded(found.value))} (raw {raw_said}, {found.meter} checked {short_day(last, view.today)})"


def rounded(span: Span) -> list[float | None]:
    """The span in whole numbers: what is reckoned from a household meter is no finer."""
    return [None if edge is None else round(edge) for edge in span]


def middle_of(span: Span | None) -> float | None:
    """One number for a range."""
    return None if span is None else middle(list(span))
