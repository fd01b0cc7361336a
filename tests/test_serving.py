"""Serving: a worker for what comes in, a task for each service, faults that stay where they belong, and an end on request."""

from __future__ import annotations

import asyncio
import logging
import os
import signal
import time
from collections.abc import Awaitable, Callable
from typing import Any

import pytest

from bot import serving
from bot.app import App
from bot.errors import RacksideError
from bot.serving import Bells, Service, Worker, serve, until_told_to_stop
from storage.faults import StorageFault
from tests.front import ANA, CHANNEL, Front
from tests.patience import PATIENCE, STOP_GRACE

Serve = Callable[[Bells], Awaitable[None]]


@pytest.fixture(autouse=True)
def _quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """The worker rests for a moment, not for seconds, unless a test says otherwise."""
    monkeypatch.setattr(serving, "PAUSE_SECONDS", 0.05)


async def idle(bells: Bells) -> None:
    """A service on which nothing happens."""
    await bells.stop.wait()


def echo(front: Front, address: tuple[str, int], port: asyncio.Future[int]) -> Serve:
    """A service of lines over TCP: each line is a message of Ana's, and each parcel goes out as a line."""

    async def talk(reader: asyncio.StreamReader, writer: asyncio.StreamWriter, bells: Bells) -> None:
        async def send() -> None:
            while True:
                await bells.parcels.wait()
                bells.parcels.clear()
                for parcel in await asyncio.to_thread(front.out):
                    writer.write(parcel.reply.text.replace("\n", " / ").encode() + b"\n")

        sender = asyncio.create_task(send())
        try:
            while line := await reader.readline():
                await asyncio.to_thread(front.take, front.message(line.decode().strip()))
                bells.wake()
        finally:
            sender.cancel()
            writer.close()

    async def run(bells: Bells) -> None:
        server = await asyncio.start_server(lambda reader, writer: talk(reader, writer, bells), *address)
        port.set_result(server.sockets[0].getsockname()[1])
        async with server:
            await bells.stop.wait()

    return run


def test_what_comes_in_is_answered_over_a_real_service(front: Front) -> None:
    """Lines sent over a socket are handled by the worker and answered over the socket, each soon after it came."""

    async def talk() -> tuple[list[str], float]:
        port: asyncio.Future[int] = asyncio.get_running_loop().create_future()
        stop = asyncio.Event()
        serves = asyncio.create_task(
            serve(front.desk.app, [Service(CHANNEL, echo(front, ("127.0.0.1", 0), port))], stop)
        )
        reader, writer = await asyncio.open_connection("127.0.0.1", await port)
        heard, began = [], time.monotonic()
        for line in (b"fed Marigolds 3 crickets\n", b"when did Marigolds last eat\n"):
            writer.write(line)
            heard.append((await asyncio.wait_for(reader.readline(), PATIENCE)).decode())
        took = time.monotonic() - began
        writer.close()
        await writer.wait_closed()
        stop.set()
        await asyncio.wait_for(serves, PATIENCE)
        return heard, took

    (written, told), took = asyncio.run(talk())
    assert written.startswith("Written: Marigolds: fed 3 crickets")
    assert "3 crickets" in told
    assert took < PATIENCE


def test_what_was_left_waiting_is_handled_at_the_start(front: Front) -> None:
    """A message that came in before the process ended is dealt with by the next one, unasked."""
    front.take(front.message("fed Marigolds 3 crickets"))
    asyncio.run(_serve_until(front, lambda: front.rows("outbox") == 1, Service(CHANNEL, idle)))
    assert [parcel.reply.text[:7] for parcel in front.out()] == ["Written"]


async def _serve_until(front: Front, done: Callable[[], bool], *services: Service) -> None:
    """Serve until something holds, and stop."""
    stop = asyncio.Event()
    serves = asyncio.create_task(serve(front.desk.app, services, stop))
    until = time.monotonic() + PATIENCE
    while not serves.done() and not await asyncio.to_thread(done) and time.monotonic() < until:  # noqa: ASYNC110 - in threads
        await asyncio.sleep(0.05)
    stop.set()
    await asyncio.wait_for(serves, PATIENCE)
    assert done()


@pytest.mark.parametrize("fault", [RacksideError("The token is not known."), ZeroDivisionError("a mistake of ours")])
def test_a_service_that_fails_leaves_the_others_serving(
    front: Front, fault: Exception, caplog: pytest.LogCaptureFixture
) -> None:
    """Whether it cannot go on or has a mistake in it: it is logged under its name, and the others serve up to the end."""
    heard: list[str] = []

    async def fails(_bells: Bells) -> None:
        raise fault

    async def serves(bells: Bells) -> None:
        await asyncio.sleep(0.2)
        heard.append("still here")
        await bells.stop.wait()
        heard.append("ended")

    with caplog.at_level(logging.ERROR):
        services = Service("broken", fails), Service("whole", serves)
        asyncio.run(_serve_until(front, lambda: bool(heard), *services))
    assert heard == ["still here", "ended"]
    assert "broken" in caplog.text
    assert ("Traceback" in caplog.text) == isinstance(fault, ZeroDivisionError)


