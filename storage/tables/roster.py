"""Collections, their members, places, occupants, names and taught words."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any
from uuid import uuid4

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from storage.tables.base import Base


class Collection(Base):
    """One household or room of animals; `zone` is an IANA name, `units` metric or imperial, `uid` the same in every copy of it."""

    __tablename__ = "collections"
    __table_args__ = (Index("uq_collections_uid", "uid", unique=True),)
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    zone: Mapped[str]
    units: Mapped[str]
    uid: Mapped[str | None] = mapped_column(default=lambda: uuid4().hex)


class Member(Base):
    """A chat identity that belongs to a collection; `chat` is where it is written to unasked, where that is not the address."""

    __tablename__ = "members"
    __table_args__ = (UniqueConstraint("channel", "address"), Index(None, "collection_id"))
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    channel: Mapped[str]
    address: Mapped[str]
    name: Mapped[str]
    role: Mapped[str]
    joined_at: Mapped[datetime]
    chat: Mapped[str | None]
    left_at: Mapped[datetime | None]


class Enclosure(Base):
    """A place; `name_key` is the name for comparison, None once it is closed; `size_cm` width, depth, height in centimetres."""

    __tablename__ = "enclosures"
    __table_args__ = (UniqueConstraint("collection_id", "name_key"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    name: Mapped[str]
    name_key: Mapped[str | None]
    size_cm: Mapped[list[Any] | None]
    opened_on: Mapped[date | None]
    closed_on: Mapped[date | None]


class Occupant(Base):
    """A group or an animal; `name_key` as for a place; `count` is the number of heads given at set-up."""

    __tablename__ = "occupants"
    __table_args__ = (UniqueConstraint("collection_id", "name_key"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    name: Mapped[str]
    name_key: Mapped[str | None]
    kind: Mapped[str]
    species: Mapped[str | None]
    count: Mapped[int | None]
    ended_on: Mapped[date | None]


class Alias(Base):
    """Another name of an enclosure or of an occupant."""

    __tablename__ = "aliases"
    __table_args__ = (
        CheckConstraint("(enclosure_id IS NULL) <> (occupant_id IS NULL)", name="one_owner"),
        Index(None, "collection_id"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    enclosure_id: Mapped[int | None] = mapped_column(ForeignKey("enclosures.id"))
    occupant_id: Mapped[int | None] = mapped_column(ForeignKey("occupants.id"))
    alias: Mapped[str]
    alias_key: Mapped[str]


class Tag(Base):
    """A word that names every enclosure that carries it."""

    __tablename__ = "tags"
    __table_args__ = (UniqueConstraint("enclosure_id", "tag_key"), Index(None, "collection_id"))
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    enclosure_id: Mapped[int] = mapped_column(ForeignKey("enclosures.id"))
    tag: Mapped[str]
    tag_key: Mapped[str]


class RosterChange(Base):
    """What was changed on the roster, by whom and with which words. Append-only."""

    __tablename__ = "roster_changes"
    __table_args__ = (Index(None, "collection_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    member_id: Mapped[int | None] = mapped_column(ForeignKey("members.id"))
    message_id: Mapped[int | None] = mapped_column(ForeignKey("inbox.id"))
    told_at: Mapped[datetime | None]
    what: Mapped[dict[str, Any]]
    words: Mapped[str]


class Taught(Base):
    """A phrase taught by a keeper; the newest row of a phrase holds, `means` None: it was forgotten. Append-only."""

    __tablename__ = "vocabulary"
    __table_args__ = (Index(None, "collection_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    phrase: Mapped[str]
    phrase_key: Mapped[str]
    means: Mapped[str | None]
    member_id: Mapped[int | None] = mapped_column(ForeignKey("members.id"))
    message_id: Mapped[int | None] = mapped_column(ForeignKey("inbox.id"))
    told_at: Mapped[datetime | None]
