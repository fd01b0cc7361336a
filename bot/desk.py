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

from bot.app import App
from bot.channels.port import Button, Carried, Parcel, Press, Taken, WantedPhoto
from bot.conversation.posting import Where, bare, post
from bot.conversation.reply import Reply, from_body
from bot.intake import take_in
from bot.photo_shelf import PhotoShelf
from storage import chats, households, inbox, invites, outbox, photos
from storage.outbox import OutboxRow

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

HELD_FOR = timedelta(seconds=60)
"""How long a parcel is held for the channel that took it."""

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Desk:
    """The house as a channel sees it. Every call commits before it returns; all may be called from any thread."""

    app: App
    folder: Path

    def take(self, channel: str, items: Sequence[Carried | Press], position: str | None = None) -> list[Taken]:
        """Take messages into the inbox, in one transaction, with how far the service's messages are taken by then."""
        now = self.app.clock.now()
        with self.app.store.write() as session:
            taken = [take_in(session, channel, item, now) for item in items]
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
            row = photos.photo(session, photo.id)
            if row.state != "wanted":  # said twice, or another process has it by now
                return
            wait = _pause(row.tries)
            if wait is not None and not for_good:
                photos.put_off(session, photo.id, self.app.clock.now() + wait)
                return
            photos.lose(session, photo.id)
            self._tell_of_loss(session, row.inbox_id)

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
            post(session, where, bare(Reply("The photo could not be fetched; please send it again.")))


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


def _pause(tries: int) -> timedelta | None:
    """How long to wait before a photo is fetched again; None after about a day, when the service may have dropped it."""
    return timedelta(seconds=30 * 2**tries) if tries < 12 else None
