"""What one process at a time does: who does it, how another takes over, and what the former one can no longer write."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import update

from bot.channels.port import Superseded
from bot.desk import HELD_FOR, ON_ONE_MACHINE, Desk, at_work
from storage import chats
from storage.faults import StorageFault
from storage.tables import Lease
from tests import databases
from tests.front import ANA, CHANNEL, Front

ROOT = Path(__file__).parents[1]
POLLING, SENDING = "telegram intake", "telegram sending"

HOLDER = """
import sys
from pathlib import Path
from bot.app import build
from bot.desk import at_work
from storage.store import Store
folder = Path(sys.argv[1])
with at_work(build(Store.open(sys.argv[2])), folder) as desk:
    desk.hold("telegram intake")
    print(len(desk.parcels("telegram")), flush=True)
    sys.stdin.read()
"""
"""A process that takes a duty and a parcel, and waits to be killed."""


def other(front: Front) -> Desk:
    """The desk of another process on the same data."""
    return Desk(front.desk.app, front.folder)


def run_out(front: Front) -> None:
    """Let the leases of all run out: on PostgreSQL by the server's clock, which no test can set."""
    with front.desk.app.store.write() as session:
        session.execute(update(Lease).values(until=datetime(2026, 1, 1, tzinfo=UTC)))


def put(front: Front, text: str) -> None:
    """Something to be sent to Ana."""
    front.take(front.message(text))
    front.desk.app.work()


def test_one_does_it_and_the_other_when_it_is_left(front: Front) -> None:
    """The second may ask as often as it likes; each duty is a thing of its own."""
    second = other(front)
    assert front.desk.hold(POLLING)
    assert second.hold(POLLING) is None
    assert second.hold(SENDING)
    assert front.desk.hold(POLLING)
    front.desk.let_go(POLLING)
    assert second.hold(POLLING)
    assert front.desk.hold(POLLING) is None


@pytest.mark.sqlite_only("by the clock of the test")
def test_who_is_not_heard_of_for_a_whole_term_loses_it(front: Front) -> None:
    """However alive; whoever renews in time keeps it for ever."""
    second = other(front)
    for _ in range(10):
        wait = front.desk.hold(POLLING)
        assert wait is not None
        front.clock.pass_time(ON_ONE_MACHINE / 4)
        assert second.hold(POLLING) is None
    front.clock.pass_time(ON_ONE_MACHINE)
    assert second.hold(POLLING)
    assert front.desk.hold(POLLING) is None


def test_what_the_former_one_took_in_is_refused(front: Front) -> None:
    """It slept: nothing of its batch is written, neither messages nor what became of a chat, and the position stays."""
    polling, message = front.desk.on(POLLING), front.message("fed Marigolds 3 crickets")
    front.desk.hold(POLLING)
    assert len(polling.take(CHANNEL, [message], "7")) == 1
    run_out(front)
    other(front).hold(POLLING)
    late: list[Callable[[], object]] = [
        lambda: polling.take(CHANNEL, [front.message("fed Marigolds 4 crickets")], "8"),
        lambda: polling.block(CHANNEL, ANA),
        lambda: polling.move_chat(CHANNEL, ANA, "300"),
    ]
    for write in late:
        with pytest.raises(Superseded):
            write()
    assert front.rows("inbox") == 1
    assert front.rows("chats") == 0
    assert front.desk.position(CHANNEL) == "7"


def test_who_overslept_but_was_not_missed_goes_on(front: Front) -> None:
    """The lease has run out and nobody took it: what was fetched is taken in."""
    front.desk.hold(POLLING)
    run_out(front)
    assert len(front.desk.on(POLLING).take(CHANNEL, [front.message("fed Marigolds 3 crickets")])) == 1


def test_a_parcel_that_another_has_is_neither_sent_nor_put_off(front: Front) -> None:
    """After a minute it was anybody's. What the former sender has to say of it changes nothing, unless that it was sent."""
    put(front, "fed Marigolds 3 crickets")
    second = other(front)
    (parcel,) = front.desk.parcels(CHANNEL)
    assert front.desk.may_send(parcel, 45)
    front.clock.pass_time(HELD_FOR / 2)
    assert not front.desk.may_send(parcel, 45)  # there is no time left to send it
    front.clock.pass_time(HELD_FOR / 2)
    (again,) = second.parcels(CHANNEL)
    assert again == parcel
    assert not front.desk.may_send(parcel, 0)
    front.desk.put_off(parcel, 0, "no answer")
    front.desk.give_up(parcel, "no answer")
    assert front.desk.parcels(CHANNEL) == []
    assert second.may_send(again, 45)
    front.desk.sent(parcel, "b1")
    assert not second.may_send(again, 45)


def test_what_a_dead_process_held_is_free_at_once(front: Front) -> None:
    """Its duties and its parcels: killed with both in hand, it keeps nobody waiting."""
    put(front, "fed Marigolds 3 crickets")
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(front.folder), str(databases.of(front.folder))],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        cwd=ROOT,
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"1\n"
        front.clock.moment = front.desk.app.clock.now()
        assert front.desk.hold(POLLING) is None
        process.kill()
        process.wait()
    assert front.desk.hold(POLLING)
    with front.desk.app.store.read() as session:
        assert session.connection().exec_driver_sql("SELECT claimed_by FROM outbox").scalar() is None


def test_a_process_that_ends_leaves_nothing_behind(front: Front) -> None:
    """No duty, no mark."""
    with at_work(front.desk.app, front.folder) as desk:
        assert desk.hold(POLLING)
        assert other(front).hold(POLLING) is None
    assert other(front).hold(POLLING)
    assert list((front.folder / "running").iterdir()) == []


def test_a_process_that_cannot_say_goodbye_leaves_its_mark(front: Front, monkeypatch: pytest.MonkeyPatch) -> None:
    """The database is out of reach when it ends: the next one finds the mark, and frees what it held."""

    def fail(*_given: object) -> None:
        raise StorageFault("No answer.")

    with monkeypatch.context() as patched, at_work(front.desk.app, front.folder) as desk:
        assert desk.hold(POLLING)
        patched.setattr(Desk, "bury", fail)
    assert [path.name for path in (front.folder / "running").iterdir()] == [desk.name]
    with at_work(front.desk.app, front.folder) as following:
        assert following.hold(POLLING)
        assert [path.name for path in (front.folder / "running").iterdir()] == [following.name]


def test_a_chat_found_shut_by_one_process_is_found_open_by_another(front: Front) -> None:
    """What a process believed of a chat before does not count."""
    second = other(front)
    second.unblock(CHANNEL, ANA)
    front.desk.block(CHANNEL, ANA)
    second.unblock(CHANNEL, ANA)
    with front.desk.app.store.read() as session:
        assert chats.blocked(session) == []
