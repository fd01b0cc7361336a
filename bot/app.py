"""The one place where the parts are put together: a store, a clock, a reader of messages, and the conversation.

A message is committed to the inbox first (`App.receive`). The worker (`App.work`) then takes the inbox rows in order, each in
one write transaction: its entries, its replies in the outbox, and the row marked done, or none of them.
"""

from __future__ import annotations

import logging
import os
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Protocol
from uuid import uuid4
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from bot.conversation.answer import Answer
from bot.conversation.limits import shorten
from bot.conversation.posting import Where, post
from bot.conversation.reply import Reply, from_body
from bot.conversation.scene import Language, Scene, load_names
from bot.conversation.turn import turn
from bot.errors import APOLOGY, FormerMember, RacksideError, Stranger
from storage import households, inbox, outbox
from storage.faults import NameTaken, StorageFault
from storage.inbox import InboxRow, Incoming
from storage.store import Store

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

MOST_TRIES = 3
"""A message that raises this often is set aside."""

OWNER = "owner"
CONSOLE = "console"

_log = logging.getLogger(__name__)


class Clock(Protocol):
    """Where the time comes from."""

    def now(self) -> datetime:
        """This moment, aware, in UTC."""


class SystemClock:
    """The clock of this machine."""

    def now(self) -> datetime:
        """This moment, aware, in UTC."""
        return datetime.now(UTC)


@dataclass(slots=True)
class SetClock:
    """A clock that stands at the moment it is set to: for replays and tests. `moment` is aware."""

    moment: datetime

    def now(self) -> datetime:
        """The moment it is set to, in UTC."""
        return self.moment.astimezone(UTC)

    def pass_time(self, span: timedelta) -> None:
        """Set it forward by a span."""
        self.moment += span


