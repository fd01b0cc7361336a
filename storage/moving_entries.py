"""The entries of a document on their way into the journal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import insert, select

from storage.entries import NewEntry, Subject
from storage.journal import append_subjects, stored_values
from storage.moving_form import ENTRIES, REFERRING
from storage.moving_out import BATCH
from storage.moving_values import Arriving, Misfit, Place, Row, SeparateWays, known_rows, known_zone, moment
from storage.tables import Entry

_WITHIN = tuple(name for name, section in REFERRING.items() if section == "entries")
"""Fields by which an entry refers to another, beside the one that it corrects."""


def bring_entries(arriving: Arriving, rows: Sequence[Row]) -> None:
    """Add the entries that are not here yet, in the order of the document. Raises Misfit."""
    _same_as_here(arriving, rows)
    roots = _Roots(arriving, rows)
    waiting: dict[str, tuple[Row, Place]] = {}
    for number, row in enumerate(rows):
        if arriving.names.find(ENTRIES, row["id"]) is not None:
            continue
        if len(waiting) == BATCH or waiting.keys() & _refers_to(row):
            _write(arriving, waiting, roots)
            waiting = {}
        waiting[row["id"]] = (row, ("entries", number))
    _write(arriving, waiting, roots)


def _refers_to(row: Row) -> set[str]:
    named = {row["fields"].get(name) for name in _WITHIN if isinstance(row["fields"].get(name), str)}
    return named | ({row["supersedes"]} if "supersedes" in row else set())


class _Roots:
    """The first entry of each chain of corrections, by the number of a corrected entry, and when that first one was told."""

    def __init__(self, arriving: Arriving, rows: Sequence[Row]) -> None:
        self._session = arriving.session
        self._corrected = {row["supersedes"] for row in rows if "supersedes" in row}
        self._known: dict[int, tuple[int, datetime]] = {}

    def of(self, corrected: int) -> tuple[int, datetime]:
        if corrected not in self._known:
            stored = self._session.get_one(Entry, corrected)
            first = stored if stored.origin_id is None else self._session.get_one(Entry, stored.origin_id)
            self._known[corrected] = (first.id, first.told_at)
        return self._known[corrected]

    def note(self, name: str, own_id: int, root: tuple[int, datetime] | None, told_at: datetime) -> None:
        if name in self._corrected:
            self._known[own_id] = root or (own_id, told_at)


def _write(arriving: Arriving, waiting: Mapping[str, tuple[Row, Place]], roots: _Roots) -> None:
    if not waiting:
        return
    entries, values, firsts = [], [], []
    for row, place in waiting.values():
        columns = arriving.columns(row, ENTRIES.parts, place)
        new = _entry(arriving, row, columns, place)
        old = columns["supersedes"]
        root = None if old is None else roots.of(old)
        cause = {name: columns[name] for name in ("member_id", "message_id", "supersedes")}
        entries.append(new)
        firsts.append(root)
        values.append(
            {"collection_id": arriving.collection_id, **cause, **stored_values(new, root, columns["told_at"])}
        )
    statement = insert(Entry).returning(Entry.id, sort_by_parameter_order=True)
    entry_ids = list(arriving.session.scalars(statement, values))
    append_subjects(arriving.session, entries, entry_ids, values)
    arriving.names.learn(ENTRIES, zip(waiting, entry_ids, strict=True))
    for name, own_id, root, stored in zip(waiting, entry_ids, firsts, values, strict=True):
        roots.note(name, own_id, root, stored["told_at"])
    arriving.added["entries"] += len(waiting)


def _entry(arriving: Arriving, row: Row, columns: Mapping[str, Any], place: Place) -> NewEntry:
    about = []
    for position, told in enumerate(row["subjects"]):
        section, name = next(iter(told.items()))
        found = arriving.row_of(f"{section}s", name, (*place, "subjects", position, section))
        about.append(Subject(found, None) if section == "occupant" else Subject(None, found))
    if columns["told_at"] is None:
        raise Misfit((*place, "told_at"), "is missing")
    known_zone(columns["zone"], (*place, "zone"))
    own = {name: columns[name] for name in ("kind", "mood", "on", "at", "part", "zone", "fields", "words")}
    return NewEntry(**own, subjects=tuple(about))


def _same_as_here(arriving: Arriving, rows: Iterable[Row]) -> None:
    """What is called the same must be the same; else the file and the collection have gone separate ways. Raises Misfit."""
    for here in known_rows(arriving, ENTRIES, rows):
        wanted = select(Entry.id, Entry.told_at, Entry.kind, Entry.words).where(Entry.id.in_(list(here)))
        for entry_id, *stored in arriving.session.execute(wanted):
            number, row = here[entry_id]
            if stored != [moment(row["told_at"]), row["kind"], row["words"]]:
                raise SeparateWays(("entries", number), "entry")
