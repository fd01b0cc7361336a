"""Stays: which occupant lived where, and when. A cache of what the journal says.

Entries that place an occupant: `placed` (the first placing; fields to_enclosure_id; without a day: it has lived there since before the
records), `move` with fields to_enclosure_id, unless part_of_group is set (a part split off does not move the group, but it
places the group new_occupant_id that it made; with `joined`, that group was there before and is not placed), and `ended`, which closes the
stay. An entry that names an enclosure places whoever lived there.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import delete, insert, or_, select

from storage import households, moments
from storage.current import is_current
from storage.tables import Entry, EntrySubject, Occupant, StayRecord

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date, datetime

    from sqlalchemy import ColumnElement
    from sqlalchemy.orm import Session

PLACING = ("placed", "move", "ended")
_BATCH = 500  # ids in one statement; databases limit the number of parameters


@dataclass(frozen=True, slots=True)
class Stay:
    """An occupant's time in an enclosure.

    `since` None: from before the records; `until` None: it lives there now. The day of a move ends one stay and begins the next; which of
    that day's entries fall into which is settled by their moments. `entry_id` is the entry that placed it there.
    """

    id: int
    occupant_id: int
    enclosure_id: int
    since: date | None
    until: date | None
    entry_id: int


@dataclass(frozen=True, slots=True)
class _Placing:
    """What one entry does to one occupant: `enclosure_id` None ends its stay. `position` orders placings."""

    position: tuple[datetime, int, int]
    on: date | None
    enclosure_id: int | None
    entry_id: int


def stays(session: Session, occupant_id: int) -> list[Stay]:
    """Where an occupant has lived, oldest first."""
    wanted = select(StayRecord).where(StayRecord.occupant_id == occupant_id)
    found = session.scalars(wanted.order_by(StayRecord.from_moment, StayRecord.from_origin, StayRecord.id))
    return [_stay(record) for record in found]


def stays_in(session: Session, enclosure_id: int) -> list[Stay]:
    """Who has lived in an enclosure, oldest first."""
    wanted = select(StayRecord).where(StayRecord.enclosure_id == enclosure_id)
    found = session.scalars(wanted.order_by(StayRecord.from_moment, StayRecord.from_origin, StayRecord.id))
    return [_stay(record) for record in found]


def occupants_in(session: Session, enclosure_id: int, on: date | None = None) -> list[int]:
    """Ids of the occupants that live in an enclosure now, or lived there for some of the day `on`."""
    wanted = select(StayRecord.occupant_id).where(StayRecord.enclosure_id == enclosure_id).distinct()
    if on is None:
        wanted = wanted.where(StayRecord.until.is_(None))
    else:
        wanted = wanted.where(or_(StayRecord.since.is_(None), StayRecord.since <= on))
        wanted = wanted.where(or_(StayRecord.until.is_(None), StayRecord.until >= on))
    return list(session.scalars(wanted.order_by(StayRecord.occupant_id)))


def rebuild(session: Session, collection_id: int) -> None:
    """Work out every stay of a collection anew from the journal."""
    session.execute(delete(StayRecord).where(StayRecord.collection_id == collection_id))
    for occupant_id in session.scalars(select(Occupant.id).where(Occupant.collection_id == collection_id)).all():
        refresh(session, occupant_id)


def follow(session: Session, entry_ids: Sequence[int]) -> None:
    """Bring stays up to date after these entries were written, corrected or taken back."""
    touched = _touched(session, entry_ids)
    for occupant_id in sorted(touched):
        refresh(session, occupant_id)


def refresh(session: Session, occupant_id: int) -> None:
    """Work out the stays of one occupant anew from the journal."""
    occupant = session.get_one(Occupant, occupant_id)
    households.hold(session, occupant.collection_id)
    session.execute(delete(StayRecord).where(StayRecord.occupant_id == occupant_id))
    records = _records(_placings(session, occupant_id), occupant.ended_on)
    if records:
        owner = {"collection_id": occupant.collection_id, "occupant_id": occupant_id}
        session.execute(insert(StayRecord), [{**owner, **record} for record in records])


def _touched(session: Session, entry_ids: Sequence[int]) -> set[int]:
    """Occupants that placing entries among these name, or make, or meet in an enclosure that they name."""
    touched: set[int] = set()
    for start in range(0, len(entry_ids), _BATCH):
        batch = entry_ids[start : start + _BATCH]
        placing = (EntrySubject.entry_id.in_(batch), EntrySubject.mood == "log", EntrySubject.kind.in_(PLACING))
        subjects = session.execute(select(EntrySubject.occupant_id, EntrySubject.enclosure_id).where(*placing)).all()
        touched.update(occupant_id for occupant_id, _ in subjects if occupant_id is not None)
        places = {enclosure_id for _, enclosure_id in subjects if enclosure_id is not None}
        if places:
            touched.update(session.scalars(select(StayRecord.occupant_id).where(StayRecord.enclosure_id.in_(places))))
    return touched


def _placings(session: Session, occupant_id: int) -> list[_Placing]:
    """What happened to an occupant, in order: entries on itself, and those on the enclosure where it then lived."""
    own = _events(session, EntrySubject.occupant_id == occupant_id, occupant_id)
    placings: list[_Placing] = []
    place: int | None = None
    position = (moments.BEGINNING, 0, 0)
    while True:
        coming = [placing for placing in own if placing.position > position]
        if place is not None:
            with_place = EntrySubject.enclosure_id == place
            coming += _events(session, with_place, occupant_id, position)
        if not coming:
            return placings
        following = min(coming, key=lambda placing: placing.position)
        placings.append(following)
        place, position = following.enclosure_id, following.position


def _events(
    session: Session,
    subject: ColumnElement[bool],
    occupant_id: int,
    after: tuple[datetime, int, int] | None = None,
) -> list[_Placing]:
    wanted = (
        select(Entry, EntrySubject.named, EntrySubject.origin_id)
        .join(EntrySubject, EntrySubject.entry_id == Entry.id)
        .where(subject, EntrySubject.mood == "log", EntrySubject.kind.in_(PLACING), is_current(EntrySubject.entry_id))
    )
    if after is not None and after[0] > moments.BEGINNING:  # what has no day is at the beginning
        wanted = wanted.where(EntrySubject.moment >= after[0])
    found = (_placing(entry, named, origin_id, occupant_id) for entry, named, origin_id in session.execute(wanted))
    return [placing for placing in found if placing is not None and (after is None or placing.position > after)]


def _placing(entry: Entry, named: bool, origin_id: int, occupant_id: int) -> _Placing | None:  # noqa: FBT001
    """What an entry does to an occupant; None when it does not place it."""
    moment = entry.moment or moments.BEGINNING
    target = entry.fields.get("to_enclosure_id")
    if entry.kind == "ended":
        return _Placing((moment, origin_id, entry.id), entry.on, None, entry.id) if named else None
    if target is None or not _moves(entry.fields, named, occupant_id):
        return None
    if entry.kind == "placed":
        moment = moments.day_start(entry.on)  # whoever is set up on a day lived there all that day
    return _Placing((moment, origin_id, entry.id), entry.on, target, entry.id)


def _moves(fields: Mapping[str, Any], named: bool, occupant_id: int) -> bool:  # noqa: FBT001
    """Whether a move takes an occupant along: one that it names unless a part was split off, or the group that it made."""
    if named and not fields.get("part_of_group"):
        return True
    return fields.get("new_occupant_id") == occupant_id and not fields.get("joined")


def _records(placings: Iterable[_Placing], ended_on: date | None) -> list[dict[str, Any]]:
    """Stays as table rows: a placing opens one, the next to another place closes it."""
    records: list[dict[str, Any]] = []
    place: int | None = None
    for placing in placings:
        if placing.enclosure_id == place:
            continue
        if place is not None:
            _close(records[-1], placing.on, placing.position[0], placing.position[1])
        place = placing.enclosure_id
        if place is not None:
            records.append(_open(place, placing))
    if place is not None and ended_on is not None:
        _close(records[-1], ended_on, moments.day_end(ended_on), 0)
    return records


def _open(enclosure_id: int, placing: _Placing) -> dict[str, Any]:
    return {
        "enclosure_id": enclosure_id,
        "entry_id": placing.entry_id,
        "since": placing.on,
        "until": None,
        "from_moment": placing.position[0],
        "from_origin": placing.position[1],
        "until_moment": moments.END,
        "until_origin": 0,
    }


def _close(record: dict[str, Any], on: date | None, moment: datetime, origin_id: int) -> None:
    record.update(until=on, until_moment=moment, until_origin=origin_id)


def _stay(record: StayRecord) -> Stay:
    return Stay(record.id, record.occupant_id, record.enclosure_id, record.since, record.until, record.entry_id)
