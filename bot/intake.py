"""What comes in from a message service: known members' messages and taps into the inbox, codes to the door, strangers away."""

from __future__ import annotations

import logging
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy.exc import DBAPIError

from bot import admission
from bot.admission import Comer
from bot.channels.port import Carried, Press, Taken
from bot.conversation.posting import Where, bare, post
from bot.conversation.reply import Reply
from bot.errors import Refusal, Stranger
from storage import chats, households, inbox, outbox, photos
from storage.inbox import Incoming
from storage.outbox import OutboxRow

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from storage.households import MemberRow

CLOSED = "That choice is closed by now; nothing was written."

_log = logging.getLogger(__name__)


def take_in(session: Session, channel: str, item: Carried | Press, now: datetime) -> Taken:
    """Take one thing in. What goes wrong with one must not keep the others out, unless it is the database."""
    try:
        with session.begin_nested():
            return _carry(session, channel, item, now) if isinstance(item, Carried) else _press(session, channel, item)
    except DBAPIError:
        raise
    except Exception:  # noqa: BLE001 - whatever it is, the next messages must come in, and it is logged
        _log.exception("something from %s could not be taken in", channel)
        return Taken()


def _carry(session: Session, channel: str, item: Carried, now: datetime) -> Taken:
    code = admission.code_in(item.text)
    if code is not None:
        return _admit(session, channel, item, code, now)
    member = households.member_by_address(session, channel, item.address)
    if member is None:
        told = admission.turn_away(session, channel, item.address, now) if item.addressed else None
        return Taken(line=told)
    if item.private:
        chats.unblock(session, channel, item.chat)
    return Taken(_receive(session, channel, item, member))


def _admit(session: Session, channel: str, item: Carried, code: str, now: datetime) -> Taken:
    chat = item.chat if item.private else None
    try:
        let_in = admission.admit(session, Comer(channel, item.address, item.name, chat), code, now)
    except Refusal as fault:
        return Taken(line=str(fault))
    if item.private:
        chats.unblock(session, channel, item.chat)
    post(session, Where(let_in.member.collection_id, channel, item.chat), bare(Reply(let_in.words)))
    return Taken()


def _press(session: Session, channel: str, item: Press) -> Taken:
    member = households.member_by_address(session, channel, item.address)
    if member is None:
        return Taken(line=str(Stranger()))
    row, place = _pressed(session, channel, item, member)
    choices = () if row is None else tuple(row.body.get("choices", ()))
    if row is None or place is None or not 0 <= place < len(choices):
        return Taken(line=CLOSED)
    from bot.conversation.presses import closed  # noqa: PLC0415 - few messages are presses, and only those pay for it

    line = closed(session, row, member.id, choices[place])
    if line is not None:
        return Taken(line=line)
    message = Incoming(
        collection_id=member.collection_id,
        member_id=member.id,
        channel=channel,
        chat=row.chat,
        key=f"tap {item.key}",
        text=choices[place],
        sent_at=item.sent_at,
        reply_to=row.service_id,
        pressed=row.id,
    )
    return Taken(inbox.receive(session, message))


def _receive(session: Session, channel: str, item: Carried, member: MemberRow) -> int | None:
    """Put a member's message into the inbox, with the photo that came with it; None where it is there already."""
    revision = _revision(session, channel, item, member)
    if revision is None:
        return None
    message = Incoming(
        collection_id=member.collection_id,
        member_id=member.id,
        channel=channel,
        chat=item.chat,
        key=item.key,
        revision=revision,
        text=item.text,
        sent_at=item.sent_at,
        edits=item.edits,
        deletes=item.deletes,
        reply_to=item.reply_to,
        carries=item.carries,
        album=item.album,
        overheard=not item.addressed,
    )
    inbox_id = inbox.receive(session, message)
    if inbox_id is not None and item.photo is not None and item.edits is None:
        photos.want(session, member.collection_id, inbox_id, channel, item.photo)
    return inbox_id


def _revision(session: Session, channel: str, item: Carried, member: MemberRow) -> int | None:
    """The revision under which an edit is kept; None for one that is here already or changes no word.

    Two edits within one second bear the same number from the service: the later one takes the next.
    """
    if item.edits != item.key:
        return item.revision
    earlier = inbox.revisions(session, member.collection_id, channel, item.chat, item.key)
    if any(row.text == item.text and row.revision >= item.revision for row in earlier):
        return None
    if earlier and earlier[-1].text == item.text:
        return None
    return max([item.revision, *(row.revision + 1 for row in earlier)])


def _pressed(session: Session, channel: str, item: Press, member: MemberRow) -> tuple[OutboxRow | None, int | None]:
    """The message, to the member's collection, whose choice was tapped, and the place of the choice."""
    chat = chats.current(session, channel, item.chat)
    if item.data is not None:
        token, _, place = item.data.rpartition(":")
        row = outbox.by_token(session, token)
        of = (member.collection_id, channel, chat)
        known = row is not None and (row.collection_id, row.channel, row.chat) == of and place.isdecimal()
        return (row, int(place)) if known else (None, None)
    if item.message_key is None:
        return None, None
    return outbox.by_service_id(session, member.collection_id, channel, chat, item.message_key), item.place
