"""Entries as plain data, and how they are read from their tables."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING, Any

from sqlalchemy import bindparam, func, select

from storage.tables import Entry, EntrySubject, Retraction

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date, datetime, time

    from sqlalchemy import Select
    from sqlalchemy.orm import Session

_BATCH = 500  # ids in one statement; databases limit the number of parameters


@dataclass(frozen=True, slots=True)
class Subject:
    """What the words named: an occupant or an enclosure, exactly one of them. ValueError otherwise."""

    occupant_id: int | None = None
    enclosure_id: int | None = None

    def __post_init__(self) -> None:
        if (self.occupant_id is None) == (self.enclosure_id is None):
            raise ValueError("a subject is either an occupant or an enclosure")


@dataclass(frozen=True, slots=True)
class NewEntry:
    """An entry to be written. `mood` is log or plan, `zone` the IANA zone in which `on` and `at` are meant."""

    kind: str
    mood: str
    on: date | None
    at: time | None
    part: str | None
    zone: str
    fields: Mapping[str, Any] = field(default_factory=dict)
    subjects: tuple[Subject, ...] = ()
    words: str = ""


@dataclass(frozen=True, slots=True)
class EntryRow(NewEntry):
    """An entry as it stands in the journal.

    `moment` is the local wall time by which entries are ordered; `origin_id` the first entry of its chain of corrections (its own id if
    it corrects nothing); `superseded_by` the newest correction of it.
    """

    id: int = field(kw_only=True)
    collection_id: int = field(kw_only=True)
    member_id: int | None = field(kw_only=True)
    message_id: int | None = field(kw_only=True)
    told_at: datetime = field(kw_only=True)
    supersedes: int | None = field(kw_only=True)
    retracted: bool = field(kw_only=True)
    superseded_by: int | None = field(kw_only=True)
    moment: datetime | None = field(kw_only=True)
    origin_id: int = field(kw_only=True)

    @property
    def current(self) -> bool:
        """Whether the entry still holds."""
        return not self.retracted and self.superseded_by is None


def rows(session: Session, entry_ids: Sequence[int]) -> list[EntryRow]:
    """The entries of these ids, in the order asked for; ids that are not there are left out."""
    found: dict[int, EntryRow] = {}
    for start in range(0, len(entry_ids), _BATCH):
        for row in _batch(session, entry_ids[start : start + _BATCH]):
            found[row.id] = row
    return [found[entry_id] for entry_id in entry_ids if entry_id in found]


def _batch(session: Session, entry_ids: Sequence[int]) -> list[EntryRow]:
    subjects = _subjects(session, entry_ids)
    found = session.execute(_entry_statement(), {"entry_ids": entry_ids})
    return [_row(stored, retraction_id, superseded_by, subjects) for stored, retraction_id, superseded_by in found]


@cache
def _entry_statement() -> Select[Entry, int | None, int | None]:
    """Entries by id, each with its retraction and its newest correction. Made once: making it costs more than running it."""
    later = Entry.__table__.alias("later")
    superseded_by = select(func.max(later.c.id)).where(later.c.supersedes == Entry.id).scalar_subquery()
    statement = select(Entry, Retraction.id, superseded_by).outerjoin(Retraction, Retraction.entry_id == Entry.id)
    return statement.where(Entry.id.in_(bindparam("entry_ids", expanding=True)))


@cache
def _subject_statement() -> Select[int, int | None, int | None]:
    statement = select(EntrySubject.entry_id, EntrySubject.occupant_id, EntrySubject.enclosure_id)
    statement = statement.where(EntrySubject.entry_id.in_(bindparam("entry_ids", expanding=True)), EntrySubject.named)
    return statement.order_by(EntrySubject.entry_id, EntrySubject.position)


def _subjects(session: Session, entry_ids: Sequence[int]) -> dict[int, list[Subject]]:
    subjects: dict[int, list[Subject]] = defaultdict(list)
    for entry_id, occupant_id, enclosure_id in session.execute(_subject_statement(), {"entry_ids": entry_ids}):
        subjects[entry_id].append(Subject(occupant_id, enclosure_id))
    return subjects


def _row(
    entry: Entry, retraction_id: int | None, superseded_by: int | None, subjects: Mapping[int, Sequence[Subject]]
) -> EntryRow:
    return EntryRow(
        kind=entry.kind,
        mood=entry.mood,
        on=entry.on,
        at=entry.at,
        part=entry.part,
        zone=entry.zone,
        fields=entry.fields,
        subjects=tuple(subjects[entry.id]),
        words=entry.words,
        id=entry.id,
        collection_id=entry.collection_id,
        member_id=entry.member_id,
        message_id=entry.message_id,
        told_at=entry.told_at,
        supersedes=entry.supersedes,
        retracted=retraction_id is not None,
        superseded_by=superseded_by,
        moment=entry.moment,
        origin_id=entry.origin_id or entry.id,
    )
