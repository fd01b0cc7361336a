"""What may have to be said to a member in a stretch of time, and of that what has to be.

The first is reckoned from times alone (`candidates`) and costs next to nothing, so that it can be asked every few seconds. Only where
something may have to be said is the agenda of the collection made, and the candidates turned into pushes (`laid_out`).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from math import floor
from typing import TYPE_CHECKING

from bot.reminders.model import LEFTOVERS, LOOK_IN, MORNING, PLAN, Agenda, Item
from bot.reminders.moments import PARTS, days_touched
from bot.reminders.profile import Profile
from storage import pushes
from storage.pushes import NewPush, TimedPlan

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

_NO_TASKS = frozenset({"stop", "rule", "away", "skip"})
"""Plans that set something and call for nothing."""


@dataclass(frozen=True, slots=True)
class Timed:
    """A plan of the keeper's with a time of day: asked for by `member_id` (None: nobody in particular), for `on` or again and again."""

    entry_id: int
    at: time
    on: date | None
    every_days: float | None
    told_at: datetime
    member_id: int | None

    def falls_on(self, day: date, due: date | None) -> bool:
        """Whether it comes round on a day, being due since `due`: then again after every interval that nothing is done in."""
        if due is None or day < due:
            return False
        if self.every_days is None:
            return day == due
        apart, every = (day - due).days, max(1.0, self.every_days)
        turn = round(apart / every)
        return any(floor(count * every) == apart for count in (turn, turn + 1))


@dataclass(frozen=True, slots=True)
class Candidate:
    """A moment at which something may have to be said: for `day`, planned for the local time `at`."""

    moment: datetime
    purpose: str
    day: date
    at: time
    plan: Timed | None = None


def timed_plans(session: Session) -> dict[int, list[Timed]]:
    """The plans that name a time or a part of the day, by collection; those that only set something call for nothing."""
    found: dict[int, list[Timed]] = defaultdict(list)
    for collection_id, plans in pushes.timed_plans(session).items():
        found[collection_id] = [one for one in map(_timed, plans) if one is not None]
    return found


def candidates(profile: Profile, plans: Sequence[Timed], since: datetime, until: datetime) -> list[Candidate]:
    """What may have to be said to a member after `since` and up to `until`, in order of time."""
    found = (one for day in days_touched(since, until, profile.zone) for one in _of_day(profile, plans, day))
    return sorted((one for one in found if since < one.moment <= until), key=lambda one: one.moment)


def laid_out(profile: Profile, found: Sequence[Candidate], agenda: Agenda) -> list[NewPush]:
    """The pushes that come of candidates, by what the agenda holds."""
    return [push for one in found for push in _pushes(profile, one, agenda)]


def _timed(row: TimedPlan) -> Timed | None:
    at = row.at or PARTS.get(row.part or "")
    if at is None or row.kind in _NO_TASKS:
        return None
    return Timed(row.entry_id, at, row.on, row.every_days, row.told_at, row.member_id)


def _of_day(profile: Profile, plans: Sequence[Timed], day: date) -> Iterator[Candidate]:
    for purpose, at in ((MORNING, profile.morning_at), (LOOK_IN, profile.look_in_at)):
        if purpose in profile.receives or (purpose == MORNING and LEFTOVERS in profile.receives):
            yield Candidate(profile.moment(day, at), purpose, day, at)
    if PLAN in profile.receives:
        yield from (_of_plan(profile, plan, day) for plan in plans if _may_fall_on(profile, plan, day))


def _of_plan(profile: Profile, plan: Timed, day: date) -> Candidate:
    return Candidate(profile.moment(day, plan.at), PLAN, day, plan.at, plan)


def _may_fall_on(profile: Profile, plan: Timed, day: date) -> bool:
    """Whether a plan can come round on a day for a member; it says nothing of moments before it was told."""
    if plan.member_id not in (None, profile.member.id) or profile.moment(day, plan.at) <= plan.told_at:
        return False
    if plan.on is None:
        return True
    return day == plan.on if plan.every_days is None else day >= plan.on


def _pushes(profile: Profile, one: Candidate, agenda: Agenda) -> Iterator[NewPush]:
    collection_id, member_id = profile.member.collection_id, profile.member.id

    def push(purpose: str, subject: str, slot: str) -> NewPush:
        return NewPush(collection_id, member_id, purpose, subject, slot, one.moment)

    if one.purpose == LOOK_IN:
        for look in agenda.look_ins:
            if look.on == one.day:
                yield push(LOOK_IN, look.key, look.on.isoformat())
    elif one.plan is not None:
        slot = datetime.combine(one.day, one.at).isoformat(timespec="minutes")
        yield from (push(PLAN, item.key, slot) for item in agenda.items if _falls_due(one, one.plan, item))
    else:
        if MORNING in profile.receives:
            yield push(MORNING, "", one.day.isoformat())
        if LEFTOVERS in profile.receives:
            asked = (item for item in agenda.items if item.kind == LEFTOVERS and item.stands)
            yield from (push(LEFTOVERS, item.key, (item.on or one.day).isoformat()) for item in asked)


def _falls_due(one: Candidate, plan: Timed, item: Item) -> bool:
    return item.plan == plan.entry_id and item.stands and plan.falls_on(one.day, item.on)
