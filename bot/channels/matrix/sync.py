"""Bringing in what was said: our own loop of syncs, each taken whole before the next is asked for.

`since` is the house's position, written in the transaction that takes the messages. What else a sync asks for, such as answering
an invitation or putting by what cannot be read, is done before that, so that a process killed in between finds it again.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from nio import LocalProtocolError, MegolmEvent

from bot.channels.matrix import events, history
from bot.channels.matrix.attention import Attention
from bot.channels.matrix.link import UNREACHABLE, Link, Refused, granted
from bot.channels.matrix.origins import Origins
from bot.channels.matrix.rooms import CHANNEL, Doorman, is_private, names_in
from bot.channels.matrix.sending import Sender
from bot.channels.matrix.shelf import PutBy, Shelf
from bot.channels.pauses import pause
from bot.channels.port import Carried, House, Press, Taken
from bot.errors import RacksideError

LONG_POLL = 30.0
"""Seconds that the homeserver keeps a sync waiting for news."""

SHORTEST_POLL = 0.5
LONGEST_PAUSE = 60.0
LIMIT = 120.0
"""Seconds beyond its waiting that a sync may take; nio has no limit of its own for some."""

WANTED = {
    "presence": {"types": []},
    "account_data": {"types": []},
    "room": {"ephemeral": {"types": []}, "account_data": {"types": []}, "timeline": {"limit": 50}},
}
"""The filter of a sync: rooms and what is said there, and not who is online, typing or reading."""

LOGGED_OUT = (
    "The homeserver does not know the bot's Matrix login any more: it was ended from elsewhere. Log in again with "
    "`rackside matrix login --homeserver URL --user @bot:host`."
)

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class _Arrival:
    """What the house is to take of an event in a room."""

    room: str
    event_id: str
    item: Carried | Press


@dataclass(slots=True)
class Reader:
    """Takes what is said into the house.

    `wake` is called when there is something to handle, `online` is set while the homeserver answers, and `photos` when there is a
    photo to fetch.
    """

    house: House
    link: Link
    doorman: Doorman
    shelf: Shelf
    attention: Attention
    sender: Sender
    origins: Origins
    wake: Callable[[], None]
    online: asyncio.Event
    photos: asyncio.Event
    rest: Callable[[float], Awaitable[None]] = asyncio.sleep
    _begun: bool = False
    _asked_for: set[str] = field(default_factory=set)

    async def run(self) -> None:
        """Sync until cancelled. Raises RacksideError once the login is no longer known.

        Between failures it waits 1 s, 2 s, 4 s and so on, up to a minute.
        """
        failures = 0
        while True:
            try:
                await self._round()
            except (Refused, *UNREACHABLE) as fault:
                self.online.clear()
                if isinstance(fault, Refused) and fault.is_logged_out:
                    raise RacksideError(LOGGED_OUT) from None
                _log.log(logging.WARNING if failures in (0, 5) else logging.DEBUG, "no sync with Matrix: %r", fault)
                await self.rest(_pause(failures, fault))
                failures += 1
            else:
                failures = 0
                self.online.set()

    async def _round(self) -> None:
        since = self._since(await asyncio.to_thread(self.house.position, CHANNEL))
        answer = await self._sync(since)
        await self._take(answer, since)
        self._begun = True
        await self._tend_keys()

    def _since(self, position: str | None) -> str | None:
        """The homeserver's word for how far we were; that of another account, before a new login, means nothing to it."""
        account, _, since = (position or "").partition(" ")
        return since if account == self.link.user_id and since else None

    async def _sync(self, since: str | None) -> Any:  # noqa: ANN401 - nio carries no types
        """One sync; the first one asks for all state of the rooms, without which nio knows none of them."""
        self.link.next_batch = ""  # nio passes over an answer that ends where it believes to be
        wait = self._poll()
        async with asyncio.timeout(wait + LIMIT):
            return granted(await self.link.sync(int(wait * 1000), WANTED, since, full_state=not self._begun))

    def _poll(self) -> float:
        """Seconds to wait for news: none at first; and few where it must first be seen whether the homeserver is back."""
        if not self._begun:
            return 0.0
        due = self.shelf.next_due()
        longest = LONG_POLL if self.online.is_set() else SHORTEST_POLL
        return longest if due is None else max(SHORTEST_POLL, min(longest, due))

    async def _take(self, answer: Any, since: str | None) -> None:  # noqa: ANN401 - as above
        for room, info in answer.rooms.invite.items():
            await self.doorman.answer(room, info.invite_state)
        for room in answer.rooms.leave:
            if self.doorman.gone_from(room):
                await asyncio.to_thread(self.house.block, CHANNEL, room)
        read = self.shelf.readable(self.link)
        arrived = [one for put_by, event in read for one in await self._arrivals(put_by.room, [event])]
        for room, info in answer.rooms.join.items():
            await self._greet(room)
            arrived += await self._arrivals(room, await history.whole(self.link, room, info.timeline, since))
        told = self.shelf.overdue()
        arrived += [one for put_by in told if (one := self._not_read(put_by)) is not None]
        if arrived or answer.next_batch != since:
            await self._hand_over(arrived, answer.next_batch)
        if read or told:
            self.shelf.settle([put_by for put_by, _ in read], told)
            await asyncio.to_thread(self.shelf.save)

    async def _greet(self, room: str) -> None:
        """A room that we have just come into, perhaps again."""
        if room in self.doorman.entering:
            self.doorman.entering.discard(room)
            await asyncio.to_thread(self.house.unblock, CHANNEL, room)

    async def _arrivals(self, room: str, told: Sequence[Any]) -> list[_Arrival]:
        """What the house is to take of a room's events; those that cannot be read yet are put by."""
        view = self._view(room)
        found = []
        for event in told:
            if isinstance(event, MegolmEvent):
                await self._put_by(room, event)
                continue
            source = getattr(event, "source", None)
            if not isinstance(source, dict):
                continue
            self.origins.note(source)
            target = events.asks_about(source, private=view.private)
            if target is not None:
                await self.origins.learn(room, target)
            item = events.read(source, view)
            if item is not None:
                found.append(_Arrival(room, str(source["event_id"]), item))
        return found

    async def _put_by(self, room: str, event: MegolmEvent) -> None:
        """Put by what a member said and we cannot read, in a file before it counts as taken, and ask for its key."""
        if event.sender == self.link.user_id or not await asyncio.to_thread(
            self.house.is_member, CHANNEL, event.sender
        ):
            return
        if self.shelf.put(room, event):
            await asyncio.to_thread(self.shelf.save)
        if event.session_id not in self._asked_for:
            self._asked_for.add(event.session_id)
            request = event.as_key_request(event.sender, self.link.device_id, device_id=event.device_id)
            self.link.olm.outgoing_to_device_messages.append(request)

    def _not_read(self, put_by: PutBy) -> _Arrival | None:
        item = events.unread(put_by.source, self._view(put_by.room))
        return None if item is None else _Arrival(put_by.room, put_by.key, item)

    def _view(self, room: str) -> events.View:
        names, own = names_in(self.link, room), str(self.link.user_id)
        return events.View(room, own, names.get(own, own), is_private(self.link, room), names, self.origins.known)

    async def _hand_over(self, arrived: list[_Arrival], since: str) -> None:
        items, position = [one.item for one in arrived], f"{self.link.user_id} {since}"
        taken: list[Taken] = await asyncio.to_thread(self.house.take, CHANNEL, items, position)
        for one, came in zip(arrived, taken, strict=True):
            if came.line is not None:
                self.sender.say_at_once(one.room, came.line, one.event_id, hangs=isinstance(one.item, Carried))
            if came.inbox_id is not None:
                self.attention.watch(one.room, one.event_id, came.inbox_id)
        if any(came.inbox_id is not None for came in taken):
            self.wake()
        if any(isinstance(one.item, Carried) and one.item.photo is not None for one in arrived):
            self.photos.set()

    async def _tend_keys(self) -> None:
        """Send what keys need; a failure is made good after the next sync."""
        try:
            async with asyncio.timeout(LIMIT):
                await self.link.tend_keys()
        except (Refused, LocalProtocolError, *UNREACHABLE) as fault:
            _log.warning("keys could not be exchanged with Matrix: %r", fault)


def _pause(failures: int, fault: Exception) -> float:
    """Seconds to wait after so many failures before this one."""
    asked = fault.wait or 0.0 if isinstance(fault, Refused) else 0.0
    return max(asked, pause(failures, 1.0, LONGEST_PAUSE))
