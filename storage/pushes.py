"""Pushes: what the bot is to say unasked, each once, whoever sends it.

A push is laid out under a key of its own (`plan`), so that two processes that lay out the same day make one row. To send, a process
claims it for a short while (`claim`), and marks it sent in the same transaction in which the message goes to the outbox (`still_held`,
`mark_sent`). A process that dies in between loses its claim with the lease, and another one sends; a process that was only slow
finds that it holds nothing any more, and sends nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import or_, select, update

from storage.tables import Push, Sweep

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime, timedelta

    from sqlalchemy import ColumnElement
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


_NEW = tuple(NewPush.__dataclass_fields__)
_ROW = tuple(PushRow.__dataclass_fields__)


def plan(session: Session, new: Iterable[NewPush], state: str = "planned") -> None:
    """Lay out pushes; one that is there already, in whatever state, stays as it is."""
    values = [
        {**{name: getattr(one, name) for name in _NEW}, "wakes_at": one.planned_at, "state": state} for one in new
    ]
    if values:
        session.execute(_insert_missing(session), values)


def claim(session: Session, member_id: int, holder: str, now: datetime, lease: timedelta) -> list[PushRow]:
    """Take the pushes of a member that are to go out, for as long as the lease; what others hold is left to them.

    `holder` is a name that nobody else uses, not even the same process at another time.
    """
    wanted = select(Push).where(Push.member_id == member_id, _free(now)).order_by(Push.wakes_at, Push.id)
    rows = list(session.scalars(wanted.with_for_update(skip_locked=True)))
    for row in rows:
        row.state, row.claimed_by, row.lease_until = "claimed", holder, now + lease
    session.flush()
    return [_push_row(row) for row in rows]


def still_held(session: Session, holder: str) -> list[PushRow]:
    """What a holder has claimed and nobody has taken over."""
    return _rows(session, Push.state == "claimed", Push.claimed_by == holder)


def mark_sent(session: Session, push_ids: Iterable[int], outbox_id: int, at: datetime) -> None:
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


def by_ids(session: Session, push_ids: Sequence[int]) -> list[PushRow]:
    """The pushes of these ids that are there, in the order laid out."""
    return _rows(session, Push.id.in_(push_ids))


def of_member(session: Session, member_id: int) -> list[PushRow]:
    """Every push of a member, in the order laid out."""
    return _rows(session, Push.member_id == member_id)


def taken_off(session: Session, collection_id: int, member_id: int) -> list[PushRow]:
    """Single tasks that no morning list of a member names: those that anybody skipped or settled, and those this one put off."""
    single = (Push.collection_id == collection_id, Push.purpose == "morning", Push.subject != "")
    own = (Push.member_id == member_id) & (Push.state == "snoozed")
    return _rows(session, *single, or_(Push.state.in_(("skipped", "answered")), own))


def waits(session: Session, member_id: int, now: datetime) -> bool:
    """Whether there is a push of a member to claim."""
    return session.scalar(select(Push.id).where(Push.member_id == member_id, _free(now)).limit(1)) is not None


def next_wake(session: Session, member_id: int) -> datetime | None:
    """When the next push of a member that is laid out goes out; None when none waits."""
    waiting = Push.state.in_(_WAITING)
    wanted = select(Push.wakes_at).where(Push.member_id == member_id, waiting).order_by(Push.wakes_at).limit(1)
    return session.scalar(wanted)


def swept(session: Session, member_id: int) -> SweepRow | None:
    """How far a member has been looked after; None for one who never was."""
    stored = session.get(Sweep, member_id)
    return None if stored is None else SweepRow(stored.until, stored.zone)


def keep_swept(session: Session, member_id: int, until: datetime, zone: str) -> None:
    """The member's pushes are laid out up to that moment."""
    session.merge(Sweep(member_id=member_id, until=until, zone=zone))
    session.flush()


def _free(now: datetime) -> ColumnElement[bool]:
    """Pushes that wait and whose time has come, and those whose holder has let the lease run out."""
    waiting = Push.state.in_(_WAITING) & (Push.wakes_at <= now)
    return or_(waiting, (Push.state == "claimed") & (Push.lease_until <= now))


def _insert_missing(session: Session) -> Any:  # noqa: ANN401 - the insert of either dialect
    """An insert that passes over rows whose key is taken: both databases have it, under the same name."""
    if session.get_bind().dialect.name == "postgresql":
        from sqlalchemy.dialects import postgresql  # noqa: PLC0415 - only where it is the database

        return postgresql.insert(Push).on_conflict_do_nothing()
    from sqlalchemy.dialects import sqlite  # noqa: PLC0415 - the same

    return sqlite.insert(Push).on_conflict_do_nothing()


def _set(session: Session, push_ids: Iterable[int], **values: object) -> None:
    wanted = sorted(set(push_ids))
    session.execute(
        update(Push).where(Push.id.in_(wanted)).values(**values), execution_options={"synchronize_session": "fetch"}
    )


def _rows(session: Session, *conditions: ColumnElement[bool]) -> list[PushRow]:
    return [_push_row(row) for row in session.scalars(select(Push).where(*conditions).order_by(Push.id))]


def _push_row(row: Push) -> PushRow:
    return PushRow(**{name: getattr(row, name) for name in _ROW})
