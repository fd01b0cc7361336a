"""Where an animal or a group lives, and the air there, as a hand-over sheet takes it."""

from __future__ import annotations

from datetime import date

from bot.answers.handover_told import Company
from bot.answers.readings import book_of, readings_of
from bot.answers.view import Target, View
from bot.answers.wards import bare_wards
from bot.care.rules import rules_of
from bot.handover import Enclosure, Reading
from bot.handover.facts import Range
from storage import stays
from storage.roster import OccupantRow
from storage.stays import Stay

_ALL = 100_000


def enclosure_of(view: View, row: OccupantRow, until: date) -> Enclosure:
    """The enclosure on the last day of the sheet, with the bands that the keeper had set by then; of one that is gone without."""
    stay = _stay(view, row, until)
    if stay is None:
        return Enclosure(bands_known=row.ended_on is None)
    place = next((one for one in view.roster.enclosures if one.id == stay.enclosure_id), None)
    bands = _bands(view, row, until)
    return Enclosure(
        size_cm=None if place is None else place.size_cm,
        since=stay.since,
        shared=Company(view, row).others(stay.enclosure_id, until),
        humidity_pct=bands.get("humidity_pct"),
        temperature_c=bands.get("temperature_c"),
        bands_known=row.ended_on is None,
    )


def _stay(view: View, row: OccupantRow, until: date) -> Stay | None:
    """The last stay that began by that day."""
    found = [one for one in stays.stays(view.session, row.id) if one.since is None or one.since <= until]
    return found[-1] if found else None


def _bands(view: View, row: OccupantRow, until: date) -> dict[str, Range]:
    """What the keeper had laid down for it or its place by a day."""
    ward = next((one for one in bare_wards(view, [row.name]) if one.name == row.name), None)
    if ward is None:
        return {}
    bands = rules_of(fact for fact in ward.rules if fact.told <= until).bands
    return {name: (float(fact.fields[name][0]), float(fact.fields[name][1])) for name, fact in bands.items()}


def readings_in(view: View, target: Target, since: date, until: date) -> tuple[Reading, ...]:
    """The readings of some days where it then lived, as checked meters have them, oldest first."""
    found = readings_of(view, book_of(view), target, since, _ALL)
    return tuple(
        Reading(one.entry.on, _pair(one.temperature_c), _pair(one.humidity_pct))
        for one in reversed(found)
        if one.entry.on is not None and one.entry.on <= until
    )


def _pair(span: object) -> Range | None:
    if not isinstance(span, list | tuple) or len(span) != 2:
        return None
    low, high = (None if edge is None else float(edge) for edge in span)
    return low, high
