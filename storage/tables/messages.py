"""What comes in and goes out: inbox, outbox, questions."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint, false, text
from sqlalchemy.orm import Mapped, mapped_column

from storage.tables.base import Base


class Inbox(Base):
    """A message as a channel took it: `state` is waiting, done or aside.

    `carries` names what came with the text (photo, voice, …), `album` what photos sent together share, `pressed` the message of
    the bot whose button this is; `overheard` says that it was said in a group to nobody in particular.
    """

    __tablename__ = "inbox"
    __table_args__ = (
        UniqueConstraint("channel", "chat", "key", "revision"),
        CheckConstraint("state IN ('waiting', 'done', 'aside')", name="state"),
        Index(None, "state", "id"),
        Index(None, "album"),
        Index(None, "member_id", "id"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    member_id: Mapped[int] = mapped_column(ForeignKey("members.id"))
    channel: Mapped[str]
    chat: Mapped[str]
    key: Mapped[str]
    revision: Mapped[int]
    text: Mapped[str]
    sent_at: Mapped[datetime]
    edits: Mapped[str | None]
    deletes: Mapped[str | None]
    reply_to: Mapped[str | None]
    carries: Mapped[str | None]
    album: Mapped[str | None]
    pressed: Mapped[int | None]  # an outbox id; SQLite adds no foreign key to a table that exists
    overheard: Mapped[bool] = mapped_column(server_default=false())
    state: Mapped[str]
    tries: Mapped[int]
    error: Mapped[str | None]


class Outbox(Base):
    """A message to be sent; `sent` once the service has it, then with the service's own id where it gives one.

    Whoever sends it holds it as `claimed_by` up to `lease_until`; not before `due_at` where that is set. `given_up` says that
    the service will not have it, `error` why. `token` names its buttons, `replaces` the message in whose place it goes.
    """

    __tablename__ = "outbox"
    __table_args__ = (
        Index(None, "sent", "id"),
        Index("uq_outbox_token", "token", unique=True),
        Index(None, "channel", "chat", "service_id"),
        Index(None, "inbox_id"),
        Index(None, "replaces"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    channel: Mapped[str]
    chat: Mapped[str]
    inbox_id: Mapped[int | None] = mapped_column(ForeignKey("inbox.id"))
    body: Mapped[dict[str, Any]]
    service_id: Mapped[str | None]
    sent: Mapped[bool]
    token: Mapped[str | None]
    replaces: Mapped[int | None]  # an outbox id, as above
    given_up: Mapped[bool] = mapped_column(server_default=false())
    tries: Mapped[int] = mapped_column(server_default=text("0"))
    error: Mapped[str | None]
    due_at: Mapped[datetime | None]
    claimed_by: Mapped[str | None]
    lease_until: Mapped[datetime | None]


class Question(Base):
    """A question put to a member, with the half-understood message that waits for the answer; `how` None while open."""

    __tablename__ = "questions"
    __table_args__ = (Index(None, "member_id", "id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    member_id: Mapped[int] = mapped_column(ForeignKey("members.id"))
    inbox_id: Mapped[int | None] = mapped_column(ForeignKey("inbox.id"))
    pending: Mapped[dict[str, Any]]
    asked_at: Mapped[datetime]
    settled_by: Mapped[int | None] = mapped_column(ForeignKey("inbox.id"))
    how: Mapped[str | None]
