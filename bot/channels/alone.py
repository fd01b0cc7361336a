"""What one process at a time does, of all that use one database: whoever has the duty does it, the others stand by.

The house says who has it (`House.hold`). A process that ends leaves it to the others at once; one that dies, or hangs, loses it when its
lease runs out. One that wakes up after that finds its duty gone, and what it then tries to write for it is refused (`House.on`).
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable
from contextlib import suppress
from typing import Any

from bot.channels.pauses import Backoff
from bot.channels.port import House, Superseded

STAND_BY = 1.0
"""Seconds between looks whether a duty has become free."""

_log = logging.getLogger(__name__)


async def alone(
    house: House,
    duty: str,
    work: Callable[[asyncio.Event], Awaitable[None]],
    ending: asyncio.Event,
    settle: float = 0.0,
) -> None:
    """Do some work whenever this process has a duty, until `ending` is set. What the work raises is raised.

    The work is given an event, and has to end by itself soon after that is set: the duty is over then. `settle` is how many seconds to
    wait after another had the duty until now.
    """
    stood_by = False
    while not ending.is_set():
        renewal = await _held(house, duty, ending)
        if renewal is None:
            if not stood_by:
                _log.info("%s: another process does that; this one stands by", duty)
            stood_by = True
            await within(STAND_BY, ending)
            continue
        if stood_by and await within(settle, ending):
            continue
        _log.info("%s: by this process from now on", duty)
        over = asyncio.Event()
        working = asyncio.ensure_future(work(over))
        watching = asyncio.create_task(_watch(house, duty, renewal, ending))
        try:
            await asyncio.wait([working, watching], return_when=asyncio.FIRST_COMPLETED)
        finally:
            over.set()
            watching.cancel()
            await asyncio.gather(working, watching, return_exceptions=True)
            await _let_go(house, duty)
        stood_by = True
        with suppress(Superseded):
            working.result()


async def _watch(house: House, duty: str, renewal: float, ending: asyncio.Event) -> None:
    """Keep a duty; returns when it is lost, or to be left."""
    wait: float | None = renewal
    while wait is not None and not await within(wait, ending):
        wait = await _held(house, duty, ending)
    if not ending.is_set():
        _log.warning("%s: by another process from now on", duty)


async def _held(house: House, duty: str, ending: asyncio.Event) -> float | None:
    """After how many seconds to ask again, None where another has the duty; as soon as that can be found out."""
    backoff = Backoff(longest=15.0)
    while not ending.is_set():
        try:
            return await asyncio.to_thread(house.hold, duty)
        except Exception as fault:  # noqa: BLE001 - the database may be back at the next look, and nothing can be written meanwhile
            wait = backoff.next()
            _log.warning("%s: who does it cannot be looked up (%s); trying again in %.0f s", duty, fault, wait)
            await within(wait, ending)
    return None


async def _let_go(house: House, duty: str) -> None:
    """Leave a duty to the others; where that fails, they wait until it runs out."""
    try:
        await asyncio.to_thread(house.let_go, duty)
    except Exception as fault:  # noqa: BLE001 - as above
        _log.warning("%s: could not be given back (%s)", duty, fault)


async def until(over: asyncio.Event, work: Awaitable[None]) -> None:
    """Do something until it is over, and then break it off. What it raises is raised."""
    working, waiting = asyncio.ensure_future(work), asyncio.create_task(over.wait())
    try:
        await asyncio.wait([working, waiting], return_when=asyncio.FIRST_COMPLETED)
    finally:
        ended: list[Any] = [working, waiting]
        for task in ended:
            task.cancel()
        await asyncio.gather(*ended, return_exceptions=True)
    with suppress(asyncio.CancelledError):
        working.result()


async def within(seconds: float, event: asyncio.Event) -> bool:
    """Whether an event is set within so long."""
    try:
        async with asyncio.timeout(seconds):
            return await event.wait()
    except TimeoutError:
        return False
