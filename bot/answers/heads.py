"""From the journal to the events that bear on a head count."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from bot.answers.view import Target, View
from bot.care.headcount import Count, Event, Number, headcount
from storage import journal, stays
from storage.journal import EntryRow, Subject
from storage.roster import OccupantRow

KINDS = ("count", "arrival", "departure", "death", "move", "sac", "placed")

_NUMBER_FIELD = {"count": "count", "move": "count", "placed": "count"}

Dated = tuple[datetime, int, Event]
"""An event with its place in the order of the journal."""


def count_of(
    view: View, occupant: OccupantRow, before: EntryRow | None = None, seen: frozenset[int] = frozenset()
) -> Count:
    """Reckon the head count of a group or an animal as it is now, or as it was just before an entry.

    `seen` are the groups whose count is being worked out already, so that two groups that joined each other in turn end.
    """
    return headcount(events_of(view, occupant, before, seen))


def events_of(
    view: View, occupant: OccupantRow, before: EntryRow | None = None, seen: frozenset[int] = frozenset()
) -> list[Event]:
    """Everything that bears on the head count of an occupant, in order, as `count_of` takes it."""
    entries = bearing(view, occupant, before)
    dated = [one for entry in entries for one in _events(view, occupant, entry, seen | {occupant.id})]
    start = _start(view, occupant)
    ordered = [event for _moment, _id, event in sorted(dated, key=lambda one: one[:2])]
    return [*([start] if start else []), *ordered]


def bearing(view: View, occupant: OccupantRow, before: EntryRow | None = None) -> list[EntryRow]:
    """Find the entries that bear on the head count of an occupant: those that name it, or the place where it then lived alone."""
    found = view.history(Target(occupant=occupant), KINDS, until=before.on if before else None, limit=journal.WHOLE)
    return [
        entry for entry in found if _meant(view, occupant, entry) and (before is None or _place(entry) < _place(before))
    ]


def _meant(view: View, occupant: OccupantRow, entry: EntryRow) -> bool:
    if _made(occupant, entry) or Subject(occupant_id=occupant.id) in entry.subjects:
        return True
    lived_with = [
        stays.occupants_in(view.session, subject.enclosure_id, entry.on)
        for subject in entry.subjects
        if subject.enclosure_id is not None
    ]
    return [occupant.id] in lived_with


def _place(entry: EntryRow) -> tuple[datetime, int]:
    return entry.moment or datetime.min, entry.id  # noqa: DTZ901 - local wall time, which has no zone


def _made(occupant: OccupantRow, entry: EntryRow) -> bool:
    """Whether a move put heads into this group: it was made by the split, or others joined it."""
    return entry.fields.get("new_occupant_id") == occupant.id


def _start(view: View, occupant: OccupantRow) -> Event | None:
    number = occupant.count if occupant.count is not None else 1 if occupant.kind == "animal" else None
    if number is None:
        return None
    return Event("start", _set_up(view, occupant) or view.today, (number, number))


def _set_up(view: View, occupant: OccupantRow) -> date | None:
    """The day of an occupant's first stay; for one that lived there since before the records, the day it was told."""
    first = next(iter(stays.stays(view.session, occupant.id)), None)
    if first is None or first.since is not None:
        return None if first is None else first.since
    told = journal.entry(view.session, first.entry_id)
    return None if told is None else told.told_at.astimezone(view.zone).date()


def _events(view: View, occupant: OccupantRow, entry: EntryRow, seen: frozenset[int]) -> Iterator[Dated]:
    for what, number in _happened(view, occupant, entry, seen):
        yield *_place(entry), Event(what, entry.on or view.today, number)


def _happened(
    view: View, occupant: OccupantRow, entry: EntryRow, seen: frozenset[int]
) -> Iterator[tuple[str, Number | None]]:
    number = number_of(entry)
    if entry.kind == "count" or (entry.kind in {"move", "placed"} and not _made(occupant, entry)):
        yield from _told_count(entry, number)
    elif entry.kind == "move":
        yield from _came_in(view, entry, number, seen)
    elif entry.kind == "sac":
        if entry.fields.get("stage") == "hatched":
            yield "hatched", number
    elif entry.kind in {"death", "departure"} and occupant.kind == "animal":
        yield "gone", None
    elif occupant.kind == "group":
        yield entry.kind, number


def _told_count(entry: EntryRow, number: Number | None) -> Iterator[tuple[str, Number | None]]:
    if entry.fields.get("part_of_group"):
        yield "split", number
    elif entry.fields.get("joined"):
        yield "merged", None
    elif number is not None:
        yield "count", number


def _came_in(
    view: View, entry: EntryRow, number: Number | None, seen: frozenset[int]
) -> Iterator[tuple[str, Number | None]]:
    """A new group starts with those split off; others that joined it come on top."""
    if not entry.fields.get("joined"):
        if number is not None:
            yield "start", number
        return
    if number is None and not entry.fields.get("part_of_group"):
        number = _whole_groups(view, entry, seen)
    yield "joined", number


def _whole_groups(view: View, entry: EntryRow, seen: frozenset[int]) -> Number | None:
    """Heads of the groups that a move names, as they were before it."""
    low, high = 0, 0
    for subject in entry.subjects:
        row = next((one for one in view.roster.occupants if one.id == subject.occupant_id), None)
        if row is None or row.id in seen:
            return None
        count = count_of(view, row, entry, seen)
        if count.high is None:
            return None
        low, high = low + count.low, high + count.high
    return (low, high) if high else None


def number_of(entry: EntryRow) -> Number | None:
    """Read the [low, high] number of heads that an entry carries, None when it carries none."""
    value = entry.fields.get(_NUMBER_FIELD.get(entry.kind, "number"))
    if not isinstance(value, list | tuple) or len(value) != 2:
        return None
    low, high = (None if edge is None else int(edge) for edge in value)
    return low, high
