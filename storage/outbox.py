"""The outbox: what the bot has to say, until the service has it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import not_, select

from storage.tables import Outbox

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class OutboxRow:
    """A message of the bot: `inbox_id` is the message it answers, `service_id` the service's own id once it is sent."""

    id: int
    collection_id: int
    channel: str
    chat: str
    inbox_id: int | None
    body: dict[str, Any]
    service_id: str | None
    sent: bool


def put(
    session: Session, collection_id: int, channel: str, chat: str, inbox_id: int | None, body: Mapping[str, Any]
) -> int:
    """Have a message sent; its id. `body` is a JSON object."""
    stored = Outbox(
        collection_id=collection_id, channel=channel, chat=chat, inbox_id=inbox_id, body=dict(body), sent=False
    )
    session.add(stored)
    session.flush()
    return stored.id


def waiting(session: Session, channel: str | None = None) -> list[OutboxRow]:
    """What is still to be sent, oldest first, for one channel or for all."""
    statement = select(Outbox).where(not_(Outbox.sent)).order_by(Outbox.id)
    if channel is not None:
        statement = statement.where(Outbox.channel == channel)
    return [_outbox_row(stored) for stored in session.scalars(statement)]


def mark_sent(session: Session, outbox_id: int, service_id: str | None = None) -> None:
    """The service has the message, under this id of its own. Raises LookupError for a message that is not there."""
    stored = session.get(Outbox, outbox_id)
    if stored is None:
        raise LookupError(f"there is no message {outbox_id} in the outbox")
    stored.sent = True
    stored.service_id = service_id
    session.flush()


def by_service_id(session: Session, channel: str, chat: str, service_id: str) -> OutboxRow | None:
    """The message of the bot that the service knows under this id."""
    wanted = select(Outbox).where(Outbox.channel == channel, Outbox.chat == chat, Outbox.service_id == service_id)
    found = session.scalar(wanted.order_by(Outbox.id.desc()).limit(1))
    return None if found is None else _outbox_row(found)


def answers_to(session: Session, inbox_id: int) -> list[OutboxRow]:
    """What the bot said to a message, in order."""
    found = session.scalars(select(Outbox).where(Outbox.inbox_id == inbox_id).order_by(Outbox.id))
    return [_outbox_row(stored) for stored in found]


def _outbox_row(stored: Outbox) -> OutboxRow:
    return OutboxRow(
        stored.id,
        stored.collection_id,
        stored.channel,
        stored.chat,
        stored.inbox_id,
        stored.body,
        stored.service_id,
        stored.sent,
    )
