"""Chats of message services: which take nothing from us, and which stand for another now; and our own account there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import delete, select, update

from storage.inserting import insert_into
from storage.tables import Account, Chat, Member, Outbox, TurnedAway

if TYPE_CHECKING:
    from datetime import datetime, timedelta

    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class AccountRow:
    """The bot's own account with a service: its address and name there, and how far messages were taken."""

    channel: str
    address: str | None
    name: str | None
    position: str | None


@dataclass(frozen=True, slots=True)
class BlockedRow:
    """A chat that takes nothing from us, and since when."""

    channel: str
    chat: str
    since: datetime


def account(session: Session, channel: str) -> AccountRow | None:
    """Our account with a service, None before it was ever used."""
    found = session.get(Account, channel)
    return None if found is None else AccountRow(found.channel, found.address, found.name, found.position)


def keep_account(session: Session, channel: str, address: str, name: str) -> None:
    """Remember who we are with a service."""
    stored = _account(session, channel)
    stored.address, stored.name = address, name
    session.flush()


def keep_position(session: Session, channel: str, position: str | None) -> None:
    """Remember how far the messages of a service were taken. To be called in the transaction that takes them."""
    _account(session, channel).position = position
    session.flush()


def block(session: Session, channel: str, chat: str, at: datetime) -> None:
    """A chat takes nothing from us any more; nothing is sent there, and its pushes pause."""
    stored = _chat(session, channel, chat)
    stored.blocked_since = stored.blocked_since or at
    session.flush()


def unblock(session: Session, channel: str, chat: str) -> None:
    """A chat takes messages again."""
    found = session.get(Chat, (channel, chat))
    if found is not None:
        found.blocked_since = None
        session.flush()


def is_blocked(session: Session, channel: str, chat: str) -> bool:
    """Whether a chat takes nothing from us."""
    found = session.get(Chat, (channel, chat))
    return found is not None and found.blocked_since is not None


def blocked(session: Session) -> list[BlockedRow]:
    """The chats that take nothing from us, the longest so first."""
    wanted = select(Chat).where(Chat.blocked_since.is_not(None)).order_by(Chat.blocked_since)
    return [
        BlockedRow(row.channel, row.chat, row.blocked_since) for row in session.scalars(wanted) if row.blocked_since
    ]


def move(session: Session, channel: str, chat: str, to: str) -> None:
    """A chat goes on under another id: what is to be said goes there, and what was said is found from there.

    What came in stays under the chat in which it was said: a service may count its messages anew after a move, and may deliver an
    old one again under the old id.
    """
    _chat(session, channel, chat).moved_to = to
    session.execute(update(Chat).where(Chat.channel == channel, Chat.moved_to == chat).values(moved_to=to))
    for table in (Outbox, Member):
        session.execute(update(table).where(table.channel == channel, table.chat == chat).values(chat=to))


def current(session: Session, channel: str, chat: str) -> str:
    """The chat that stands for this one now: itself, unless it was moved."""
    found = session.get(Chat, (channel, chat))
    return chat if found is None or found.moved_to is None else found.moved_to


def may_tell_stranger(session: Session, channel: str, address: str, now: datetime, pause: timedelta) -> bool:
    """Whether somebody who is no member may be told so now, which is then remembered; what is older than `pause` is forgotten."""
    session.execute(delete(TurnedAway).where(TurnedAway.told_at <= now - pause))
    told = (
        insert_into(session, TurnedAway).values(channel=channel, address=address, told_at=now).on_conflict_do_nothing()
    )
    return session.scalar(told.returning(TurnedAway.address)) is not None


def _account(session: Session, channel: str) -> Account:
    if session.get(Account, channel) is None:
        session.execute(insert_into(session, Account).values(channel=channel).on_conflict_do_nothing())
    return session.get_one(Account, channel)


def _chat(session: Session, channel: str, chat: str) -> Chat:
    if session.get(Chat, (channel, chat)) is None:
        session.execute(insert_into(session, Chat).values(channel=channel, chat=chat).on_conflict_do_nothing())
    return session.get_one(Chat, (channel, chat))
