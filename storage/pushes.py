"""Pushes: what the bot is to say unasked, each once, whoever sends it.

A push is laid out under a key of its own (`plan`), so that two processes that lay out the same day make one row. To send, a process
claims it for a short while (`claim`), and marks it sent in the same transaction in which the message goes to the outbox (`still_held`,
`mark_sent`). A process that dies in between loses its claim with the lease, and another one sends; a process that was only slow
finds that it holds nothing any more, and sends nothing.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from sqlalchemy import bindparam, or_, select, update

from storage.columns import UtcDateTime
from storage.current import is_current
from storage.inserting import insert_into
from storage.tables import Entry, Push, Sweep

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date, datetime, time, timedelta

    from sqlalchemy import ColumnElement, Select
    from sqlalchemy.orm import Session

_WAITING = ("planned", "snoozed")


@dataclass(frozen=True, slots=True)
class NewPush:
    """A push to be laid out. `subject` is what it is about ("" for the whole collection), `slot` its local day or occurrence."""

    collection_id: int
    member_id: int
    purpose: str
    subject: str
    slot: str
    planned_at: datetime


@dataclass(frozen=True, slots=True)
class PushRow(NewPush):
    """A push as it stands: `wakes_at` is when it goes out, `state` planned, claimed, sent, answered, skipped or snoozed."""

    id: int
    wakes_at: datetime
    state: str
    sent_at: datetime | None
    outbox_id: int | None


@dataclass(frozen=True, slots=True)
class SweepRow:
    """Up to which moment pushes are laid out, and the zone of the collection then."""

    until: datetime
    zone: str


@dataclass(frozen=True, slots=True)
class TimedPlan:
    """A plan of the journal that names a time of day, as far as reminding of it goes; `member_id` is who told it."""

    entry_id: int
    kind: str
    on: date | None
    at: time | None
    part: str | None
    every_days: float | None
    told_at: datetime
    member_id: int | None


_NEW = tuple(NewPush.__dataclass_fields__)
_ROW = tuple(PushRow.__dataclass_fields__)


def plan(session: Session, new: Iterable[NewPush], state: str = "planned") -> None:
    """Lay out pushes; one that is there already, in whatever state, stays as it is."""
    values = [
        {**{name: getattr(one, name) for name in _NEW}, "wakes_at": one.planned_at, "state": state} for one in new
    ]
    if values:
        session.execute(insert_into(session, Push).on_conflict_do_nothing(), values)


def timed_plans(session: Session) -> dict[int, list[TimedPlan]]:
    """The current plans that name a time or a part of the day, by collection, in the order told."""
    found: dict[int, list[TimedPlan]] = defaultdict(list)
    for collection_id, entry_id, kind, on, at, part, fields, told_at, member_id in session.execute(_timed_statement()):
        plan = TimedPlan(entry_id, kind, on, at, part, fields.get("every_days"), told_at, member_id)
        found[collection_id].append(plan)
    return found


@cache
def _timed_statement() -> Select[*tuple[Any, ...]]:
    """Made once: making it costs more than running it."""
    return (
        select(Entry.collection_id, Entry.id, Entry.kind, Entry.on, Entry.at, Entry.part, Entry.fields)
        .add_columns(Entry.told_at, Entry.member_id)
        .where(Entry.mood == "plan", or_(Entry.at.is_not(None), Entry.part.is_not(None)))
        .where(is_current(Entry.id))
        .order_by(Entry.id)
    )


def claim(session: Session, member_id: int, holder: str, now: datetime, lease: timedelta) -> list[PushRow]:
    """Take the pushes of a member that are to go out, for as long as the lease; what others hold is left to them.

    `holder` is a name that nobody else uses, not even the same process at another time.
    """
    rows = list(session.scalars(_claim_statement(), {"member_id": member_id, "now": now}))
    for row in rows:
        row.state, row.claimed_by, row.lease_until = "claimed", holder, now + lease
    session.flush()
    return [_push_row(row) for row in rows]


def still_held(session: Session, holder: str) -> list[PushRow]:
    """What a holder has claimed and nobody has taken over; nobody can until this transaction ends."""
    held = select(Push).where(Push.state == "claimed", Push.claimed_by == holder).order_by(Push.id)
    return [_push_row(row) for row in session.scalars(held.with_for_update())]


def mark_sent(session: Session, push_ids: Iterable[int], outbox_id: int | None, at: datetime) -> None:
    """They went out with that message of the outbox."""
    _set(session, push_ids, state="sent", outbox_id=outbox_id, sent_at=at, claimed_by=None, lease_until=None)


def settle(session: Session, push_ids: Iterable[int], state: str) -> None:
    """They are done with: answered or skipped."""
    _set(session, push_ids, state=state, claimed_by=None, lease_until=None)


def snooze(session: Session, push_ids: Iterable[int], until: datetime) -> None:
    """They go out again at that moment."""
    _set(session, push_ids, state="snoozed", wakes_at=until, claimed_by=None, lease_until=None)


def find(session: Session, wanted: NewPush) -> PushRow | None:
    """The push of that key; `planned_at` is not looked at."""
    keys = [getattr(Push, name) == getattr(wanted, name) for name in _NEW if name != "planned_at"]
    return next(iter(_rows(session, *keys)), None)


def slots(session: Session, like: NewPush, since: str) -> list[str]:
    """The slots, from one on (days sort as text), of all pushes that are `like` this one but for the slot and the moment."""
    keys = [getattr(Push, name) == getattr(like, name) for name in ("collection_id", "member_id", "purpose", "subject")]
    return list(session.scalars(select(Push.slot).where(*keys, Push.slot >= since).order_by(Push.slot)))


def by_ids(session: Session, push_ids: Sequence[int]) -> list[PushRow]:
    """The pushes of these ids that are there, in the order laid out."""
    return _rows(session, Push.id.in_(push_ids))


def of_member(session: Session, member_id: int) -> list[PushRow]:
    """Every push of a member, in the order laid out."""
    return _rows(session, Push.member_id == member_id)


def taken_off(session: Session, member_id: int) -> list[PushRow]:
    """Single tasks that a morning list of a member need not name: settled, told, or put off to a time of their own."""
    single = (Push.member_id == member_id, Push.purpose == "morning", Push.subject != "")
    return _rows(session, *single, Push.state.in_(("answered", "snoozed")))


def swept(session: Session, member_id: int) -> SweepRow | None:
    """How far a member has been looked after; None for one who never was."""
    stored = session.get(Sweep, member_id)
    return None if stored is None else SweepRow(stored.until, stored.zone)


def keep_swept(session: Session, zones: Mapping[int, str], until: datetime) -> None:
    """The pushes of these members are laid out up to that moment, in these zones; a later moment that is known already stays."""
    values = [{"member_id": member_id, "until": until, "zone": zone} for member_id, zone in sorted(zones.items())]
    if not values:
        return
    new = insert_into(session, Sweep)
    later = new.on_conflict_do_update(
        index_elements=["member_id"],
        set_={"swept_until": new.excluded.swept_until, "zone": new.excluded.zone},
        where=Sweep.until <= new.excluded.swept_until,
    )
    session.execute(later, values)
    session.expire_all()


@cache
def _claim_statement() -> Select[Push]:
    """Pushes that wait and whose time has come, and those whose holder has let the lease run out. Made once, as above."""
    now = bindparam("now", type_=UtcDateTime())
    waiting = Push.state.in_(_WAITING) & (Push.wakes_at <= now)
    free = or_(waiting, (Push.state == "claimed") & (Push.lease_until <= now))
    wanted = select(Push).where(Push.member_id == bindparam("member_id"), free)
    return wanted.order_by(Push.wakes_at, Push.id).with_for_update(skip_locked=True)


def _set(session: Session, push_ids: Iterable[int], **values: object) -> None:
    wanted = sorted(set(push_ids))
    if not wanted:
        return
    session.execute(
        update(Push).where(Push.id.in_(wanted)).values(**values), execution_options={"synchronize_session": "fetch"}
    )


def _rows(session: Session, *conditions: ColumnElement[bool]) -> list[PushRow]:
    return [_push_row(row) for row in session.scalars(select(Push).where(*conditions).order_by(Push.id))]


def _push_row(row: Push) -> PushRow:
    return PushRow(**{name: getattr(row, name) for name in _ROW})
