"""Entries as plain data, and how they are read from their tables."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from sqlalchemy import select
from sqlalchemy.orm import aliased

from storage.tables import Entry, EntrySubject, Retraction

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date, datetime, time

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
    retracted = set(session.scalars(select(Retraction.entry_id).where(Retraction.entry_id.in_(entry_ids))))
    later = aliased(Entry)
    pairs = session.execute(
        select(later.supersedes, later.id).where(later.supersedes.in_(entry_ids)).order_by(later.id)
    )
    superseded = {old: new for old, new in pairs}  # noqa: C416 - a Row is no pair to dict()
    stored = session.scalars(select(Entry).where(Entry.id.in_(entry_ids)))
    return [_row(entry, subjects[entry.id], entry.id in retracted, superseded.get(entry.id)) for entry in stored]


def _subjects(session: Session, entry_ids: Sequence[int]) -> dict[int, list[Subject]]:
    subjects: dict[int, list[Subject]] = defaultdict(list)
    found = session.execute(
        select(EntrySubject.entry_id, EntrySubject.occupant_id, EntrySubject.enclosure_id)
        .where(EntrySubject.entry_id.in_(entry_ids), EntrySubject.named)
        .order_by(EntrySubject.entry_id, EntrySubject.position)
    )
    for entry_id, occupant_id, enclosure_id in found:
        subjects[entry_id].append(Subject(occupant_id, enclosure_id))
    return subjects


def _row(entry: Entry, subjects: list[Subject], retracted: bool, superseded_by: int | None) -> EntryRow:  # noqa: FBT001
    return EntryRow(
        kind=entry.kind,
        mood=entry.mood,
        on=entry.on,
        at=entry.at,
        part=entry.part,
        zone=entry.zone,
        fields=entry.fields,
        subjects=tuple(subjects),
        words=entry.words,
        id=entry.id,
        collection_id=entry.collection_id,
        member_id=entry.member_id,
        message_id=entry.message_id,
        told_at=entry.told_at,
        supersedes=entry.supersedes,
        retracted=retracted,
        superseded_by=superseded_by,
        moment=entry.moment,
        origin_id=entry.origin_id or entry.id,
    )
