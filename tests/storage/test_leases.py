"""Leases: one holder at a time, for a while."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from storage import leases
from tests.patience import PATIENCE
from tests.storage.keeper import NOW

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from storage.store import Store

pytestmark = pytest.mark.both_databases

TERM, SECOND = timedelta(seconds=20), timedelta(seconds=1)


def take(session: Session, holder: str, at: datetime = NOW, name: str = "polling") -> bool:
    return leases.take(session, name, holder, at, at + TERM)


def test_a_lease_has_one_holder_until_it_runs_out(session: Session) -> None:
    """The first has it, and may renew it; a second gets it at the very moment at which it is over, and then the first is without."""
    assert take(session, "one")
    assert not take(session, "two", NOW + TERM - SECOND)
    assert take(session, "one", NOW + TERM - SECOND)
    assert not take(session, "two", NOW + TERM)
    assert leases.holder_of(session, "polling", NOW + TERM) == "one"
    assert take(session, "two", NOW + 2 * TERM - SECOND)
    assert not take(session, "one", NOW + 2 * TERM)


def test_leases_of_different_names_have_nothing_to_do_with_each_other(session: Session) -> None:
    """Each may be held by another."""
    assert take(session, "one")
    assert take(session, "two", name="sending")
    assert [leases.holder_of(session, name, NOW) for name in ("polling", "sending", "else")] == ["one", "two", None]


def test_what_has_run_out_is_still_held_until_somebody_takes_it(session: Session) -> None:
    """Nobody came meanwhile, so the holder may go on; not so once somebody has."""
    take(session, "one")
    assert leases.holder_of(session, "polling", NOW + TERM) is None
    assert leases.holds(session, "polling", "one")
    take(session, "two", NOW + TERM)
    assert not leases.holds(session, "polling", "one")
    assert not leases.holds(session, "nothing", "one")


def test_only_the_holder_can_give_a_lease_back(session: Session) -> None:
    """Then it is free at once."""
    take(session, "one")
    leases.release(session, "polling", "two")
    assert not take(session, "two")
    leases.release(session, "polling", "one")
    assert take(session, "two")


def test_all_that_a_process_held_is_given_back_together(session: Session) -> None:
    """And nothing of what others hold."""
    for name in ("polling", "sending"):
        take(session, "one", name=name)
    take(session, "two", name="else")
    leases.release_all(session, "one")
    assert [leases.holder_of(session, name, NOW) for name in ("polling", "sending", "else")] == [None, None, "two"]


def test_a_lease_that_is_looked_at_cannot_be_taken_before_the_commit(store: Store) -> None:
    """A second writer waits for whoever has just seen that the lease is its own, and finds what that one wrote."""
    from threading import Thread  # noqa: PLC0415 - this test alone

    with store.write() as session:
        take(session, "one")
    order: list[str] = []

    def other() -> None:
        with store.write() as second:
            assert take(second, "two", NOW + TERM)
            order.append("taken")

    with store.write() as session:
        assert leases.holds(session, "polling", "one")
        thread = Thread(target=other)
        thread.start()
        thread.join(0.5)
        assert thread.is_alive()
        order.append("written")
    thread.join(PATIENCE)
    assert order == ["written", "taken"]


def test_the_moment_is_the_databases_where_machines_may_share_it(session: Session) -> None:
    """On SQLite the process's own; on PostgreSQL the server's, whatever the process believes."""
    own = datetime(1999, 1, 1, tzinfo=UTC)
    found = leases.moment(session, own)
    if session.get_bind().dialect.name == "sqlite":
        assert found == own
    else:
        assert abs(found - datetime.now(UTC)) < timedelta(minutes=5)  # the test's server runs on this machine
