"""The desk: what the house does for the channels of message services (`bot.channels.port.House`), on the bot's store.

What comes in is committed here before a channel tells its service that it has it; what goes out is handed over one message of each
chat at a time. Nothing here knows a service.
"""

from __future__ import annotations

import logging
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

from bot import presence
from bot.app import App
from bot.channels.port import Button, Carried, Parcel, Press, Superseded, Taken, WantedPhoto
from bot.conversation.posting import Where, bare, post
from bot.conversation.reply import Reply, from_body
from bot.intake import take_in
from bot.photo_shelf import PhotoShelf
from storage import chats, households, inbox, invites, leases, outbox, photos
from storage.faults import StorageFault
from storage.outbox import OutboxRow

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

HELD_FOR = timedelta(seconds=60)
"""How long a parcel is held for the channel that took it."""

AMONG_MACHINES, ON_ONE_MACHINE = timedelta(seconds=20), timedelta(minutes=10)
"""How long a duty is held. Where machines may use one database, the others must wait so long for one that is lost; on one machine
a dead process is known by its mark, and a long lease spares the disk."""
_RENEWALS = 4
"""So often a lease is renewed in its time."""

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Desk:
    """The house as a channel sees it. Every call commits before it returns; all may be called from any thread.

    `name` is this process's, by which it holds duties and parcels; `duty` is the one for which the desk is used (`on`).
    """

    app: App
    folder: Path
    name: str = field(default_factory=lambda: uuid4().hex, kw_only=True)
    duty: str | None = field(default=None, kw_only=True)

    def hold(self, duty: str) -> float | None:
        """Take on what one process at a time may do, or keep it: the seconds after which to ask again. None: another does it."""
        with self.app.store.read() as session:
            other = leases.holder_of(session, duty, leases.moment(session, self.app.clock.now()))
        if other not in {None, self.name}:
            if not presence.is_dead(self.folder, str(other)):
                return None
            self.bury(str(other))
        term = AMONG_MACHINES if self._spans_machines else ON_ONE_MACHINE
        with self.app.store.write() as session:
            now = leases.moment(session, self.app.clock.now())
            taken = leases.take(session, duty, self.name, now, now + term)
        return term.total_seconds() / _RENEWALS if taken else None

    def let_go(self, duty: str) -> None:
        """Leave it to the others, at once."""
        with self.app.store.write() as session:
            leases.release(session, duty, self.name)

    def on(self, duty: str) -> Desk:
        """This desk for whoever does that: what would be written once another does it raises Superseded instead."""
        return replace(self, duty=duty)

    def bury(self, name: str) -> None:
        """Free what a process held that has ended, and take its mark away."""
        with self.app.store.write() as session:
            leases.release_all(session, name)
            outbox.release(session, name)
        presence.forget(self.folder, name)

    def take(self, channel: str, items: Sequence[Carried | Press], position: str | None = None) -> list[Taken]:
        """Take messages into the inbox, in one transaction, with how far the service's messages are taken by then."""
        now = self.app.clock.now()
        with self._writing() as session:
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
            return [_parcel(session, row) for row in outbox.claim(session, channel, self.name, now, HELD_FOR)]

    def may_send(self, parcel: Parcel, seconds: float) -> bool:
        """Whether a parcel is still this process's, and will be for so long."""
        until = self.app.clock.now() + timedelta(seconds=seconds)
        with self.app.store.read() as session:
            return outbox.is_held(session, parcel.id, self.name, until)

    def sent(self, parcel: Parcel, key: str | None) -> None:
        """A parcel was delivered, under the service's id."""
        with self.app.store.write() as session:
            outbox.mark_sent(session, parcel.id, key)

    def put_off(self, parcel: Parcel, seconds: float, error: str | None = None) -> int:
        """A parcel waits so long and is then offered again; the number of failures so far."""
        now = self.app.clock.now()
        with self.app.store.write() as session:
            if outbox.is_anothers(session, parcel.id, self.name, now):
                return parcel.tries
            return outbox.put_off(session, parcel.id, now + timedelta(seconds=seconds), error)

    def give_up(self, parcel: Parcel, error: str) -> None:
        """The service will never take this parcel."""
        with self.app.store.write() as session:
            if outbox.is_anothers(session, parcel.id, self.name, self.app.clock.now()):
                return
            outbox.give_up(session, parcel.id, error)
        _log.warning("a message could not be sent: %s", error)

    def block(self, channel: str, chat: str) -> None:
        """A chat takes nothing from us any more: nothing is offered for it, and its pushes pause."""
        with self._writing() as session:
            chats.block(session, channel, chat, self.app.clock.now())

    def unblock(self, channel: str, chat: str) -> None:
        """A chat takes messages again. May be said often."""
        with self.app.store.read() as session:
            if not chats.is_blocked(session, channel, chat):
                return
        with self._writing() as session:
            chats.unblock(session, channel, chat)

    def move_chat(self, channel: str, chat: str, to: str) -> None:
        """A chat goes on under another id."""
        with self._writing() as session:
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

    @property
    def _spans_machines(self) -> bool:
        """Whether processes on other machines may use the same database."""
        return self.app.store.engine.dialect.name != "sqlite"

    @contextmanager
    def _writing(self) -> Iterator[Session]:
        """A session that writes, for whoever still has the duty of this desk. Raises Superseded."""
        with self.app.store.write() as session:
            if self.duty is not None and not leases.holds(session, self.duty, self.name):
                raise Superseded(self.duty)
            yield session

    @staticmethod
    def _tell_of_loss(session: Session, inbox_id: int) -> None:
        message = inbox.row(session, inbox_id)
        if message is not None:
            where = Where(message.collection_id, message.channel, message.chat, message)
            post(session, where, bare(Reply("The photo could not be fetched; please send it again.")))


@contextmanager
def at_work(app: App, folder: Path) -> Iterator[Desk]:
    """The desk of a process that serves, marked in the data folder; what processes held that have died is freed at once."""
    with presence.marked(folder) as name:
        desk = Desk(app, folder, name=name)
        for other in presence.dead(folder):
            desk.bury(other)
        try:
            yield desk
        finally:
            with suppress(StorageFault):  # where it cannot be freed now, the mark stays and says that it is anybody's
                desk.bury(name)


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
