"""A member as the sweep sees one: where, in which zone, and what is wanted when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from bot.reminders.model import PURPOSES
from bot.reminders.moments import Quiet, after_quiet, moment_of
from storage import households, preferences
from storage.households import CollectionRow, MemberRow

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

MORNING_AT = time(8)
LOOK_IN_AT = time(20)
"""In the evening, when spiders come out and the keeper is still up."""

VIEWER = "viewer"


@dataclass(frozen=True, slots=True)
class Profile:
    """A member with what is wanted, the house's own way filled in."""

    member: MemberRow
    zone: ZoneInfo
    morning_at: time
    look_in_at: time
    quiet: Quiet | None
    receives: frozenset[str]

    def moment(self, day: date, at: time) -> datetime:
        """When something planned for a time of a local day may be said, quiet hours passed over."""
        return moment_of(*after_quiet(day, at, self.quiet), self.zone)


def profiles(session: Session, channels: frozenset[str] | None) -> list[tuple[CollectionRow, list[Profile]]]:
    """Each collection with its members on these channels (None: on all)."""
    return [
        (
            kept,
            [
                profile(session, kept, member)
                for member in households.members(session, kept.id)
                if channels is None or member.channel in channels
            ],
        )
        for kept in households.collections(session)
    ]


def profile(session: Session, kept: CollectionRow, member: MemberRow) -> Profile:
    """What a member wants; a viewer receives nothing until asking for it, since answers would be refused."""
    set_ = preferences.preference(session, member.id)
    own = PURPOSES if member.role != VIEWER else ()
    quiet = None
    if set_.quiet_from is not None and set_.quiet_until is not None:
        quiet = Quiet(set_.quiet_from, set_.quiet_until)
    return Profile(
        member,
        ZoneInfo(kept.zone),
        set_.morning_at or MORNING_AT,
        set_.look_in_at or LOOK_IN_AT,
        quiet,
        frozenset(own if set_.receives is None else set_.receives),
    )
