"""What the bot says unasked: pushes, how far each member has been looked after, and what each wants to receive."""

from __future__ import annotations

from datetime import datetime, time
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from storage.tables.base import Base


class Push(Base):
    """One thing to be said to a member once: `slot` is the local day, or the occurrence of a plan.

    It was to go out at `planned_at`, and goes out from `wakes_at` on, which a snooze puts off. Whoever sends it holds it as
    `claimed_by` up to `lease_until`; after that it is anybody's again.
    """

    __tablename__ = "pushes"
    __table_args__ = (
        UniqueConstraint("collection_id", "member_id", "purpose", "subject", "slot"),
        CheckConstraint("state IN ('planned', 'claimed', 'sent', 'answered', 'skipped', 'snoozed')", name="state"),
        CheckConstraint("purpose IN ('morning', 'look-in', 'plan', 'leftovers')", name="purpose"),
        Index(None, "member_id", "state", "wakes_at"),
        Index(None, "outbox_id"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    collection_id: Mapped[int] = mapped_column(ForeignKey("collections.id"))
    member_id: Mapped[int] = mapped_column(ForeignKey("members.id"))
    purpose: Mapped[str]
    subject: Mapped[str]
    slot: Mapped[str]
    planned_at: Mapped[datetime]
    wakes_at: Mapped[datetime]
    state: Mapped[str]
    claimed_by: Mapped[str | None]
    lease_until: Mapped[datetime | None]
    sent_at: Mapped[datetime | None]
    outbox_id: Mapped[int | None] = mapped_column(ForeignKey("outbox.id"))


class Sweep(Base):
    """Up to which moment a member's pushes are laid out, and in which zone the clock on the wall stood then."""

    __tablename__ = "sweeps"
    member_id: Mapped[int] = mapped_column(ForeignKey("members.id"), primary_key=True)
    until: Mapped[datetime] = mapped_column("swept_until")
    zone: Mapped[str]


class Preference(Base):
    """What a member has set of the pushes: times of the local day, and the purposes received; None is the house's own way."""

    __tablename__ = "preferences"
    member_id: Mapped[int] = mapped_column(ForeignKey("members.id"), primary_key=True)
    morning_at: Mapped[time | None]
    look_in_at: Mapped[time | None]
    quiet_from: Mapped[time | None]
    quiet_until: Mapped[time | None]
    receives: Mapped[list[Any] | None]
