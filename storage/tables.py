"""The tables, as typed models. Plain dataclasses, not these, cross the border of the room.

`entries`, `entry_subjects`, `retractions`, `roster_changes` and `vocabulary` are append-only: triggers made by the migrations refuse every
UPDATE and DELETE. `stays` is a cache of what the journal says and may be rebuilt at any time.
"""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any, ClassVar

from sqlalchemy import CheckConstraint, Date, DateTime, ForeignKey, Index, MetaData, Time, UniqueConstraint, text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from storage.columns import FaithfulJson, FaithfulText, UtcDateTime

APPEND_ONLY = ("entries", "entry_subjects", "retractions", "roster_changes", "vocabulary")

_NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}


class Base(DeclarativeBase):
    """What all models share: names of constraints, and which Python type is which column type."""

    metadata = MetaData(naming_convention=_NAMES)
    type_annotation_map: ClassVar[dict[Any, Any]] = {
        str: FaithfulText(),
        dict[str, Any]: FaithfulJson(),
        list[Any]: FaithfulJson(),
        datetime: UtcDateTime(),
        date: Date(),
        time: Time(),
    }


class Collection(Base):
    """One household or room of animals; `zone` is an IANA name, `units` metric or imperial."""

    __tablename__ = "collections"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    zone: Mapped[str]
    units: Mapped[str]


class Member(Base):
    """A chat identity that belongs to a collection."""

    __tablename__ = "members"
    __table_args__ = (UniqueConstraint("channel", "address"), Index(None, "collection_id"))
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    channel: Mapped[str]
    address: Mapped[str]
    name: Mapped[str]
    role: Mapped[str]
    joined_at: Mapped[datetime]


