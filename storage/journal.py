"""The journal: what was done and seen, and what is planned. Append-only.

A correction is a new entry that supersedes an old one; an undo is a row in `retractions`. An entry is current when it is neither
retracted nor superseded; a correction that is retracted takes the act back, and to restore the earlier wording it is appended again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import insert, select

from storage import belonging, moments, stays
from storage.current import is_current
from storage.entries import EntryRow, NewEntry, Subject, rows
from storage.tables import Entry, EntrySubject, Retraction
from storage.walks import WHOLE, history, last_of_kind

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date, datetime

    from sqlalchemy.orm import Session

__all__ = [
    "WHOLE",
    "EntryRow",
    "NewEntry",
    "Subject",
    "append",
    "between",
    "entries_of_message",
    "entry",
    "history",
    "last_message_with_entries",
    "last_of_kind",
    "retract",
    "undated",
]


def append(
    session: Session,
    collection_id: int,
    member_id: int | None,
    message_id: int | None,
    told_at: datetime,
    entries: Sequence[NewEntry],
    supersedes: Sequence[int | None] | None = None,
) -> list[int]:
    """Write entries; their ids, in order. `supersedes`, of the same length, holds the id that each one corrects.

    Stays of the occupants touched are brought up to date. LookupError for a superseded entry that is not there, and for anything of
    another collection; ValueError for lists of different length.
    """
    corrected = list(supersedes) if supersedes is not None else [None] * len(entries)
    roots = _roots(session, [old for old in corrected if old is not None])
    belonging.check_new(session, collection_id, entries, roots)
    values = [
        {
            "collection_id": collection_id,
            "member_id": member_id,
            "message_id": message_id,
            "supersedes": old,
            **stored_values(new, None if old is None else roots[old], told_at),
        }
        for new, old in zip(entries, corrected, strict=True)
    ]
    if not values:
        return []
    statement = insert(Entry).returning(Entry.id, sort_by_parameter_order=True)
    entry_ids = list(session.scalars(statement, values))
    append_subjects(session, entries, entry_ids, values)
    stays.follow(session, [*entry_ids, *roots])
    return entry_ids


def retract(
    session: Session, entry_ids: Iterable[int], member_id: int | None, message_id: int | None, told_at: datetime
) -> None:
    """Take entries back. One that is taken back already stays so. LookupError where they are of another collection than the member."""
    wanted = sorted(set(entry_ids))
    belonging.check_old(session, member_id, wanted)
    already = set(session.scalars(select(Retraction.entry_id).where(Retraction.entry_id.in_(wanted))))
    fresh = [entry_id for entry_id in wanted if entry_id not in already]
    if not fresh:
        return
    cause = {"member_id": member_id, "message_id": message_id, "told_at": told_at}
    session.execute(insert(Retraction), [{"entry_id": entry_id, **cause} for entry_id in fresh])
    stays.follow(session, fresh)


def entry(session: Session, entry_id: int) -> EntryRow:
    """The entry of that id, current or not. LookupError when there is none."""
    found = rows(session, [entry_id])
    if not found:
        raise LookupError(f"there is no entry {entry_id}")
    return found[0]


def entries_of_message(session: Session, message_id: int, *, current: bool = True) -> list[EntryRow]:
    """What a message wrote, in order; with `current` only what of it still holds."""
    wanted = select(Entry.id).where(Entry.message_id == message_id).order_by(Entry.id)
    if current:
        wanted = wanted.where(is_current(Entry.id))
    return rows(session, list(session.scalars(wanted)))


def last_message_with_entries(session: Session, member_id: int) -> int | None:
    """The message by which a member last wrote something that still holds."""
    wanted = select(Entry.message_id).where(Entry.member_id == member_id, Entry.message_id.is_not(None))
    return session.scalar(wanted.where(is_current(Entry.id)).order_by(Entry.id.desc()).limit(1))


def between(
    session: Session,
    collection_id: int,
    since: date | None,
    until: date | None,
    moods: Sequence[str] = ("log",),
    kinds: Sequence[str] | None = None,
) -> list[EntryRow]:
    """Current entries of a collection dated from `since` to `until`, both included, oldest first."""
    wanted = (
        select(Entry.id)
        .where(Entry.collection_id == collection_id, Entry.mood.in_(moods))
        .where(Entry.moment >= moments.day_start(since), Entry.moment <= moments.day_end(until))
        .where(is_current(Entry.id))
        .order_by(Entry.moment, Entry.id)
    )
    if kinds is not None:
        wanted = wanted.where(Entry.kind.in_(kinds))
    return rows(session, list(session.scalars(wanted)))


def undated(session: Session, collection_id: int, moods: Sequence[str] = ("plan",)) -> list[EntryRow]:
    """Current entries of a collection that have no day of their own (repeating plans, say), in the order told."""
    wanted = select(Entry.id).where(Entry.collection_id == collection_id, Entry.mood.in_(moods), Entry.moment.is_(None))
    return rows(session, list(session.scalars(wanted.where(is_current(Entry.id)).order_by(Entry.id))))


def _roots(session: Session, superseded: Sequence[int]) -> dict[int, tuple[int, datetime]]:
    """For each superseded entry the first of its chain, and when that one was told."""
    roots: dict[int, tuple[int, datetime]] = {}
    for old in rows(session, superseded):
        told_at = old.told_at if old.origin_id == old.id else entry(session, old.origin_id).told_at
        roots[old.id] = (old.origin_id, told_at)
    missing = [old for old in superseded if old not in roots]
    if missing:
        raise LookupError(f"there is no entry {missing[0]} to correct")
    return roots


def stored_values(new: NewEntry, root: tuple[int, datetime] | None, told_at: datetime) -> dict[str, Any]:
    """The columns of an entry that follow from what it says; `root` is the first of the chain that it corrects, and when that was told."""
    # A correction keeps the place in the day of what it corrects: it tells of the same act.
    first_told = told_at if root is None else root[1]
    return {
        "told_at": told_at,
        "kind": new.kind,
        "mood": new.mood,
        "on": new.on,
        "at": new.at,
        "part": new.part,
        "zone": new.zone,
        "moment": moments.moment(new.on, new.at, new.part, first_told, new.zone),
        "fields": dict(new.fields),
        "words": new.words,
        "origin_id": None if root is None else root[0],
    }


def append_subjects(
    session: Session, entries: Sequence[NewEntry], entry_ids: Sequence[int], values: Sequence[dict[str, Any]]
) -> None:
    """Write the subjects of entries that are stored with these values (moment and origin_id among them)."""
    subjects = [
        {
            "entry_id": entry_id,
            "position": position,
            "occupant_id": subject.occupant_id,
            "enclosure_id": subject.enclosure_id,
            "named": named,
            "mood": new.mood,
            "kind": new.kind,
            "moment": stored["moment"],
            "origin_id": stored["origin_id"] or entry_id,
        }
        for new, entry_id, stored in zip(entries, entry_ids, values, strict=True)
        for position, (subject, named) in enumerate(_subjects(new))
    ]
    if subjects:
        session.execute(insert(EntrySubject), subjects)


def _subjects(new: NewEntry) -> list[tuple[Subject, bool]]:
    """Each subject once, with whether the words named it: a group that the entry made has it in its history too."""
    named = list(dict.fromkeys(new.subjects))
    made = new.fields.get("new_occupant_id")
    unnamed = [] if made is None or Subject(made) in named else [Subject(made)]
    return [(subject, True) for subject in named] + [(subject, False) for subject in unnamed]
