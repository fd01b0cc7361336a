"""Sends what the house has to say: chats side by side, in each one message at a time."""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

from bot.channels.alone import within
from bot.channels.port import House, Parcel
from bot.channels.telegram.addresses import chat_ids, chat_name
from bot.channels.telegram.client import CHANNEL
from bot.channels.telegram.outcomes import Elsewhere, Later, Never, Shut, outcome
from bot.channels.telegram.pacing import Pacing
from bot.channels.telegram.postman import Postman
from bot.channels.telegram.standing import Standing

LOOK_EVERY = 0.2
HELD_AT_MOST = 4.0
"""Seconds for which a parcel that may not go yet is held here; with more to wait the house has it back."""
PATIENCE = 45.0
"""Seconds for one request. The house holds a parcel for a minute."""
TO_THE_END = 1.5
"""Seconds for what is on its way when the channel ends."""

_log = logging.getLogger(__name__)


@dataclass(slots=True)
class Sender:
    """Sends parcels until `stop` is set. `parcels` is set where there may be new ones; `clock` gives seconds that never go back."""

    house: House
    postman: Postman
    standing: Standing
    stop: asyncio.Event
    parcels: asyncio.Event
    pacing: Pacing = field(default_factory=Pacing)
    clock: Callable[[], float] = time.monotonic
    _on_their_way: dict[int, asyncio.Task[None]] = field(default_factory=dict)
    _last: dict[str, asyncio.Task[None]] = field(default_factory=dict)

    async def run(self) -> None:
        """Send until told to stop; what is on its way then is waited for, a little."""
        try:
            while not self.stop.is_set():
                self.parcels.clear()
                for parcel in await self._offered():
                    self._start(parcel)
                await self._news()
        finally:
            await self._finish()

    async def _offered(self) -> list[Parcel]:
        try:
            return await asyncio.to_thread(self.house.parcels, CHANNEL)
        except Exception:  # noqa: BLE001 - the next look may go well, and it is logged
            _log.exception("what is to be sent could not be looked up")
            await asyncio.sleep(1.0)
            return []

    async def _news(self) -> None:
        await within(LOOK_EVERY, self.parcels)

    def _start(self, parcel: Parcel) -> None:
        if parcel.id in self._on_their_way:
            return  # held by us longer than the house thought; whatever comes of it is written then
        place = parcel.chat.partition("/")[0]  # the service counts all topics of a group as one
        task = asyncio.create_task(self._deliver(parcel, self._last.get(place)))
        self._on_their_way[parcel.id] = self._last[place] = task
        task.add_done_callback(partial(self._done, parcel.id, place))

    def _done(self, parcel_id: int, place: str, task: asyncio.Task[None]) -> None:
        self._on_their_way.pop(parcel_id, None)
        if self._last.get(place) is task:
            del self._last[place]
        self.parcels.set()

    async def _finish(self) -> None:
        tasks = list(self._on_their_way.values())
        if not tasks:
            return
        _, late = await asyncio.wait(tasks, timeout=TO_THE_END)
        for task in late:
            task.cancel()
        await asyncio.gather(*late, return_exceptions=True)

    async def _deliver(self, parcel: Parcel, after: asyncio.Task[None] | None) -> None:
        if after is not None:
            await asyncio.wait([after])
        try:
            told = await self._tried(parcel)
        except Exception as fault:  # noqa: BLE001 - what went wrong with one must not keep the others; it is kept with the parcel
            await self._failed(parcel, fault)
        else:
            await self._written(told)

    async def _tried(self, parcel: Parcel) -> Callable[[], object]:
        """Send a parcel where it may go now; how the house is to be told what came of it."""
        wait = await self._turn(parcel)
        if wait:
            return lambda: self.house.put_off(parcel, wait)
        try:
            if not await asyncio.to_thread(self.house.may_send, parcel, PATIENCE):
                return lambda: None  # this process slept, or was slow; whoever has the parcel now sends it
            async with asyncio.timeout(PATIENCE):
                key = await self.postman.post(parcel)
        finally:
            self.pacing.ended(chat_ids(parcel.chat)[0], self.clock(), edit=parcel.replaces is not None)
        return lambda: self.house.sent(parcel, key)

    async def _turn(self, parcel: Parcel) -> float:
        """Wait until the parcel may go; the seconds it still has to where it is not to be held here, else 0."""
        chat_id, _ = chat_ids(parcel.chat)
        edit = parcel.replaces is not None
        while (wait := self.pacing.ask(chat_id, self.clock(), edit=edit)) > 0:
            if wait > HELD_AT_MOST or await within(wait, self.stop):
                return wait
        return 0.0

    async def _failed(self, parcel: Parcel, fault: Exception) -> None:
        result = outcome(fault, parcel.tries)
        if isinstance(result, Later) and result.whole_chat:
            self.pacing.hold(chat_ids(parcel.chat)[0], self.clock() + result.seconds)
        if isinstance(result, Later) and result.error is not None:
            _log.warning(
                "message %d could not be sent, next try in %.0f s: %s", parcel.id, result.seconds, result.error
            )
        await self._written(lambda: self._settle(parcel, result))

    def _settle(self, parcel: Parcel, result: Later | Never | Shut | Elsewhere) -> None:
        """Tell the house what came of a parcel that was not sent."""
        if isinstance(result, Later):
            self.house.put_off(parcel, result.seconds, result.error)
        elif isinstance(result, Never):
            self.house.give_up(parcel, result.error)
        elif isinstance(result, Shut):
            self.standing.blocked(parcel.chat)
            self.house.put_off(parcel, 0.0)
        else:
            self.house.move_chat(CHANNEL, parcel.chat, chat_name(result.chat_id))
            self.house.put_off(parcel, 0.0)

    async def _written(self, write: Callable[[], object]) -> None:
        """Write down what came of a parcel. It has happened, so this is worth more than one try."""
        for wait in (0.2, 1.0, 5.0):
            try:
                await asyncio.to_thread(write)
            except Exception:  # noqa: BLE001 - it is tried again, and logged
                _log.exception("what came of a message could not be written down")
                await asyncio.sleep(wait)
            else:
                return
