"""Collections and their members."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select, text

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
    """A chat identity in a collection; `role` is owner, keeper or viewer.

    `chat` is where it is written to unasked, None for the address itself; `left` says that it is a member no more.
    """

    id: int
    collection_id: int
    channel: str
    address: str
    name: str
    role: str
    chat: str | None = None
    left: bool = False

    @property
    def home(self) -> str:
        """The chat in which the member is written to unasked."""
        return self.chat or self.address


def create_collection(session: Session, name: str, zone: str, units: str = "metric") -> int:
    """Make a collection; its id."""
    row = Collection(name=name, zone=zone, units=units)
    session.add(row)
    session.flush()
    return row.id


def collection(session: Session, collection_id: int) -> CollectionRow:
    """The collection of that id. Raises LookupError when there is none."""
    return _collection_row(_stored(session, collection_id))


def uid(session: Session, collection_id: int) -> str:
    """The name that a collection has in every copy of it. Raises LookupError when there is none."""
    return _stored(session, collection_id).uid or str(collection_id)


def hold(session: Session, collection_id: int) -> None:
    """Let nobody else write in a collection until this transaction ends; to be called before anything is read that writing rests on.

    On SQLite a writer is alone from its beginning. On a server this waits for whoever writes in the same collection; messages
    still come in meanwhile, and other collections go on. LookupError when there is none.
    """
    if session.get_bind().dialect.name == "sqlite":
        return
    wanted = select(Collection.id).where(Collection.id == collection_id).with_for_update(key_share=True)
    if session.scalar(wanted) is None:
        raise LookupError(f"there is no collection {collection_id}")


def hold_all(session: Session) -> None:
    """Let nobody else begin a collection until this transaction ends."""
    if session.get_bind().dialect.name != "sqlite":
        session.execute(text("LOCK TABLE collections IN SHARE ROW EXCLUSIVE MODE"))


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
    return None if found is None else member_row(found)


def members(session: Session, collection_id: int) -> list[MemberRow]:
    """The members of a collection, oldest first."""
    return [row for row in everyone(session, collection_id) if not row.left]


def everyone(session: Session, collection_id: int) -> list[MemberRow]:
    """The members of a collection and those who were, oldest first."""
    rows = session.scalars(select(Member).where(Member.collection_id == collection_id).order_by(Member.id))
    return [member_row(row) for row in rows]


def member(session: Session, member_id: int) -> MemberRow:
    """The member of that id, present or former. Raises LookupError when there is none."""
    return member_row(_stored_member(session, member_id))


def set_role(session: Session, member_id: int, role: str) -> None:
    """Give a member another role: owner, keeper or viewer."""
    _stored_member(session, member_id).role = role
    session.flush()


def set_chat(session: Session, member_id: int, chat: str | None) -> None:
    """Set where a member is written to unasked; None for the address itself."""
    _stored_member(session, member_id).chat = chat
    session.flush()


def leave(session: Session, member_id: int, at: datetime) -> None:
    """End a membership. The entries stay under the name; the address is free, for whoever comes in with a new code."""
    row = _stored_member(session, member_id)
    row.left_at = at
    row.address = f"{row.address} (left, {row.id})"
    session.flush()


def _stored(session: Session, collection_id: int) -> Collection:
    found = session.get(Collection, collection_id)
    if found is None:
        raise LookupError(f"there is no collection {collection_id}")
    return found


def _collection_row(row: Collection) -> CollectionRow:
    return CollectionRow(row.id, row.name, row.zone, row.units)


def _stored_member(session: Session, member_id: int) -> Member:
    found = session.get(Member, member_id)
    if found is None:
        raise LookupError(f"there is no member {member_id}")
    return found


def member_row(row: Member) -> MemberRow:
    """A member as a plain row."""
    return MemberRow(
        row.id,
        row.collection_id,
        row.channel,
        row.address,
        row.name,
        row.role,
        row.chat,
        left=row.left_at is not None,
    )
