"""What comes in and goes out: inbox, outbox, questions."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from storage.tables.base import Base


class Inbox(Base):
    """A message as a channel took it: `state` is waiting, done or aside."""

    __tablename__ = "inbox"
    __table_args__ = (
        UniqueConstraint("channel", "chat", "key", "revision"),
        CheckConstraint("state IN ('waiting', 'done', 'aside')", name="state"),
        Index(None, "state", "id"),
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
    state: Mapped[str]
    tries: Mapped[int]
    error: Mapped[str | None]


class Outbox(Base):
    """A message to be sent; `sent` once the service has it, then with the service's own id where it gives one."""

    __tablename__ = "outbox"
    __table_args__ = (
        Index(None, "sent", "id"),
        Index(None, "channel", "chat", "service_id"),
        Index(None, "inbox_id"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    channel: Mapped[str]
    chat: Mapped[str]
    inbox_id: Mapped[int | None] = mapped_column(ForeignKey("inbox.id"))
    body: Mapped[dict[str, Any]]
    service_id: Mapped[str | None]
    sent: Mapped[bool]


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