class Inbox(Base):
    """A message as a channel took it: `state` is waiting, done or aside."""

    __tablename__ = "inbox"
    __table_args__ = (
        UniqueConstraint("channel", "chat", "key", "revision"),
        CheckConstraint("state IN ('waiting', 'done', 'aside')", name="state"),
        Index(
            "ix_inbox_waiting", "id", sqlite_where=text("state = 'waiting'"), postgresql_where=text("state = 'waiting'")
        ),
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
        Index("ix_outbox_waiting", "id", sqlite_where=text("NOT sent"), postgresql_where=text("NOT sent")),
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


class Enclosure(Base):
    """A place; `name_key` is the name for comparison, `size_cm` width, depth and height in centimetres."""

    __tablename__ = "enclosures"
    __table_args__ = (
        Index(
            "uq_enclosures_open_name",
            "collection_id",
            "name_key",
            unique=True,
            sqlite_where=text("closed_on IS NULL"),
            postgresql_where=text("closed_on IS NULL"),
        ),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    name: Mapped[str]
    name_key: Mapped[str]
    size_cm: Mapped[list[Any] | None]
    opened_on: Mapped[date | None]
    closed_on: Mapped[date | None]


class Occupant(Base):
    """A group or an animal; `count` is the number of heads given at set-up."""

    __tablename__ = "occupants"
    __table_args__ = (
        Index(
            "uq_occupants_open_name",
            "collection_id",
            "name_key",
            unique=True,
            sqlite_where=text("ended_on IS NULL"),
            postgresql_where=text("ended_on IS NULL"),
        ),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    name: Mapped[str]
    name_key: Mapped[str]
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


class Entry(Base):
    """One dated act or sighting. Append-only.

    `moment` places the entry in the order of local time (see storage.moments); `origin_id` is the first entry of a chain of
    corrections, None for an entry that corrects nothing.
    """

    __tablename__ = "entries"
    __table_args__ = (
        CheckConstraint("mood IN ('log', 'plan')", name="mood"),
        Index(None, "collection_id", "mood", "moment"),
        Index(None, "message_id"),
        Index(None, "member_id", "id"),
        Index(None, "supersedes"),
        Index(None, "origin_id"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    member_id: Mapped[int | None] = mapped_column(ForeignKey("members.id"))
    message_id: Mapped[int | None] = mapped_column(ForeignKey("inbox.id"))
    told_at: Mapped[datetime]
    kind: Mapped[str]
    mood: Mapped[str]
    on: Mapped[date | None] = mapped_column("happened_on")
    at: Mapped[time | None] = mapped_column("happened_at")
    part: Mapped[str | None]
    zone: Mapped[str]
    moment: Mapped[datetime | None] = mapped_column(DateTime())
    fields: Mapped[dict[str, Any]]
    words: Mapped[str]
    supersedes: Mapped[int | None] = mapped_column(ForeignKey("entries.id"))
    origin_id: Mapped[int | None] = mapped_column(ForeignKey("entries.id"))


def _walk(owner: str, *columns: str) -> Index:
    """Index on the subjects of one sort, in the order in which a history is walked."""
    name = f"ix_entry_subjects_{owner}_{'kind' if 'kind' in columns else 'all'}"
    condition = text(f"{owner}_id IS NOT NULL")
    return Index(
        name,
        f"{owner}_id",
        *columns,
        "moment",
        "origin_id",
        "entry_id",
        sqlite_where=condition,
        postgresql_where=condition,
    )


class EntrySubject(Base):
    """One subject of an entry. Append-only.

    What a walk needs (kind, mood, moment, origin) is repeated here, so that a walk reads one index and nothing else.
    `named` is false for a group that the entry made (split off): the words did not name it, yet its history starts here.
    """

    __tablename__ = "entry_subjects"
    __table_args__ = (
        CheckConstraint("(enclosure_id IS NULL) <> (occupant_id IS NULL)", name="one_subject"),
        _walk("occupant", "mood", "kind"),
        _walk("occupant", "mood"),
        _walk("enclosure", "mood", "kind"),
        _walk("enclosure", "mood"),
    )
    entry_id: Mapped[int] = mapped_column(ForeignKey("entries.id"), primary_key=True)
    position: Mapped[int] = mapped_column(primary_key=True)
    occupant_id: Mapped[int | None] = mapped_column(ForeignKey("occupants.id"))
    enclosure_id: Mapped[int | None] = mapped_column(ForeignKey("enclosures.id"))
    named: Mapped[bool]
    mood: Mapped[str]
    kind: Mapped[str]
    moment: Mapped[datetime | None] = mapped_column(DateTime())
    origin_id: Mapped[int] = mapped_column(ForeignKey("entries.id"))


class Retraction(Base):
    """An entry taken back. Append-only."""

    __tablename__ = "retractions"
    __table_args__ = (UniqueConstraint("entry_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    entry_id: Mapped[int] = mapped_column(ForeignKey("entries.id"))
    member_id: Mapped[int | None] = mapped_column(ForeignKey("members.id"))
    message_id: Mapped[int | None] = mapped_column(ForeignKey("inbox.id"))
    told_at: Mapped[datetime]


class StayRecord(Base):
    """An occupant's time in an enclosure: from (from_moment, from_origin) up to (until_moment, until_origin). A cache."""

    __tablename__ = "stays"
    __table_args__ = (Index(None, "occupant_id"), Index(None, "enclosure_id"), Index(None, "collection_id"))
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    occupant_id: Mapped[int] = mapped_column(ForeignKey("occupants.id"))
    enclosure_id: Mapped[int] = mapped_column(ForeignKey("enclosures.id"))
    entry_id: Mapped[int] = mapped_column(ForeignKey("entries.id"))
    since: Mapped[date | None]
    until: Mapped[date | None]
    from_moment: Mapped[datetime] = mapped_column(DateTime())
    from_origin: Mapped[int]
    until_moment: Mapped[datetime] = mapped_column(DateTime())
    until_origin: Mapped[int]


class Lineage(Base):
    """Where an occupant came from: `how` is split, join or brood."""

    __tablename__ = "lineage"
    __table_args__ = (Index(None, "child_id"), Index(None, "parent_id"))
    id: Mapped[int] = mapped_column(primary_key=True)
    child_id: Mapped[int] = mapped_column(ForeignKey("occupants.id"))
    parent_id: Mapped[int] = mapped_column(ForeignKey("occupants.id"))
    how: Mapped[str]
    entry_id: Mapped[int | None] = mapped_column(ForeignKey("entries.id"))
    on: Mapped[date | None] = mapped_column("happened_on")


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
