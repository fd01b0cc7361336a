"""Photos: what came with a message, what it shows, and whether the file is kept.

A row is written with the message; the file is fetched afterwards and named by its content, so that the same photo is kept once.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, or_, select

from storage.current import is_current
from storage.tables import Entry, EntrySubject, Photo

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from sqlalchemy.orm import Session

    from storage.journal import Subject


@dataclass(frozen=True, slots=True)
class PhotoRow:
    """A photo that came with the message `inbox_id` and shows what the message `about_id` told of.

    `reference` is what its service wants to hear to hand it over; `state` is wanted, kept or lost; `digest` the SHA-256 of the
    file in hex, `bytes` its size.
    """

    id: int
    collection_id: int
    inbox_id: int
    about_id: int
    channel: str
    reference: dict[str, Any]
    state: str
    digest: str | None
    media_type: str | None
    bytes: int | None
    tries: int


_ROW = tuple(PhotoRow.__dataclass_fields__)


def want(session: Session, collection_id: int, inbox_id: int, channel: str, reference: Mapping[str, Any]) -> int:
    """A photo came with a message, and its file is to be fetched; its id."""
    stored = Photo(
        collection_id=collection_id,
        inbox_id=inbox_id,
        about_id=inbox_id,
        channel=channel,
        reference=dict(reference),
        state="wanted",
        tries=0,
    )
    session.add(stored)
    session.flush()
    return stored.id


def wanted(session: Session, channel: str, now: datetime) -> list[PhotoRow]:
    """The photos that are to be fetched now, oldest first."""
    due = or_(Photo.due_at.is_(None), Photo.due_at <= now)
    found = session.scalars(
        select(Photo).where(Photo.state == "wanted", Photo.channel == channel, due).order_by(Photo.id)
    )
    return [_row(stored) for stored in found]


def keep(session: Session, photo_id: int, digest: str, media_type: str, size: int) -> None:
    """The file of a photo is in the data folder. `size` in bytes."""
    stored = _stored(session, photo_id)
    stored.state, stored.digest, stored.media_type, stored.bytes = "kept", digest, media_type, size
    session.flush()


def put_off(session: Session, photo_id: int, until: datetime) -> int:
    """A photo could not be fetched, and is tried again from then on; the number of tries so far."""
    stored = _stored(session, photo_id)
    stored.tries += 1
    stored.due_at = until
    session.flush()
    return stored.tries


def lose(session: Session, photo_id: int) -> None:
    """A photo cannot be had: its service has it no more, or it is no picture."""
    _stored(session, photo_id).state = "lost"
    session.flush()


def photo(session: Session, photo_id: int) -> PhotoRow:
    """The photo of that id. Raises LookupError when there is none."""
    return _row(_stored(session, photo_id))


def of_message(session: Session, inbox_id: int) -> list[PhotoRow]:
    """The photos that came with a message."""
    return [
        _row(found) for found in session.scalars(select(Photo).where(Photo.inbox_id == inbox_id).order_by(Photo.id))
    ]


def show(session: Session, photo_id: int, about_id: int) -> None:
    """A photo shows what that message told of."""
    _stored(session, photo_id).about_id = about_id
    session.flush()


def latest(session: Session, collection_id: int, subjects: Sequence[Subject], limit: int = 1) -> list[PhotoRow]:
    """The last photos kept of these animals and places, newest first; a corrected entry counts for what it says now."""
    first = func.coalesce(Entry.origin_id, Entry.id)
    told = select(Entry.message_id).where(Entry.id.in_(_first_entries(first, subjects)))
    wanted = (
        select(Photo)
        .where(Photo.collection_id == collection_id, Photo.state == "kept", Photo.about_id.in_(told))
        .order_by(Photo.id.desc())
        .limit(limit)
    )
    return [_row(found) for found in session.scalars(wanted)]


def counted(session: Session, collection_id: int) -> dict[str, int]:
    """How many photos are in which state."""
    found = session.execute(
        select(Photo.state, func.count()).where(Photo.collection_id == collection_id).group_by(Photo.state)
    )
    return {state: number for state, number in found}  # noqa: C416 - rows are not pairs to the type checker


def kept(session: Session, collection_id: int | None = None) -> set[tuple[str, str | None]]:
    """Digest and media type of every file that ought to be in the data folder, or of those of one collection."""
    wanted = select(Photo.digest, Photo.media_type).where(Photo.state == "kept")
    found = session.execute(wanted if collection_id is None else wanted.where(Photo.collection_id == collection_id))
    return {(digest, media_type) for digest, media_type in found if digest is not None}


def _first_entries(first: Any, subjects: Sequence[Subject]) -> Any:  # noqa: ANN401 - parts of a statement
    """The first entries of those that stand and are about one of these."""
    of = [
        EntrySubject.occupant_id == one.occupant_id
        if one.occupant_id is not None
        else EntrySubject.enclosure_id == one.enclosure_id
        for one in subjects
    ]
    return (
        select(first)
        .select_from(Entry)
        .join(EntrySubject, EntrySubject.entry_id == Entry.id)
        .where(or_(*of), is_current(Entry.id))
    )


def _stored(session: Session, photo_id: int) -> Photo:
    found = session.get(Photo, photo_id)
    if found is None:
        raise LookupError(f"there is no photo {photo_id}")
    return found


def _row(stored: Photo) -> PhotoRow:
    return PhotoRow(**{name: getattr(stored, name) for name in _ROW})
