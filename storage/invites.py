"""Invitations: a code lets one person in, once, within its time. Of a code only the digest is kept."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING

from sqlalchemy import select

from storage.tables import Invite

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Select
    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class InviteRow:
    """An invitation: `used_by` is the member who came in with it, None while it is open."""

    id: int
    collection_id: int
    role: str
    expires_at: datetime
    used_by: int | None

    def is_open(self, now: datetime) -> bool:
        """Whether it may still be used."""
        return self.used_by is None and now < self.expires_at


def invite(session: Session, collection_id: int, role: str, code: str, expires_at: datetime) -> int:
    """Let whoever has the code in, with this role; the invitation's id."""
    stored = Invite(collection_id=collection_id, role=role, code_key=_key(code), expires_at=expires_at)
    session.add(stored)
    session.flush()
    return stored.id


def by_code(session: Session, code: str) -> InviteRow | None:
    """The invitation with this code, used or expired or not; None for a code that was never given out."""
    found = session.scalar(_of_code(code))
    return None if found is None else _row(found)


def hold(session: Session, code: str) -> InviteRow | None:
    """The same, and nobody else can use it until this transaction ends."""
    found = session.scalar(_of_code(code).with_for_update())
    return None if found is None else _row(found)


def use(session: Session, invite_id: int, member_id: int) -> None:
    """Somebody came in. Raises LookupError for an invitation that is not there."""
    found = session.get(Invite, invite_id)
    if found is None:
        raise LookupError(f"there is no invitation {invite_id}")
    found.used_by = member_id
    session.flush()


def open_invites(session: Session, collection_id: int, now: datetime) -> list[InviteRow]:
    """The invitations that may still be used, oldest first."""
    rows = session.scalars(select(Invite).where(Invite.collection_id == collection_id).order_by(Invite.id))
    return [row for row in map(_row, rows) if row.is_open(now)]


def _of_code(code: str) -> Select[Invite]:
    return select(Invite).where(Invite.code_key == _key(code))


def _key(code: str) -> str:
    return sha256(code.encode("utf-8", "surrogatepass")).hexdigest()


def _row(stored: Invite) -> InviteRow:
    return InviteRow(stored.id, stored.collection_id, stored.role, stored.expires_at, stored.used_by)
