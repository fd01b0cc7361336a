"""The work of a duty: begun where the duty is had, ended where it is lost."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field, replace

import pytest

from bot.channels import alone as turns
from bot.channels.alone import alone
from bot.channels.port import Superseded
from bot.desk import Desk
from storage.faults import StorageFault
from tests.front import Front
from tests.patience import PATIENCE

POLLING, SENDING = "telegram intake", "telegram sending"


def other(front: Front) -> Desk:
    """The desk of another process on the same data."""
    return Desk(front.desk.app, front.folder)


def working(log: list[str], name: str) -> Callable[[asyncio.Event], Awaitable[None]]:
    """Work that tells when it begins and when it is over."""

    async def work(over: asyncio.Event) -> None:
        log.append(f"{name} begins")
        await over.wait()
        log.append(f"{name} ends")

    return work


async def soon(found: Callable[[], bool]) -> None:
    """Wait until something holds."""
    async with asyncio.timeout(PATIENCE):
        while not found():  # noqa: ASYNC110 - what is waited for happens in threads, too
            await asyncio.sleep(0.01)


def test_the_work_changes_hands(front: Front, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second begins when the first is stopped, waits for what the first did last to settle, and ends in its turn."""
    monkeypatch.setattr(turns, "STAND_BY", 0.02)

    async def play() -> list[str]:
        log: list[str] = []
        first, second = asyncio.Event(), asyncio.Event()
        tasks = [asyncio.create_task(alone(front.desk, SENDING, working(log, "one"), first))]
        await soon(lambda: len(log) == 1)
        tasks += [asyncio.create_task(alone(other(front), SENDING, working(log, "two"), second, 0.1))]
        await asyncio.sleep(0.2)
        first.set()
        await soon(lambda: len(log) == 3)
        second.set()
        await asyncio.gather(*tasks)
        return log

    assert asyncio.run(play()) == ["one begins", "one ends", "two begins", "two ends"]
    assert front.desk.hold(SENDING)


def test_work_is_ended_where_the_duty_is_lost(front: Front, monkeypatch: pytest.MonkeyPatch) -> None:
    """A process that wakes up finds another at it: it ends what it was about, and stands by until the other ends."""
    monkeypatch.setattr(turns, "STAND_BY", 0.02)
    monkeypatch.setattr("bot.desk._RENEWALS", 12000)  # it looks every 50 ms, as if the term were a fifth of a second

    async def play() -> list[str]:
        log: list[str] = []
        ending, second = asyncio.Event(), other(front)
        task = asyncio.create_task(alone(front.desk, SENDING, working(log, "one"), ending))
        await soon(lambda: len(log) == 1)
        with front.desk.app.store.write() as session:
            session.connection().exec_driver_sql("UPDATE leases SET holder = 'another'")
        await soon(lambda: len(log) == 2)
        replace(second, name="another").let_go(SENDING)
        await soon(lambda: len(log) == 3)
        ending.set()
        await task
        return log

    assert asyncio.run(play()) == ["one begins", "one ends", "one begins", "one ends"]


@pytest.mark.parametrize(("fault", "raised"), [(ZeroDivisionError(), True), (Superseded(), False)])
def test_what_the_work_raises_is_raised(front: Front, fault: Exception, raised: bool) -> None:  # noqa: FBT001 - a table
    """Unless it is that another does it by now; the duty is left in any case."""
    begun: list[bool] = []

    async def work(over: asyncio.Event) -> None:
        begun.append(True)
        if len(begun) == 1:
            raise fault
        await over.wait()

    async def play() -> None:
        ending = asyncio.Event()
        task = asyncio.create_task(alone(front.desk, POLLING, work, ending))
        await soon(lambda: task.done() or len(begun) == 2)
        ending.set()
        await task

    if raised:
        with pytest.raises(ZeroDivisionError):
            asyncio.run(play())
    else:
        asyncio.run(play())
    assert other(front).hold(POLLING)


@dataclass(frozen=True, slots=True)
class Unreachable(Desk):
    """A desk whose database is out of reach for a while, and again when a duty is to be left."""

    failures: list[str] = field(default_factory=list)

    def let_go(self, duty: str) -> None:
        raise StorageFault(f"No answer for {duty}.")

    def hold(self, duty: str) -> float | None:
        if self.failures:
            raise StorageFault(self.failures.pop())
        return Desk.hold(self, duty)


def test_while_the_database_is_out_of_reach_it_is_asked_again(
    front: Front, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """Said in one line each time; then the work begins. A duty that cannot be given back runs out, and that harms nothing."""
    monkeypatch.setattr("bot.channels.pauses.pause", lambda *_given: 0.01)

    async def play() -> list[str]:
        log: list[str] = []
        ending, desk = asyncio.Event(), Unreachable(front.desk.app, front.folder, failures=["No answer.", "No answer."])
        task = asyncio.create_task(alone(desk, SENDING, working(log, "one"), ending))
        await soon(lambda: bool(log))
        ending.set()
        await task
        return log

    assert asyncio.run(play()) == ["one begins", "one ends"]
    assert caplog.text.count("cannot be looked up (No answer.)") == 2
    assert caplog.text.count("could not be given back (No answer for telegram sending.)") == 1
    assert "Traceback" not in caplog.text