@dataclass(frozen=True, slots=True)
class App:
    """The bot on one store. Methods that write take their own transactions; several processes may use one store.

    `folder` is the data folder where that is not the one that holds the database.
    """

    store: Store
    clock: Clock
    language: Language
    folder: Path | None = field(default=None, kw_only=True)

    @property
    def files(self) -> Path | None:
        """Where pictures and photos lie; None for a database that is in no folder."""
        return self.folder or self.store.directory

    def prepare(self, zone: str | None = None, units: str = "metric") -> None:
        """On an empty database, make a collection with an owner who writes from the terminal. `zone` is an IANA name."""
        with self.store.read() as session:
            if households.collections(session):
                return
        with self.store.write() as session:
            households.hold_all(session)
            if not households.collections(session):
                self._begin(session, "My collection", OWNER, zone, units)

    def add_collection(self, name: str, zone: str | None = None, units: str = "metric") -> int:
        """One collection more, apart from all others, with an owner who writes from the terminal; its id. NameTaken where one is called so."""
        with self.store.write() as session:
            households.hold_all(session)
            for kept in households.collections(session):
                if kept.name.casefold() == name.casefold():
                    raise NameTaken(f"There is a collection “{kept.name}” already; choose another name.")
            return self._begin(session, name, f"{OWNER} {uuid4().hex}", zone, units)

    def _begin(self, session: Session, name: str, address: str, zone: str | None, units: str) -> int:
        made = households.create_collection(session, name, zone or machine_zone(), units)
        households.add_member(session, made, CONSOLE, address, OWNER, OWNER, self.clock.now())
        return made

    def receive(  # noqa: PLR0913 - what a message service tells of a message
        self,
        address: str,
        text: str,
        *,
        channel: str = CONSOLE,
        chat: str | None = None,
        key: str | None = None,
        revision: int = 0,
        sent_at: datetime | None = None,
        edits: str | None = None,
        deletes: str | None = None,
        reply_to: str | None = None,
    ) -> int | None:
        """Commit a message to the inbox; its id, or None where it is there already. Raises Stranger for no member.

        `address` is the sender's, `chat` where it was said (the sender's own, if left out), `key` the service's id of it
        (made up, if left out); `edits`, `deletes` and `reply_to` are the keys of earlier messages.
        """
        with self.store.write() as session:
            member = households.member_by_address(session, channel, address)
            if member is None:
                raise Stranger
            message = Incoming(
                collection_id=member.collection_id,
                member_id=member.id,
                channel=channel,
                chat=address if chat is None else chat,
                key=uuid4().hex if key is None else key,
                revision=revision,
                text=text,
                sent_at=sent_at or self.clock.now(),
                edits=edits,
                deletes=deletes,
                reply_to=reply_to,
            )
            return inbox.receive(session, message)

    def work(self) -> int:
        """Handle every message that waits, in the order they came; how many there were."""
        handled = 0
        while self.work_once():
            handled += 1
        return handled

    def say(  # noqa: PLR0913 - as for receive
        self,
        address: str,
        text: str,
        *,
        channel: str = CONSOLE,
        key: str | None = None,
        sent_at: datetime | None = None,
        edits: str | None = None,
        deletes: str | None = None,
        reply_to: str | None = None,
    ) -> list[Reply]:
        """Take one message, handle it, and hand over what the bot has to say on that channel to that address."""
        try:
            self.receive(
                address,
                text,
                channel=channel,
                key=key,
                sent_at=sent_at,
                edits=edits,
                deletes=deletes,
                reply_to=reply_to,
            )
        except Stranger as fault:
            return [Reply(str(fault))]
        self.work()
        return self.collect(channel, address)

    def collect(self, channel: str, chat: str) -> list[Reply]:
        """What waits in the outbox for one chat, marked as sent."""
        with self.store.write() as session:
            rows = outbox.collect(session, channel, chat)
        return [from_body(row.body) for row in rows]

    def sweep(self, *channels: str, member_id: int | None = None) -> int:
        """Say unasked what is to be said by now, on these channels (none named: on all) or to one member; how many messages.

        They wait in the outbox afterwards. To be called every few seconds, by as many processes as may be.
        """
        from bot.reminders.agenda import agenda  # noqa: PLC0415 - a single message does without
        from bot.reminders.sweep import sweep  # noqa: PLC0415

        return sweep(self.store, self.clock.now(), agenda, frozenset(channels) or None, member_id=member_id)

    def next_push(self, until: datetime, *channels: str) -> datetime | None:
        """The first moment from now up to `until` at which a sweep may have something to say; None for none."""
        from bot.reminders.sweep import next_moment  # noqa: PLC0415 - as above

        with self.store.read() as session:
            return next_moment(session, self.clock.now(), until, frozenset(channels) or None)

    def work_once(self) -> bool:
        """Handle the next message; False when none waits. A message that raises is left waiting, or set aside at last."""
        message: InboxRow | None = None
        try:
            with self.store.write() as session:
                message = inbox.next_waiting(session)
                if message is None:
                    return False
                self._finish(session, message, [turn(self._scene(session, message))])
        except (RacksideError, NameTaken) as fault:
            self._answer(_known(message), Reply(str(fault)))
        except StorageFault:
            raise  # the message is not at fault: it waits until the database can be used again
        except Exception as fault:
            if message is None:
                raise
            _log.exception("message %s could not be handled", message.id)
            self._note_failure(message, fault)
        return True

    def _scene(self, session: Session, message: InboxRow) -> Scene:
        member = households.member(session, message.member_id)
        if member.left:
            raise FormerMember
        collection = households.collection(session, message.collection_id)
        names = load_names(session, collection.id)
        return Scene(session, self.language, collection, member, message, names, self.files)

    def _answer(self, message: InboxRow, reply: Reply) -> None:
        """Say this instead of what the turn, now rolled back, would have said."""
        with self.store.write() as session:
            if inbox.still_waits(session, message.id):
                self._finish(session, message, [Answer(reply)])

    def _note_failure(self, message: InboxRow, fault: Exception) -> None:
        with self.store.write() as session:
            if not inbox.still_waits(session, message.id):
                return
            tries = inbox.mark_failed(session, message.id, f"{type(fault).__name__}: {fault}")
            if tries < MOST_TRIES:
                return
            _put(session, message, Answer(Reply(f"{APOLOGY} They were: “{shorten(message.text)}”")))
            inbox.set_aside(session, message.id)

    @staticmethod
    def _finish(session: Session, message: InboxRow, answers: Sequence[Answer]) -> None:
        for answer in answers:
            _put(session, message, answer)
        inbox.mark_done(session, message.id)


def build(
    store: Store, clock: Clock | None = None, language: Language | None = None, folder: Path | None = None
) -> App:
    """The bot on a store, with the clock of this machine and the house's own reader unless others are given."""
    if language is None:
        from bot import language as own  # noqa: PLC0415 - the lexicon is read at import, and tests bring readers of their own

        language = own
    return App(store, clock or SystemClock(), language, folder=folder)


def machine_zone() -> str:
    """IANA name of this machine's zone: from TZ, else from where /etc/localtime points, else UTC."""
    named = os.environ.get("TZ", "").removeprefix(":")
    linked = os.path.realpath("/etc/localtime").partition("zoneinfo" + os.sep)[2]
    return next((name for name in (named, Path(linked).as_posix()) if _is_zone(name)), "UTC")


def _is_zone(name: str) -> bool:
    try:
        return bool(name) and ZoneInfo(name).key == name
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False


def _known(message: InboxRow | None) -> InboxRow:
    if message is None:  # pragma: no cover - a turn, which is what raises these, has a message
        raise LookupError("there is no message to answer")
    return message


def _put(session: Session, message: InboxRow, answer: Answer) -> None:
    post(session, Where(message.collection_id, message.channel, message.chat, message), answer.body())
