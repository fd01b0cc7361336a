"""That what is written for a collection is about its own animals, places and entries, and of no other's.

No words of a keeper's can name those of another collection. This is held to all the same where entries are written, since a row
that points across would be shown, moved and taken back by people who do not know each other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from storage.tables import Enclosure, Entry, Member, Occupant

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from sqlalchemy.orm import Session

    from storage.entries import NewEntry

_BATCH = 500  # ids in one statement; databases limit the number of parameters


def check_new(
    session: Session, collection_id: int, entries: Sequence[NewEntry], superseded: Iterable[int] = ()
) -> None:
    """Raise LookupError where an entry that is to be written for a collection is about something of another one."""
    subjects = [subject for one in entries for subject in one.subjects]
    occupants = [subject.occupant_id for subject in subjects] + _held(entries, "new_occupant_id")
    enclosures = [subject.enclosure_id for subject in subjects] + _held(entries, "to_enclosure_id")
    _check(session, collection_id, Occupant, occupants)
    _check(session, collection_id, Enclosure, enclosures)
    _check(session, collection_id, Entry, superseded)


def check_old(session: Session, member_id: int | None, entry_ids: Iterable[int]) -> None:
    """Raise LookupError where entries that a member takes back are those of another collection; for nobody nothing is looked at."""
    if member_id is not None:
        _check(session, session.get_one(Member, member_id).collection_id, Entry, entry_ids)


def _held(entries: Sequence[NewEntry], name: str) -> list[int | None]:
    return [one.fields.get(name) for one in entries]


def _check(
    session: Session,
    collection_id: int,
    table: type[Occupant | Enclosure | Entry],
    ids: Iterable[int | None],
) -> None:
    """An id that is nowhere is no concern of this: the database itself refuses it, or there is nothing to be taken back."""
    wanted = sorted({one for one in ids if one is not None})
    for start in range(0, len(wanted), _BATCH):
        theirs = select(table.id).where(table.id.in_(wanted[start : start + _BATCH]))
        found = session.scalar(theirs.where(table.collection_id != collection_id).limit(1))
        if found is not None:
            raise LookupError(f"{found} of the {table.__tablename__} is of another collection than {collection_id}")
