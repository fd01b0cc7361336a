"""A member as the sweep sees one: where, in which zone, and what is wanted when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from bot.reminders.model import PURPOSES
from bot.reminders.moments import Quiet, after_quiet, moment_of
from storage.households import MemberRow
from storage.pushes import SweepRow
from storage.watch import Watched, watched

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

MORNING_AT = time(8)
LOOK_IN_AT = time(20)
"""In the evening, when spiders come out and the keeper is still up."""

VIEWER = "viewer"


@dataclass(frozen=True, slots=True)
class Profile:
    """A member with what is wanted, the house's own way filled in; `swept` and `wakes_at` as in `storage.watch`."""

    member: MemberRow
    zone: ZoneInfo
    morning_at: time
    look_in_at: time
    quiet: Quiet | None
    receives: frozenset[str]
    swept: SweepRow | None = None
    wakes_at: datetime | None = None

    def moment(self, day: date, at: time) -> datetime:
        """When something planned for a time of a local day may be said, quiet hours passed over."""
        return moment_of(*after_quiet(day, at, self.quiet), self.zone)


def profiles(session: Session, channels: frozenset[str] | None = None) -> list[Profile]:
    """Each member of each collection on these channels (None: on all)."""
    return [_profile(one) for one in watched(session, channels)]


def profile(session: Session, member_id: int) -> Profile:
    """One member. Raises LookupError when there is none."""
    found = watched(session, member_id=member_id)
    if not found:
        raise LookupError(f"there is no member {member_id}")
    return _profile(found[0])


def _profile(one: Watched) -> Profile:
    """A viewer receives nothing until asking for it, since answers would be refused."""
    wish = one.preference
    own = PURPOSES if one.member.role != VIEWER else ()
    quiet = None
    if wish.quiet_from is not None and wish.quiet_until is not None:
        quiet = Quiet(wish.quiet_from, wish.quiet_until)
    return Profile(
        one.member,
        ZoneInfo(one.collection.zone),
        wish.morning_at or MORNING_AT,
        wish.look_in_at or LOOK_IN_AT,
        quiet,
        frozenset(own if wish.receives is None else wish.receives),
        one.swept,
        one.wakes_at,
    )
