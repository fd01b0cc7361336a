"""Collections and their members."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from storage.tables import Collection, Member

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class CollectionRow:
    """One household or room: `zone` an IANA name, `units` metric or imperial."""

    id: int
    name: str
    zone: str
    units: str


@dataclass(frozen=True, slots=True)
class MemberRow:
    """A chat identity in a collection; `role` is owner, keeper or viewer."""

    id: int
    collection_id: int
    channel: str
    address: str
    name: str
    role: str


def create_collection(session: Session, name: str, zone: str, units: str = "metric") -> int:
    """Make a collection; its id."""
    row = Collection(name=name, zone=zone, units=units)
    session.add(row)
    session.flush()
    return row.id


def collection(session: Session, collection_id: int) -> CollectionRow:
    """The collection of that id. Raises LookupError when there is none."""
    return _collection_row(_stored(session, collection_id))


def collections(session: Session) -> list[CollectionRow]:
    """Every collection, oldest first."""
    return [_collection_row(row) for row in session.scalars(select(Collection).order_by(Collection.id))]


def set_zone(session: Session, collection_id: int, zone: str) -> None:
    """Change the zone in which days and times are meant from now on; entries keep the zone they were told in."""
    _stored(session, collection_id).zone = zone
    session.flush()


def set_units(session: Session, collection_id: int, units: str) -> None:
    """Change the units in which answers are given: metric or imperial."""
    _stored(session, collection_id).units = units
    session.flush()


def add_member(
    session: Session, collection_id: int, channel: str, address: str, name: str, role: str, at: datetime
) -> int:
    """Let a chat identity into a collection; its id. IntegrityError when the address is a member already."""
    row = Member(collection_id=collection_id, channel=channel, address=address, name=name, role=role, joined_at=at)
    session.add(row)
    session.flush()
    return row.id


def member_by_address(session: Session, channel: str, address: str) -> MemberRow | None:
    """The member who writes from this address of this channel, None for a stranger."""
    found = session.scalar(select(Member).where(Member.channel == channel, Member.address == address))
    return None if found is None else _member_row(found)


def members(session: Session, collection_id: int) -> list[MemberRow]:
    """The members of a collection, oldest first."""
    rows = session.scalars(select(Member).where(Member.collection_id == collection_id).order_by(Member.id))
    return [_member_row(row) for row in rows]


def _stored(session: Session, collection_id: int) -> Collection:
    found = session.get(Collection, collection_id)
    if found is None:
        raise LookupError(f"there is no collection {collection_id}")
    return found


def _collection_row(row: Collection) -> CollectionRow:
    return CollectionRow(row.id, row.name, row.zone, row.units)


def _member_row(row: Member) -> MemberRow:
    return MemberRow(row.id, row.collection_id, row.channel, row.address, row.name, row.role)
