"""All that a sweep must know of everybody, in one statement each: who is there, what each wants, how far each was looked after."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from sqlalchemy import and_, bindparam, case, func, select

from storage.households import CollectionRow, MemberRow, member_row
from storage.preferences import PreferenceRow, preference_row
from storage.pushes import SweepRow
from storage.tables import Chat, Collection, Member, Preference, Push, Sweep

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Select
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
    """The members of all collections on these channels (None: on all), or the one member, oldest first.

    Whoever's chat takes nothing from us is left out until it does again; asked for by id, a member is given all the same.
    """
    of = {"channels": sorted(channels or ()), "member_id": member_id}
    found = session.execute(_members(by_channel=channels is not None, one=member_id is not None), of)
    wakes = {member: at for member, at in session.execute(_wakes(one=member_id is not None), of) if at is not None}
    return [
        Watched(
            CollectionRow(kept.id, kept.name, kept.zone, kept.units),
            member_row(member),
            preference_row(preference),
            None if sweep is None else SweepRow(sweep.until, sweep.zone),
            wakes.get(member.id),
        )
        for kept, member, preference, sweep in found
    ]


@cache
def _members(*, by_channel: bool, one: bool) -> Select[Collection, Member, Preference, Sweep]:
    """Made once: making it costs more than running it."""
    wanted = (
        select(Collection, Member, Preference, Sweep)
        .join(Member, Member.collection_id == Collection.id)
        .outerjoin(Preference, Preference.member_id == Member.id)
        .outerjoin(Sweep, Sweep.member_id == Member.id)
        .order_by(Member.id)
    )
    if one:
        return wanted.where(Member.id == bindparam("member_id"))
    if by_channel:
        wanted = wanted.where(Member.channel.in_(bindparam("channels", expanding=True)))
    own = and_(Chat.channel == Member.channel, Chat.chat == func.coalesce(Member.chat, Member.address))
    wanted = wanted.outerjoin(Chat, own).where(Chat.blocked_since.is_(None))
    return wanted.where(Member.left_at.is_(None))


@cache
def _wakes(*, one: bool) -> Select[int, datetime | None]:
    """For each member the first moment at which a push that waits, or whose holder may have died, can be claimed."""
    free_at = case((Push.state == "claimed", Push.lease_until), else_=Push.wakes_at)
    wanted = select(Push.member_id, func.min(free_at)).where(Push.state.in_(("planned", "snoozed", "claimed")))
    wanted = wanted.group_by(Push.member_id)
    return wanted.where(Push.member_id == bindparam("member_id")) if one else wanted
