"""The tables that come of the journal: everything that was told, what is planned, and head counts, moults, sizes and readings apart."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from dataclasses import dataclass
from math import inf
from pathlib import Path
from zoneinfo import ZoneInfo

from sqlalchemy import select

from bot.answers.view import View
from bot.answers.wards import due_list
from bot.moving.cells import Cell, Sheet, sheet
from bot.moving.csv_columns import AMOUNTS, MEASURED, RANGES, WHEN, WHO, amounts
from bot.moving.csv_roster import local_text
from storage import households, moments
from storage.entries import EntryRow, Subject, rows
from storage.roster import OccupantRow
from storage.tables import Entry, StayRecord

_BATCH = 500

_TOLD = ("words", "told at", "told by", "state", "corrects")

HEADINGS: Mapping[str, tuple[str, ...]] = {
    "entries": ("entry", *WHEN, "kind", *WHO, "named together", "what", *AMOUNTS, *_TOLD),
    "plans": ("entry", *WHEN, "kind", *WHO, "what", "every (days)", "until", "next due", *_TOLD),
    "counts": (*WHEN, *WHO, "number", "number, at most", "words", "entry"),
    "moults": (*WHEN, *WHO, "number", "number, at most", "words", "entry"),
    "sizes": (*WHEN, *WHO, *(heading for pair in MEASURED.values() for heading in pair), "words", "entry"),
    "readings": (*WHEN, *WHO, *RANGES["temperature_c"], *RANGES["humidity_pct"], "meter", "words", "entry"),
}
_APART: Mapping[str, str] = {"count": "counts", "moult": "moults", "measurement": "sizes", "reading": "readings"}
"""Kinds of entry with a table of their own, of those that hold."""


@dataclass(frozen=True, slots=True)
class _Book:
    """What the lines of all tables look things up in. `stays` are by occupant, `due` by plan and whom it is for."""

    view: View
    occupants: Mapping[int, OccupantRow]
    tellers: Mapping[int, str]
    stays: Mapping[int, list[StayRecord]]
    due: Mapping[tuple[int, str], str]

    @classmethod
    def of(cls, view: View) -> _Book:
        """Read it all."""
        stays: dict[int, list[StayRecord]] = defaultdict(list)
        for stay in view.session.scalars(select(StayRecord).where(StayRecord.collection_id == view.collection_id)):
            stays[stay.occupant_id].append(stay)
        occupants = {row.id: row for row in view.roster.occupants}
        tellers = {row.id: row.name for row in households.everyone(view.session, view.collection_id)}
        due = {
            (task.plan, task.ward): task.earliest.isoformat()
            for task in due_list(view)
            if task.plan is not None and task.earliest is not None
        }
        return cls(view, occupants, tellers, stays, due)

    def next_due(self, plan: int, who: str) -> str | None:
        """When a plan falls due next for somebody; one for a place may be told of who lives there."""
        days = [day for (known, _ward), day in self.due.items() if known == plan]
        return self.due.get((plan, who)) or min(days, default=None)

    def place(self, occupant_id: int, entry: EntryRow) -> str | None:
        """Where an occupant lived at an entry, by the name that the place has now."""
        undated = (
            moments.BEGINNING if entry.mood == "log" else moments.END
        )  # a plan without a day is for where it lives now
        at = (entry.moment or undated, entry.origin_id)
        for stay in self.stays.get(occupant_id, ()):
            if (stay.from_moment, stay.from_origin) <= at < (stay.until_moment, stay.until_origin or inf):
                return self.view.name_of(Subject(enclosure_id=stay.enclosure_id))
        return None


def write_journal(view: View, folder: Path) -> dict[str, int]:
    """Write these tables into a folder; how many rows each has. The view is one of metric units. Raises MovingFault."""
    book = _Book.of(view)
    with ExitStack() as files:
        sheets = {
            name: files.enter_context(sheet(folder / f"{name}.csv", headings)) for name, headings in HEADINGS.items()
        }
        for entry in _entries(view):
            for cells in _lines(book, entry):
                _put(book, sheets, entry, cells)
        return {name: made.rows for name, made in sheets.items()}


def _entries(view: View) -> Iterator[EntryRow]:
    """All entries by the day they are of, those without at the end."""
    order = (Entry.moment.is_(None), Entry.moment, Entry.id)
    ids = list(view.session.scalars(select(Entry.id).where(Entry.collection_id == view.collection_id).order_by(*order)))
    for start in range(0, len(ids), _BATCH):
        yield from rows(view.session, ids[start : start + _BATCH])


def _lines(book: _Book, entry: EntryRow) -> Iterator[dict[str, Cell]]:
    """The cells that a line has in every table: one line for each subject, one for an entry of nobody."""
    same: dict[str, Cell] = {
        "entry": entry.id,
        "date": entry.on.isoformat() if entry.on else None,
        "time": entry.at.strftime("%H:%M") if entry.at else None,
        "part of day": entry.part,
        "time zone": entry.zone,
        "words": entry.words,
    }
    for subject in entry.subjects or (None,):
        yield same | ({} if subject is None else _who(book, entry, subject))


def _who(book: _Book, entry: EntryRow, subject: Subject) -> dict[str, Cell]:
    name = book.view.name_of(subject)
    if subject.occupant_id is None:
        return {"who": name, "who it is": "place", "place": name}
    kept = book.occupants.get(subject.occupant_id)
    return {
        "who": name,
        "who it is": kept.kind if kept else None,
        "species": kept.species if kept else None,
        "place": book.place(subject.occupant_id, entry),
    }


def _put(book: _Book, sheets: Mapping[str, Sheet], entry: EntryRow, cells: dict[str, Cell]) -> None:
    fields = {**entry.fields, **_to(book.view, entry)}
    told = _told(book, entry)
    own: dict[str, Cell] = {"kind": entry.kind, "what": book.view.act(entry)}
    if entry.mood == "plan":
        every, until = fields.get("every_days"), fields.get("until")
        own["every (days)"] = every if isinstance(every, int | float) else None
        own["until"] = until if isinstance(until, str) else None
        own["next due"] = book.next_due(entry.id, str(cells.get("who") or ""))
        sheets["plans"].add(cells | own | told)
        return
    values = amounts(fields)
    own["named together"] = len(entry.subjects) or None
    sheets["entries"].add(cells | own | values | told)
    apart = _APART.get(entry.kind)
    if apart is not None and entry.current:
        known = {name: cell for name, cell in values.items() if name in HEADINGS[apart]}
        sheets[apart].add(cells | known)


def _to(view: View, entry: EntryRow) -> dict[str, str]:
    """Where a move goes, by the name that the place has now."""
    place = entry.fields.get("to_enclosure_id")
    return {"to": view.name_of(Subject(enclosure_id=place))} if isinstance(place, int) else {}


def _told(book: _Book, entry: EntryRow) -> dict[str, Cell]:
    state = "taken back" if entry.retracted else "corrected" if entry.superseded_by is not None else "holds"
    return {
        "told at": local_text(entry.told_at, ZoneInfo(entry.zone)),
        "told by": book.tellers.get(entry.member_id or 0),
        "state": state,
        "corrects": entry.supersedes,
    }
