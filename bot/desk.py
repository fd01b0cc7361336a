"""The desk: what the house does for the channels of message services (`bot.channels.port.House`), on the bot's store.

What comes in is committed here before a channel tells its service that it has it; what goes out is handed over one message of each
chat at a time. Nothing here knows a service.
"""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

from sqlalchemy.exc import DBAPIError

from bot import admission
from bot.admission import Comer
from bot.app import App
from bot.channels.port import Button, Carried, Parcel, Press, Taken, WantedPhoto
from bot.conversation.posting import Where, post
from bot.conversation.reply import Reply, from_body, to_body
from bot.errors import Refusal, Stranger
from bot.photo_shelf import PhotoShelf
from storage import chats, households, inbox, invites, outbox, photos
from storage.inbox import Incoming
from storage.outbox import OutboxRow

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from storage.households import MemberRow

HELD_FOR = timedelta(seconds=60)
"""How long a parcel is held for the channel that took it."""

CLOSED = "That choice is closed by now; nothing was written."

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Desk:
    """The house as a channel sees it. Every call commits before it returns; all may be called from any thread."""

    app: App
    folder: Path

    def take(self, channel: str, items: Sequence[Carried | Press], position: str | None = None) -> list[Taken]:
        """Take messages into the inbox, in one transaction, with how far the service's messages are taken by then."""
        with self.app.store.write() as session:
            taken = [self._take(session, channel, item) for item in items]
            if position is not None:
                chats.keep_position(session, channel, position)
        return taken

    def position(self, channel: str) -> str | None:
        """How far the service's messages were taken, None at the very first time."""
        with self.app.store.read() as session:
            account = chats.account(session, channel)
        return None if account is None else account.position

    def is_member(self, channel: str, address: str) -> bool:
        """Whether this is the address of a member."""
        with self.app.store.read() as session:
            return households.member_by_address(session, channel, address) is not None

    def may_be_joined(self) -> bool:
        """Whether somebody may come in by a code that is out."""
        now = self.app.clock.now()
        with self.app.store.read() as session:
            return any(invites.open_invites(session, kept.id, now) for kept in households.collections(session))

    def is_handled(self, inbox_id: int) -> bool:
        """Whether a message that was taken in has been dealt with."""
        with self.app.store.read() as session:
            found = inbox.row(session, inbox_id)
        return found is None or found.state != "waiting"

    def parcels(self, channel: str) -> list[Parcel]:
        """What is to be sent now, of each chat the oldest, held for this caller for a minute."""
        now = self.app.clock.now()
        with self.app.store.read() as session:
            if not outbox.claimable(session, channel, now):
                return []
        with self.app.store.write() as session:
            return [_parcel(session, row) for row in outbox.claim(session, channel, uuid4().hex, now, HELD_FOR)]

    def sent(self, parcel: Parcel, key: str | None) -> None:
        """A parcel was delivered, under the service's id."""
        with self.app.store.write() as session:
            outbox.mark_sent(session, parcel.id, key)

    def put_off(self, parcel: Parcel, seconds: float, error: str | None = None) -> int:
        """A parcel waits so long and is then offered again; the number of failures so far."""
        until = self.app.clock.now() + timedelta(seconds=seconds)
        with self.app.store.write() as session:
            return outbox.put_off(session, parcel.id, until, error)

    def give_up(self, parcel: Parcel, error: str) -> None:
        """The service will never take this parcel."""
        _log.warning("a message could not be sent: %s", error)
        with self.app.store.write() as session:
            outbox.give_up(session, parcel.id, error)

    def block(self, channel: str, chat: str) -> None:
        """A chat takes nothing from us any more: nothing is offered for it, and its pushes pause."""
        with self.app.store.write() as session:
            chats.block(session, channel, chat, self.app.clock.now())

    def unblock(self, channel: str, chat: str) -> None:
        """A chat takes messages again."""
        with self.app.store.write() as session:
            chats.unblock(session, channel, chat)

    def move_chat(self, channel: str, chat: str, to: str) -> None:
        """A chat goes on under another id."""
        with self.app.store.write() as session:
            chats.move(session, channel, chat, to)

    def wanted_photos(self, channel: str) -> list[WantedPhoto]:
        """Photos whose files are to be fetched now."""
        with self.app.store.read() as session:
            rows = photos.wanted(session, channel, self.app.clock.now())
        return [WantedPhoto(row.id, row.reference) for row in rows]

    def keep_photo(self, photo: WantedPhoto, content: bytes, media_type: str) -> None:
        """Keep the file of a photo: the file first, then the row that says so."""
        digest = PhotoShelf(self.folder).keep(content, media_type)
        with self.app.store.write() as session:
            photos.keep(session, photo.id, digest, media_type, len(content))

    def photo_failed(self, photo: WantedPhoto, *, for_good: bool = False) -> None:
        """A photo could not be fetched: it is wanted again later, or never, and then its sender is told."""
        with self.app.store.write() as session:
            tries = photos.photo(session, photo.id).tries
            wait = _pause(tries)
            if wait is not None and not for_good:
                photos.put_off(session, photo.id, self.app.clock.now() + wait)
                return
            photos.lose(session, photo.id)
            self._tell_of_loss(session, photos.photo(session, photo.id).inbox_id)

    def file(self, path: str) -> Path:
        """Where a file that a Reply names lies on this machine."""
        return self.folder / path

    def introduce(self, channel: str, address: str, name: str) -> None:
        """Remember the bot's own account with a service."""
        with self.app.store.write() as session:
            chats.keep_account(session, channel, address, name)

    @staticmethod
    def _tell_of_loss(session: Session, inbox_id: int) -> None:
        message = inbox.row(session, inbox_id)
        if message is not None:
            where = Where(message.collection_id, message.channel, message.chat, message)
            post(session, where, _body(Reply("The photo could not be fetched; please send it again.")))

    def _take(self, session: Session, channel: str, item: Carried | Press) -> Taken:
        """Take one thing in. What goes wrong with one must not keep the others out, unless it is the database."""
        try:
            with session.begin_nested():
                return (
                    self._carry(session, channel, item)
                    if isinstance(item, Carried)
                    else self._press(session, channel, item)
                )
        except DBAPIError:
            raise
        except Exception:  # noqa: BLE001 - whatever it is, the next messages must come in, and it is logged
            _log.exception("something from %s could not be taken in", channel)
            return Taken()

    def _carry(self, session: Session, channel: str, item: Carried) -> Taken:
        code = admission.code_in(item.text)
        if code is not None:
            return self._admit(session, channel, item, code)
        member = households.member_by_address(session, channel, item.address)
        if member is None:
            told = admission.turn_away(session, channel, item.address, self.app.clock.now()) if item.addressed else None
            return Taken(line=told)
        if item.private:
            chats.unblock(session, channel, item.chat)
        return Taken(_receive(session, channel, item, member))

    def _admit(self, session: Session, channel: str, item: Carried, code: str) -> Taken:
        chat = item.chat if item.private else None
        try:
            let_in = admission.admit(session, Comer(channel, item.address, item.name, chat), code, self.app.clock.now())
        except Refusal as fault:
            return Taken(line=str(fault))
        if item.private:
            chats.unblock(session, channel, item.chat)
        post(session, Where(let_in.member.collection_id, channel, item.chat), _body(Reply(let_in.words)))
        return Taken()

    def _press(self, session: Session, channel: str, item: Press) -> Taken:
        member = households.member_by_address(session, channel, item.address)
        if member is None:
            return Taken(line=str(Stranger()))
        row, place = _pressed(session, channel, item)
        choices = () if row is None else tuple(row.body.get("choices", ()))
        if row is None or place is None or not 0 <= place < len(choices) or row.collection_id != member.collection_id:
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
    revision = _revision(session, channel, item)
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


