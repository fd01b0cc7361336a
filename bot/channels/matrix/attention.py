"""That a message is seen: a read receipt once it is handled, and typing while that takes a while. Neither matters if it fails."""

from __future__ import annotations

import asyncio
import contextlib
from dataclasses import dataclass, field

from bot.channels.matrix.link import UNREACHABLE, Link, Refused, granted
from bot.channels.port import House

GLANCE = 0.2
"""Seconds between looks at what is being handled."""

LONG = 1.0
"""Seconds after which the bot is seen typing."""

TYPING_FOR = 20.0
"""Seconds after which a homeserver forgets that somebody types, unless told again."""


@dataclass(frozen=True, slots=True)
class _Watched:
    event_id: str
    inbox_id: int
    since: float


@dataclass(slots=True)
class Attention:
    """Watches messages until they are handled."""

    house: House
    link: Link
    _watched: dict[str, list[_Watched]] = field(default_factory=dict)
    _typing: dict[str, float] = field(default_factory=dict)
    _news: asyncio.Event = field(default_factory=asyncio.Event)

    def watch(self, room: str, event_id: str, inbox_id: int) -> None:
        """Watch a message that was taken into the inbox."""
        since = asyncio.get_running_loop().time()
        self._watched.setdefault(room, []).append(_Watched(event_id, inbox_id, since))
        self._news.set()

    async def run(self) -> None:
        """Show what becomes of the messages watched, until cancelled."""
        while True:
            if not self._watched:
                self._news.clear()
                await self._news.wait()
            for room in list(self._watched):
                with contextlib.suppress(Refused, *UNREACHABLE):
                    await self._look(room)
            await asyncio.sleep(GLANCE)

    async def _look(self, room: str) -> None:
        waiting = self._watched[room]
        handled = await asyncio.to_thread(self._handled, waiting)
        left = waiting[handled:]
        if left:
            self._watched[room] = left
        else:
            del self._watched[room]
        if handled:
            seen = waiting[handled - 1].event_id
            granted(await self.link.room_read_markers(room, fully_read_event=seen, read_event=seen))
        await self._type(room, left)

    def _handled(self, waiting: list[_Watched]) -> int:
        """How many of them, from the first, have been dealt with."""
        for count, one in enumerate(waiting):
            if not self.house.is_handled(one.inbox_id):
                return count
        return len(waiting)

    async def _type(self, room: str, left: list[_Watched]) -> None:
        now = asyncio.get_running_loop().time()
        if not left:
            if self._typing.pop(room, None) is not None:
                granted(await self.link.room_typing(room, typing_state=False))
        elif now - left[0].since >= LONG and now >= self._typing.get(room, 0.0):
            self._typing[room] = now + TYPING_FOR / 2
            granted(await self.link.room_typing(room, timeout=int(TYPING_FOR * 1000)))
