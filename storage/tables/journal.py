"""The journal, and what is derived from it."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any

from sqlalchemy import CheckConstraint, DateTime, ForeignKey, Index, UniqueConstraint, text
from sqlalchemy.orm import Mapped, mapped_column

from storage.tables.base import Base

_SUBJECT = ("occupant_id", "enclosure_id")
_ORDER = ("moment", "origin_id", "entry_id")

REPEATING = text("fields LIKE '%\"every_days\"%'")
"""Plans that come round. A statement finds them by their own index only if it says this word for word, and no mood."""

NOTES = text("kind = 'note'")
"""Notes, few among many acts. A statement finds them by their own index only if it says this word for word, and a mood."""


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
        # PostgreSQL has the same conditions, by the migrations: to name it here would load that dialect at every start.
        Index("ix_entries_repeating", "collection_id", sqlite_where=REPEATING),
        Index("ix_entries_notes", "collection_id", "mood", "kind", "moment", sqlite_where=NOTES),
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


class EntrySubject(Base):
    """One subject of an entry. Append-only.

    What a walk needs (kind, mood, moment, origin) is repeated here, so that a walk reads one index and nothing else.
    `named` is false for a group that the entry made (split off): the words did not name it, yet its history starts here.
    """

    __tablename__ = "entry_subjects"
    __table_args__ = (
        CheckConstraint("(enclosure_id IS NULL) <> (occupant_id IS NULL)", name="one_subject"),
        Index("ix_entry_subjects_kind", *_SUBJECT, "mood", "kind", *_ORDER),
        Index("ix_entry_subjects_all", *_SUBJECT, "mood", *_ORDER),
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