def _revision(session: Session, channel: str, item: Carried) -> int | None:
    """The revision under which an edit is kept; None for one that is here already or changes no word.

    Two edits within one second bear the same number from the service: the later one takes the next.
    """
    if item.edits != item.key:
        return item.revision
    earlier = inbox.revisions(session, channel, item.chat, item.key)
    if any(row.text == item.text and row.revision >= item.revision for row in earlier):
        return None
    if earlier and earlier[-1].text == item.text:
        return None
    return max([item.revision, *(row.revision + 1 for row in earlier)])


def _pressed(session: Session, channel: str, item: Press) -> tuple[OutboxRow | None, int | None]:
    """The message whose choice was tapped, and the place of the choice."""
    if item.data is not None:
        token, _, place = item.data.rpartition(":")
        row = outbox.by_token(session, token)
        known = row is not None and (row.channel, row.chat) == (channel, item.chat) and place.isdecimal()
        return (row, int(place)) if known else (None, None)
    if item.message_key is None:
        return None, None
    return outbox.by_service_id(session, channel, item.chat, item.message_key), item.place


def _parcel(session: Session, row: OutboxRow) -> Parcel:
    reply = from_body(row.body)
    replaced = None if row.replaces is None else outbox.row(session, row.replaces)
    message = None if row.inbox_id is None else inbox.row(session, row.inbox_id)
    buttons = tuple(Button(label, f"{row.token}:{place}") for place, label in enumerate(reply.choices) if row.token)
    return Parcel(
        id=row.id,
        chat=row.chat,
        reply=reply,
        buttons=buttons,
        replaces=None if replaced is None else replaced.service_id,
        answers=None if message is None or message.pressed is not None else message.key,
        rings=bool(row.body.get("push")),
        mentions=row.body.get("to"),
        tries=row.tries,
    )


def _body(reply: Reply) -> dict[str, object]:
    return {**to_body(reply), "about": None, "focus": [], "did": {}}


def _pause(tries: int) -> timedelta | None:
    """How long to wait before a photo is fetched again; None after about a day, when the service may have dropped it."""
    return timedelta(seconds=30 * 2**tries) if tries < 12 else None
