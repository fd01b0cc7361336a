"""The inbox: every message is committed here before its service is told that we have it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from sqlalchemy import exists, insert, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import aliased

from storage.tables import Chat, Collection, Inbox

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Select
    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True, kw_only=True)
class Incoming:
    """A message as a channel hands it over.

    `key` is the service's id of the message and `revision` its place among the edits of it; `edits`, `deletes` and `reply_to` hold the key
    of the message that this one edits, deletes or answers. `carries` names what came with the text, `album` what photos that were
    sent together share, `pressed` is the outbox id of the message whose button this is, and `overheard` says that it was said in
    a group to nobody in particular.
    """

    collection_id: int
    member_id: int
    channel: str
    chat: str
    key: str
    text: str
    sent_at: datetime
    revision: int = 0
    edits: str | None = None
    deletes: str | None = None
    reply_to: str | None = None
    carries: str | None = None
    album: str | None = None
    pressed: int | None = None
    overheard: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class InboxRow(Incoming):
    """A message in the inbox: `state` is waiting, done or aside."""

    id: int
    state: str
    tries: int
    error: str | None


_INCOMING = tuple(Incoming.__dataclass_fields__)
_ROW = tuple(InboxRow.__dataclass_fields__)


def receive(session: Session, message: Incoming) -> int | None:
    """Keep a message; its id, or None when this revision of it is here already."""
    if _known(session, message):
        return None
    values = {name: getattr(message, name) for name in _INCOMING}
    try:
        with session.begin_nested():
            statement = insert(Inbox).values(**values, state="waiting", tries=0).returning(Inbox.id)
            return session.scalar(statement)
    except IntegrityError:
        if _known(session, message):  # another process was quicker, where two may write at a time
            return None
        raise


def next_waiting(session: Session) -> InboxRow | None:
    """The oldest message that waits to be handled; its collection is held (`storage.households.hold`) until the transaction ends.

    Where several workers may write at a time, each gets a message of another collection, and always the oldest of it.
    """
    return _first(session, _next_statement())


def still_waits(session: Session, inbox_id: int) -> bool:
    """Whether a message waits to be handled, and no other worker has done with it; none can until this transaction ends."""
    wanted = select(Inbox.id).join(Collection).where(Inbox.id == inbox_id, Inbox.state == "waiting")
    return session.scalar(wanted.with_for_update(of=(Inbox, Collection), key_share=True)) is not None


def mark_done(session: Session, inbox_id: int) -> None:
    """The message has been handled."""
    _stored(session, inbox_id).state = "done"
    session.flush()


def mark_failed(session: Session, inbox_id: int, error: str) -> int:
    """Handling raised; the number of tries so far. The message goes on waiting."""
    stored = _stored(session, inbox_id)
    stored.tries += 1
    stored.error = error
    session.flush()
    return stored.tries


def set_aside(session: Session, inbox_id: int) -> None:
    """Give a message up: it is kept, and no longer waits."""
    _stored(session, inbox_id).state = "aside"
    session.flush()


def row(session: Session, inbox_id: int) -> InboxRow | None:
    """The message of that id, None when there is none."""
    return _first(session, select(Inbox).where(Inbox.id == inbox_id))


def find(session: Session, collection_id: int, channel: str, chat: str, key: str) -> InboxRow | None:
    """The latest revision of a message by the service's id, None when it never came."""
    return next(reversed(revisions(session, collection_id, channel, chat, key)), None)


def revisions(session: Session, collection_id: int, channel: str, chat: str, key: str) -> list[InboxRow]:
    """Every revision of a message of a collection, first to last: one chat may be of people of several.

    One that did not begin in this chat may have begun in one that moved to it.
    """
    ours = Inbox.collection_id == collection_id
    found = list(session.scalars(_of_key(channel, chat, key).where(ours)))
    if all(stored.edits is not None for stored in found):
        of = (Inbox.channel == channel, Inbox.key == key, Inbox.chat.in_(_moved_to(channel, chat)))
        found += session.scalars(select(Inbox).where(*of, ours))
    return [_inbox_row(stored) for stored in sorted(found, key=lambda stored: (stored.revision, stored.id))]


def of_album(session: Session, member_id: int, channel: str, chat: str, album: str) -> list[InboxRow]:
    """The messages that a member sent together as one album, in the order they came."""
    wanted = select(Inbox).where(Inbox.album == album, Inbox.channel == channel, Inbox.chat == chat)
    wanted = wanted.where(Inbox.member_id == member_id)
    return [_inbox_row(stored) for stored in session.scalars(wanted.order_by(Inbox.id))]


def before(session: Session, message: InboxRow) -> InboxRow | None:
    """What the same member sent before a message, None where that was the first."""
    wanted = select(Inbox).where(Inbox.member_id == message.member_id, Inbox.id < message.id)
    return _first(session, wanted.order_by(Inbox.id.desc()).limit(1))


def set_aside_rows(session: Session, collection_id: int) -> list[InboxRow]:
    """The messages of a collection that could not be handled, oldest first."""
    wanted = select(Inbox).where(Inbox.state == "aside", Inbox.collection_id == collection_id)
    return [_inbox_row(stored) for stored in session.scalars(wanted.order_by(Inbox.id))]


def _of_key(channel: str, chat: str, key: str) -> Select[Inbox]:
    return select(Inbox).where(Inbox.channel == channel, Inbox.chat == chat, Inbox.key == key)


def _known(session: Session, message: Incoming) -> bool:
    """Whether this revision is here already, in its chat or, word for word, in one that moved there since."""
    wanted = _of_key(message.channel, message.chat, message.key).where(Inbox.revision == message.revision)
    if session.scalar(wanted.with_only_columns(Inbox.id)) is not None:
        return True
    of = (Inbox.channel == message.channel, Inbox.key == message.key, Inbox.revision == message.revision)
    same = (Inbox.sent_at == message.sent_at, Inbox.text == message.text)
    moved = select(Inbox.id).where(Inbox.chat.in_(_moved_to(message.channel, message.chat)), *of, *same)
    return session.scalar(moved) is not None


def _moved_to(channel: str, chat: str) -> Select[str]:
    """The ids that a chat had before it moved."""
    return select(Chat.chat).where(Chat.channel == channel, Chat.moved_to == chat)


@cache
def _next_statement() -> Select[Inbox]:
    """Made once: making it costs more than running it.

    A message is passed by while an older one of its collection waits, also one that another worker tries and may have to try again.
    """
    older = aliased(Inbox)
    first = ~exists().where(older.state == "waiting", older.id < Inbox.id, older.collection_id == Inbox.collection_id)
    wanted = select(Inbox).join(Collection).where(Inbox.state == "waiting", first).order_by(Inbox.id).limit(1)
    return wanted.with_for_update(of=(Inbox, Collection), key_share=True, skip_locked=True)


def _first(session: Session, statement: Select[Inbox]) -> InboxRow | None:
    found = session.scalar(statement)
    return None if found is None else _inbox_row(found)


def _stored(session: Session, inbox_id: int) -> Inbox:
    found = session.get(Inbox, inbox_id)
    if found is None:
        raise LookupError(f"there is no message {inbox_id} in the inbox")
    return found


def _inbox_row(stored: Inbox) -> InboxRow:
    return InboxRow(**{name: getattr(stored, name) for name in _ROW})
