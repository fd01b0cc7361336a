"""The outbox: what the bot has to say, until the service has it.

To send, a process claims rows for a short while (`claim`): of each chat only the oldest that waits, so that a chat is told things
in their order. A process that dies in between loses its claim with the lease, and another one sends.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, not_, or_, select, update

from storage.tables import Chat, Outbox

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime, timedelta

    from sqlalchemy import Select
    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class OutboxRow:
    """A message of the bot: `inbox_id` is the message it answers, `service_id` the service's own id once it is sent.

    `token` names its buttons, `replaces` is the message in whose place it goes; `given_up` says that it is sent no more, `error` why.
    """

    id: int
    collection_id: int
    channel: str
    chat: str
    inbox_id: int | None
    body: dict[str, Any]
    service_id: str | None
    sent: bool
    token: str | None
    replaces: int | None
    given_up: bool
    tries: int
    error: str | None


_ROW = tuple(OutboxRow.__dataclass_fields__)
_WAITS = (not_(Outbox.sent), not_(Outbox.given_up))


def put(  # noqa: PLR0913 - what a message to be sent is made of
    session: Session,
    collection_id: int,
    channel: str,
    chat: str,
    inbox_id: int | None,
    body: Mapping[str, Any],
    *,
    token: str | None = None,
    replaces: int | None = None,
) -> int:
    """Have a message sent; its id. `body` is a JSON object."""
    stored = Outbox(
        collection_id=collection_id,
        channel=channel,
        chat=chat,
        inbox_id=inbox_id,
        body=dict(body),
        sent=False,
        token=token,
        replaces=replaces,
        given_up=False,
        tries=0,
    )
    session.add(stored)
    session.flush()
    return stored.id


def waiting(session: Session, channel: str | None = None) -> list[OutboxRow]:
    """What is still to be sent, oldest first, for one channel or for all."""
    statement = select(Outbox).where(*_WAITS).order_by(Outbox.id)
    if channel is not None:
        statement = statement.where(Outbox.channel == channel)
    return [_outbox_row(stored) for stored in session.scalars(statement)]


def collect(session: Session, channel: str, chat: str) -> list[OutboxRow]:
    """What is still to be sent to one chat, oldest first, and from now on counts as sent: nobody else collects it too."""
    wanted = select(Outbox).where(*_WAITS, Outbox.channel == channel, Outbox.chat == chat).order_by(Outbox.id)
    rows = list(session.scalars(wanted.with_for_update()))
    for stored in rows:
        stored.sent = True
    session.flush()
    return [_outbox_row(stored) for stored in rows]


def claim(session: Session, channel: str, holder: str, now: datetime, lease: timedelta) -> list[OutboxRow]:
    """Take the oldest waiting message of each chat, for as long as the lease; oldest first.

    Left alone are chats whose oldest message is held by others or is not due yet, and those that take nothing from us.
    """
    rows = list(session.scalars(_free(channel, now).order_by(Outbox.id).with_for_update(skip_locked=True)))
    for row in rows:
        row.claimed_by, row.lease_until = holder, now + lease
    session.flush()
    return [_outbox_row(row) for row in rows]


def claimable(session: Session, channel: str, now: datetime) -> bool:
    """Whether there is anything to claim: reading that costs other writers nothing."""
    return session.scalar(_free(channel, now).with_only_columns(Outbox.id).limit(1)) is not None


def _free(channel: str, now: datetime) -> Select[Outbox]:
    """The messages that may be claimed."""
    blocked = select(Chat.chat).where(Chat.channel == channel, Chat.blocked_since.is_not(None))
    oldest = select(func.min(Outbox.id)).where(*_WAITS, Outbox.channel == channel).group_by(Outbox.chat)
    free = or_(Outbox.lease_until.is_(None), Outbox.lease_until <= now)
    due = or_(Outbox.due_at.is_(None), Outbox.due_at <= now)
    # That it waits is said of the row itself too: it may have been sent by another process since the oldest were looked up.
    return select(Outbox).where(Outbox.id.in_(oldest), *_WAITS, free, due, Outbox.chat.not_in(blocked))


def next_due(session: Session, channel: str, now: datetime) -> datetime | None:
    """When the first message that was put off for later is due; None where none was."""
    wanted = select(func.min(Outbox.due_at)).where(*_WAITS, Outbox.channel == channel, Outbox.due_at > now)
    return session.scalar(wanted)


def is_held(session: Session, outbox_id: int, holder: str, until: datetime) -> bool:
    """Whether a message still waits, claimed by that holder and no other since, and stays so until then."""
    mine = (Outbox.id == outbox_id, Outbox.claimed_by == holder, Outbox.lease_until >= until)
    return session.scalar(select(Outbox.id).where(*_WAITS, *mine)) is not None


def is_anothers(session: Session, outbox_id: int, holder: str, now: datetime) -> bool:
    """Whether a message is claimed by somebody other than that holder."""
    theirs = (Outbox.id == outbox_id, Outbox.claimed_by != holder, Outbox.lease_until > now)
    return session.scalar(select(Outbox.id).where(*_WAITS, *theirs).with_for_update()) is not None


def release(session: Session, holder: str) -> None:
    """What a process has claimed is free again: it is ending, or known to be dead."""
    claimed = update(Outbox).where(*_WAITS, Outbox.claimed_by == holder)
    session.execute(claimed.values(claimed_by=None, lease_until=None))


def put_off(session: Session, outbox_id: int, until: datetime, error: str | None = None) -> int:
    """Let a message wait until then, free for anyone to send; with `error` it counts as a try. The number of tries so far."""
    stored = _stored(session, outbox_id)
    stored.due_at, stored.claimed_by, stored.lease_until = until, None, None
    if error is not None:
        stored.tries += 1
        stored.error = error
    session.flush()
    return stored.tries


def give_up(session: Session, outbox_id: int, error: str) -> None:
    """The service will not have this message: it is kept with the reason, and no longer waits."""
    stored = _stored(session, outbox_id)
    stored.given_up, stored.error = True, error
    session.flush()


def give_up_chat(session: Session, collection_id: int, channel: str, chat: str, error: str) -> None:
    """Nothing that waits for this chat from a collection is to be sent any more."""
    of = (Outbox.collection_id == collection_id, Outbox.channel == channel, Outbox.chat == chat)
    wanted = update(Outbox).where(*_WAITS, *of)
    session.execute(wanted.values(given_up=True, error=error))


def mark_sent(session: Session, outbox_id: int, service_id: str | None = None) -> None:
    """The service has the message, under this id of its own. Raises LookupError for a message that is not there."""
    stored = _stored(session, outbox_id)
    stored.sent = True
    stored.service_id = service_id
    session.flush()


def row(session: Session, outbox_id: int) -> OutboxRow | None:
    """The message of that id, None when there is none."""
    found = session.get(Outbox, outbox_id)
    return None if found is None else _outbox_row(found)


def was_replaced(session: Session, outbox_id: int) -> bool:
    """Whether another message has gone, or will go, in the place of that one."""
    return session.scalar(select(Outbox.id).where(Outbox.replaces == outbox_id).limit(1)) is not None


def by_token(session: Session, token: str) -> OutboxRow | None:
    """The message whose buttons bear this token, None when there is none."""
    found = session.scalar(select(Outbox).where(Outbox.token == token))
    return None if found is None else _outbox_row(found)


def by_service_id(session: Session, collection_id: int, channel: str, chat: str, service_id: str) -> OutboxRow | None:
    """What the bot said to a collection that the service knows under this id; of several that took each other's place the last.

    One chat may be of people of several collections.
    """
    wanted = select(Outbox).where(Outbox.channel == channel, Outbox.chat == chat, Outbox.service_id == service_id)
    wanted = wanted.where(Outbox.collection_id == collection_id)
    found = session.scalar(wanted.order_by(Outbox.id.desc()).limit(1))
    return None if found is None else _outbox_row(found)


def answers_to(session: Session, inbox_id: int) -> list[OutboxRow]:
    """What the bot said to a message, in order."""
    found = session.scalars(select(Outbox).where(Outbox.inbox_id == inbox_id).order_by(Outbox.id))
    return [_outbox_row(stored) for stored in found]


def given_up(session: Session, collection_id: int) -> list[OutboxRow]:
    """The messages to a collection that were never taken, oldest first."""
    wanted = select(Outbox).where(Outbox.given_up, Outbox.collection_id == collection_id)
    return [_outbox_row(stored) for stored in session.scalars(wanted.order_by(Outbox.id))]


def _stored(session: Session, outbox_id: int) -> Outbox:
    found = session.get(Outbox, outbox_id)
    if found is None:
        raise LookupError(f"there is no message {outbox_id} in the outbox")
    return found


def _outbox_row(stored: Outbox) -> OutboxRow:
    return OutboxRow(**{name: getattr(stored, name) for name in _ROW})