def test_when_every_service_has_failed_the_last_fault_goes_up(front: Front) -> None:
    """There is nothing left to wait for, so the command ends with it."""

    async def fails(_bells: Bells) -> None:
        raise RacksideError("The token is not known.")

    with pytest.raises(RacksideError, match="not known"):
        asyncio.run(serve(front.desk.app, [Service("a", fails), Service("b", fails)], asyncio.Event()))


def test_the_worker_survives_a_fault_of_the_database(front: Front, monkeypatch: pytest.MonkeyPatch) -> None:
    """It rests, tries again, and handles what had come in meanwhile: each message once."""
    work, failures = App.work_once, iter(range(3))

    def work_or_fail(app: App) -> bool:
        if next(failures, None) is not None:
            raise StorageFault("The disk is full.")
        return work(app)

    monkeypatch.setattr(App, "work_once", work_or_fail)
    front.take(front.message("fed Marigolds 3 crickets"), front.message("fed Marigolds 4 crickets"))
    asyncio.run(_serve_until(front, lambda: front.rows("outbox") == 2, Service(CHANNEL, idle)))
    assert next(failures, None) is None
    assert [parcel.reply.text[:7] for parcel in front.out()] == ["Written", "Written"]


def test_a_resting_worker_ends_at_once(front: Front, monkeypatch: pytest.MonkeyPatch) -> None:
    """However long it would rest after a fault, it does not hold up the end of the process."""
    failed: list[bool] = []

    def fail(_app: App) -> bool:
        failed.append(True)
        raise StorageFault("The disk is full.")

    monkeypatch.setattr(App, "work_once", fail)
    monkeypatch.setattr(serving, "PAUSE_SECONDS", 60.0)
    worker = Worker(front.desk.app, lambda: None)
    worker.start()
    while not failed:
        time.sleep(0.01)
    began = time.monotonic()
    worker.end()
    assert time.monotonic() - began < STOP_GRACE
    assert failed == [True]


def test_the_worker_looks_by_itself(front: Front, monkeypatch: pytest.MonkeyPatch) -> None:
    """What another process took in is handled without anybody waking this one."""
    monkeypatch.setattr(serving, "LOOK_SECONDS", 0.05)
    handled: list[bool] = []
    worker = Worker(front.desk.app, lambda: handled.append(True))
    worker.start()
    time.sleep(0.2)
    front.take(front.message("fed Marigolds 3 crickets"))
    until = time.monotonic() + PATIENCE
    while not handled and time.monotonic() < until:
        time.sleep(0.05)
    worker.end()
    assert handled == [True]


def test_the_worker_ends_after_the_message_in_hand(front: Front, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is being handled is finished, what waits after it is left for the next start."""
    work, began = App.work_once, []

    def slowly(app: App) -> bool:
        began.append(True)
        time.sleep(0.3)
        return work(app)

    monkeypatch.setattr(App, "work_once", slowly)
    front.take(*(front.message("fed Marigolds 3 crickets") for _ in range(20)))
    worker = Worker(front.desk.app, lambda: None)
    worker.start()
    while not began:
        time.sleep(0.01)
    worker.end()
    done = front.rows("outbox")
    assert done == len(began)
    assert 0 < done < 20


def test_what_falls_due_is_said_while_serving(front: Front, monkeypatch: pytest.MonkeyPatch) -> None:
    """The tick sweeps the channels that are served, and rings for them."""
    monkeypatch.setattr("bot.reminders.ticker.ticking.__wrapped__.__defaults__", (0.05,))
    front.say("remind me to feed Marigolds tomorrow at 9:00")
    front.desk.app.sweep(CHANNEL)
    front.clock.moment = front.clock.moment.replace(day=4, hour=9, minute=1)
    rung: list[bool] = []

    async def listens(bells: Bells) -> None:
        await bells.parcels.wait()
        rung.append(True)
        await bells.stop.wait()

    asyncio.run(_serve_until(front, lambda: bool(rung), Service(CHANNEL, listens)))
    (pushed,) = [parcel for parcel in front.out() if parcel.chat == ANA]
    assert "Marigolds: feed" in pushed.reply.text
    assert pushed.rings


@pytest.mark.parametrize("asked", [signal.SIGTERM, signal.SIGINT])
def test_a_signal_asks_to_stop(asked: signal.Signals) -> None:
    """Ctrl-C and a service manager's stop set the event; afterwards the process does what it did before on that signal."""
    before: Any = signal.getsignal(asked)

    async def wait() -> bool:
        async with until_told_to_stop() as stop:
            assert not stop.is_set()
            os.kill(os.getpid(), asked)
            await asyncio.wait_for(stop.wait(), PATIENCE)
            return stop.is_set()

    assert asyncio.run(wait())
    assert signal.getsignal(asked) in (before, signal.SIG_DFL, signal.default_int_handler)
