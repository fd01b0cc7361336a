"""Leases: what only one process may do at a time, such as asking a service for messages.

A process takes a lease for a while (`take`) and renews it long before it runs out. What it then writes it writes in a transaction that
first looks whether the lease is its own (`holds`), which keeps the lease from others until the commit: a process that slept through
its lease writes nothing any more, whatever its clock says.

Clocks of several machines differ, so where machines may use one database its own clock counts (`moment`). SQLite is used by
processes of one machine, which have one clock.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import delete, func, or_, select, text

from storage.inserting import insert_into
from storage.tables import Lease

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.orm import Session

STUCK_SECONDS = 10
"""A process that falls silent while it keeps a lease from others, because it was stopped or its machine is gone, is given up by the
server after so long."""


def moment(session: Session, own: datetime) -> datetime:
    """The moment by which leases are judged, aware: the database's, where it has a clock that all go by, else `own`."""
    if session.get_bind().dialect.name != "postgresql":
        return own
    told: datetime = session.execute(select(func.clock_timestamp())).scalar_one()
    return told


def take(session: Session, name: str, holder: str, now: datetime, until: datetime) -> bool:
    """Take a lease that is free, or renew one's own; whether it is held now. `holder` is a name that no other process uses."""
    new = insert_into(session, Lease).values(name=name, holder=holder, until=until)
    free = or_(Lease.holder == holder, Lease.until <= now)
    taken = new.on_conflict_do_update(
        index_elements=["name"], set_={"holder": new.excluded.holder, "until": new.excluded.until}, where=free
    )
    return session.scalar(taken.returning(Lease.name)) is not None


def release(session: Session, name: str, holder: str) -> None:
    """Give a lease back, for anybody to take at once. One that is another's by now stays as it is."""
    session.execute(delete(Lease).where(Lease.name == name, Lease.holder == holder))


def release_all(session: Session, holder: str) -> None:
    """Give back whatever a process holds: it is ending, or known to be dead."""
    session.execute(delete(Lease).where(Lease.holder == holder))


def holds(session: Session, name: str, holder: str) -> bool:
    """Whether a process has a lease, run out or not, as long as nobody else took it; nobody can until this transaction ends."""
    if session.get_bind().dialect.name == "postgresql":
        session.execute(text(f"SET LOCAL idle_in_transaction_session_timeout = '{STUCK_SECONDS}s'"))
    mine = select(Lease.name).where(Lease.name == name, Lease.holder == holder)
    return session.scalar(mine.with_for_update()) is not None


def holder_of(session: Session, name: str, now: datetime) -> str | None:
    """Who has a lease at that moment, None where it is free."""
    return session.scalar(select(Lease.holder).where(Lease.name == name, Lease.until > now))
