"""All that a sweep must know of everybody, in one statement each: who is there, what each wants, how far each was looked after."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import case, func, select

from storage.households import CollectionRow, MemberRow
from storage.preferences import PreferenceRow, preference_row
from storage.pushes import SweepRow
from storage.tables import Collection, Member, Preference, Push, Sweep

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class Watched:
    """A member as a sweep sees one. `swept` None: never looked after yet; `wakes_at`: when a push can first be claimed, None for none."""

    collection: CollectionRow
    member: MemberRow
    preference: PreferenceRow
    swept: SweepRow | None
    wakes_at: datetime | None


def watched(session: Session, channels: frozenset[str] | None = None, member_id: int | None = None) -> list[Watched]:
    """The members of all collections on these channels (None: on all), or the one member, oldest first."""
    wanted = (
        select(Collection, Member, Preference, Sweep)
        .join(Member, Member.collection_id == Collection.id)
        .outerjoin(Preference, Preference.member_id == Member.id)
        .outerjoin(Sweep, Sweep.member_id == Member.id)
        .order_by(Member.id)
    )
    if channels is not None:
        wanted = wanted.where(Member.channel.in_(sorted(channels)))
    if member_id is not None:
        wanted = wanted.where(Member.id == member_id)
    wakes = _wakes(session)
    return [
        Watched(
            CollectionRow(kept.id, kept.name, kept.zone, kept.units),
            MemberRow(member.id, member.collection_id, member.channel, member.address, member.name, member.role),
            preference_row(preference),
            None if sweep is None else SweepRow(sweep.until, sweep.zone),
            wakes.get(member.id),
        )
        for kept, member, preference, sweep in session.execute(wanted)
    ]


def _wakes(session: Session) -> dict[int, datetime]:
    """For each member the first moment at which a push that waits, or whose holder may have died, can be claimed."""
    free_at = case((Push.state == "claimed", Push.lease_until), else_=Push.wakes_at)
    wanted = select(Push.member_id, func.min(free_at)).where(Push.state.in_(("planned", "snoozed", "claimed")))
    return {member_id: at for member_id, at in session.execute(wanted.group_by(Push.member_id)) if at is not None}
