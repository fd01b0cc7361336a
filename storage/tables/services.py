"""What is kept of the message services: our accounts there, chats, invitations, photos, labels."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from storage.tables.base import Base


class Account(Base):
    """The bot's own account with a service; `position` is how far its messages were taken, where the service counts that way."""

    __tablename__ = "accounts"
    channel: Mapped[str] = mapped_column(primary_key=True)
    address: Mapped[str | None]
    name: Mapped[str | None]
    position: Mapped[str | None]


class Chat(Base):
    """A chat that something is known of: since when it takes nothing from us, or which chat stands for it now."""

    __tablename__ = "chats"
    channel: Mapped[str] = mapped_column(primary_key=True)
    chat: Mapped[str] = mapped_column(primary_key=True)
    blocked_since: Mapped[datetime | None]
    moved_to: Mapped[str | None]


class Invite(Base):
    """A code that lets one person in, once; the code itself is not kept, `code_key` is its digest."""

    __tablename__ = "invites"
    __table_args__ = (UniqueConstraint("code_key"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    role: Mapped[str]
    code_key: Mapped[str]
    expires_at: Mapped[datetime]
    used_by: Mapped[int | None] = mapped_column(ForeignKey("members.id"))


class TurnedAway(Base):
    """When somebody who is no member was last told so. Of what was said nothing is kept."""

    __tablename__ = "turned_away"
    channel: Mapped[str] = mapped_column(primary_key=True)
    address: Mapped[str] = mapped_column(primary_key=True)
    told_at: Mapped[datetime]


class Photo(Base):
    """A photo that came with a message (`inbox_id`); it shows what the message `about_id` told of.

    `reference` is what the service wants to hear to hand it over; `digest` is the SHA-256 of the file once it is kept.
    """

    __tablename__ = "photos"
    __table_args__ = (
        CheckConstraint("state IN ('wanted', 'kept', 'lost')", name="state"),
        Index(None, "state", "id"),
        Index(None, "about_id"),
        Index(None, "inbox_id"),
        Index(None, "collection_id", "id"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    inbox_id: Mapped[int] = mapped_column(ForeignKey("inbox.id"))
    about_id: Mapped[int] = mapped_column(ForeignKey("inbox.id"))
    channel: Mapped[str]
    reference: Mapped[dict[str, Any]]
    state: Mapped[str]
    digest: Mapped[str | None]
    media_type: Mapped[str | None]
    bytes: Mapped[int | None] = mapped_column("size_bytes")
    tries: Mapped[int]
    due_at: Mapped[datetime | None]


class Label(Base):
    """The code on the label of an enclosure: printed once, it stays."""

    __tablename__ = "labels"
    __table_args__ = (UniqueConstraint("enclosure_id"), Index(None, "collection_id"))
    code: Mapped[str] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    enclosure_id: Mapped[int] = mapped_column(ForeignKey("enclosures.id"))


class Focus(Base):
    """The enclosure that a member stands before, by its label, up to a moment."""

    __tablename__ = "focuses"
    member_id: Mapped[int] = mapped_column(ForeignKey("members.id"), primary_key=True)
    enclosure_id: Mapped[int] = mapped_column(ForeignKey("enclosures.id"))
    until: Mapped[datetime] = mapped_column("looks_until")


class Lease(Base):
    """What only one process may do at a time: who does it now, up to a moment; after that it is anybody's."""

    __tablename__ = "leases"
    name: Mapped[str] = mapped_column(primary_key=True)
    holder: Mapped[str]
    until: Mapped[datetime]


class Origin(Base):
    """A row that was made of one brought in from elsewhere: `own_id` of the table `kind` here was `source_id` in `source`."""

    __tablename__ = "origins"
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"), primary_key=True)
    source: Mapped[str] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(primary_key=True)
    source_id: Mapped[str] = mapped_column(primary_key=True)
    own_id: Mapped[int]
