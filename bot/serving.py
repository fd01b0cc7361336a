"""Serving the message services: one worker for what comes in, a tick for what falls due, and a task for each channel.

The worker is a thread of its own, so that a long answer holds no channel up. It is woken by the channels, and looks by itself
every second too, since another process may have taken something in.
"""

from __future__ import annotations

import asyncio
import logging
import signal
from collections.abc import AsyncIterator, Awaitable, Callable, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass
from threading import Event, Thread

from bot.app import App
from bot.errors import RacksideError
from bot.reminders.ticker import ticking

LOOK_SECONDS = 1.0
PAUSE_SECONDS = 5.0
"""How long the worker rests after the database could not be used."""

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Bells:
    """What a channel listens to and rings.

    `stop` ends it, `parcels` says that there may be something to send, `wake` that something came in; `wake` may be called from
    any thread.
    """

    stop: asyncio.Event
    parcels: asyncio.Event
    wake: Callable[[], None]

    @property
    def all(self) -> tuple[asyncio.Event, Callable[[], None], asyncio.Event]:
        """In the order in which a channel takes them: `stop`, `wake`, `parcels`."""
        return self.stop, self.wake, self.parcels


@dataclass(frozen=True, slots=True)
class Service:
    """A message service to be served: the channel's name, and what serves it until its `stop` is set."""

    channel: str
    serve: Callable[[Bells], Awaitable[None]]


class Worker:
    """The thread that handles what waits in the inbox; `handled` is called, in that thread, after there was something."""

    def __init__(self, app: App, handled: Callable[[], None]) -> None:
        self._app = app
        self._handled = handled
        self._bell = Event()
        self._ended = Event()
        self._thread = Thread(target=self._run, name="worker", daemon=True)

    def start(self) -> None:
        """Begin, with what was left waiting."""
        self._bell.set()
        self._thread.start()

    def wake(self) -> None:
        """Something came in."""
        self._bell.set()

    def end(self) -> None:
        """Finish the message in hand, and end."""
        self._ended.set()
        self._bell.set()
        self._thread.join()

    @property
    def lives(self) -> bool:
        """Whether it goes on handling what comes in."""
        return self._thread.is_alive()

    def _run(self) -> None:
        while not self._ended.is_set():
            self._bell.wait(LOOK_SECONDS)
            self._bell.clear()
            try:
                while not self._ended.is_set() and self._app.work_once():
                    self._handled()
            except Exception:  # noqa: BLE001 - the messages are safe in the inbox, and it is tried again for as long as it takes
                _log.exception("the worker rests for %s seconds", PAUSE_SECONDS)
                self._ended.wait(PAUSE_SECONDS)


async def serve(
    app: App, services: Sequence[Service], stop: asyncio.Event, beat: Callable[[], None] = lambda: None
) -> None:
    """Serve until `stop` is set. Raises what the last service ended with where every one has ended with a fault.

    `beat` is called in the event loop at the start, and after each sweep for as long as the worker lives: a sign of life.
    """
    parcels = {service.channel: asyncio.Event() for service in services}
    loop = asyncio.get_running_loop()

    def ring() -> None:
        for bell in parcels.values():
            loop.call_soon_threadsafe(bell.set)

    worker = Worker(app, ring)
    worker.start()

    def sweep() -> None:
        if app.sweep(*parcels):
            ring()
        if worker.lives:
            loop.call_soon_threadsafe(beat)

    beat()
    try:
        with ticking(sweep):
            await _all_of(services, lambda channel: Bells(stop, parcels[channel], worker.wake))
    finally:
        await asyncio.to_thread(worker.end)


async def _all_of(services: Sequence[Service], bells: Callable[[str], Bells]) -> None:
    """Serve side by side. One that cannot go on says so and leaves the others alone; the last one's fault is raised."""
    faults: list[Exception] = []

    async def one(service: Service) -> None:
        try:
            await service.serve(bells(service.channel))
        except RacksideError as fault:
            _log.error("%s: %s", service.channel, fault)
            faults.append(fault)
        except Exception as fault:  # noqa: BLE001 - a mistake in one service is no reason to be silent on another
            _log.exception("%s is served no more", service.channel)
            faults.append(fault)

    async with asyncio.TaskGroup() as group:
        for service in services:
            group.create_task(one(service))
    if faults and len(faults) == len(services):
        raise faults[-1]


@asynccontextmanager
async def until_told_to_stop() -> AsyncIterator[asyncio.Event]:
    """An event that is set when the process is asked to end (Ctrl-C, or a service manager's stop)."""
    stop, loop = asyncio.Event(), asyncio.get_running_loop()
    asked = (signal.SIGINT, signal.SIGTERM)
    for one in asked:
        loop.add_signal_handler(one, stop.set)
    try:
        yield stop
    finally:
        for one in asked:
            loop.remove_signal_handler(one)
