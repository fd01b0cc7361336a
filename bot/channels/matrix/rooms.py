"""Where the bot goes: into rooms that a member asks it into, and out of those in which nobody is let in.

An invitation of a stranger is refused, but in two cases. Its reason may hold a one-use code, which lets the stranger in before the
door is opened. And while a code is out, anybody may ask the bot into a room to say the code there, since it can be said nowhere
else; a room in which no member is after ten minutes is left again. A code said in a room that a member opened works too.
"""

from __future__ import annotations

import asyncio
import logging
from dataclasses import dataclass, field
from typing import Any

from nio import InviteMemberEvent

from bot.channels.matrix.events import EPOCH
from bot.channels.matrix.link import Link, Refused, granted
from bot.channels.port import Carried, House

CHANNEL = "matrix"

MOST_TRIES = 5
"""An invitation that cannot be followed is dropped after so many tries."""

_log = logging.getLogger(__name__)


@dataclass(slots=True)
class Doorman:
    """Answers invitations, and leaves rooms. `stay` is how many seconds without a member are enough."""

    house: House
    link: Link
    stay: float
    entering: set[str] = field(default_factory=set)
    """Rooms that we went into, and have not heard from yet."""

    _tries: dict[str, int] = field(default_factory=dict)
    _alone_since: dict[str, float] = field(default_factory=dict)

    async def answer(self, room: str, state: list[Any]) -> None:
        """Follow an invitation or refuse it. Raises Refused, or one of UNREACHABLE, where it must be asked again."""
        asked = next((event for event in state if _asks(event, self.link.user_id)), None)
        welcome = asked is not None and await self._is_welcome(room, asked)
        if welcome:
            self.entering.add(room)
        act = self.link.join if welcome else self.link.room_leave
        try:
            granted(await act(room))
        except Refused as fault:
            self.entering.discard(room)
            if self._may_try_again(room, fault):
                raise
            _log.warning("an invitation into a room could not be answered: %s", fault)
        self.link.invited_rooms.pop(room, None)
        self._tries.pop(room, None)

    async def leave_strangers(self) -> None:
        """Leave the rooms in which for some time no member was."""
        for room in list(self.link.rooms):
            if not await self._without_member(self._others(room)):
                self._alone_since.pop(room, None)
                continue
            now = asyncio.get_running_loop().time()
            if now - self._alone_since.setdefault(room, now) >= self.stay:
                await self._leave(room)

    def gone_from(self, room: str) -> bool:
        """The bot is out of a room; whether it was in."""
        self._alone_since.pop(room, None)
        self.entering.discard(room)
        return self.link.rooms.pop(room, None) is not None

    def _may_try_again(self, room: str, fault: Refused) -> bool:
        """Whether an invitation may be followed later: not where the answer is final, nor for ever."""
        self._tries[room] = self._tries.get(room, 0) + (fault.wait is None)
        return fault.code not in {"M_FORBIDDEN", "M_NOT_FOUND", "M_BAD_STATE"} and self._tries[room] < MOST_TRIES

    async def _is_welcome(self, room: str, asked: InviteMemberEvent) -> bool:
        if await asyncio.to_thread(self.house.is_member, CHANNEL, asked.sender):
            return True
        if not await asyncio.to_thread(self.house.may_be_joined):
            return False
        reason = asked.content.get("reason")
        if isinstance(reason, str):
            await asyncio.to_thread(self.house.take, CHANNEL, [_said_at_the_door(room, asked.sender, reason)])
        return True

    async def _without_member(self, others: list[str]) -> bool:
        def none() -> bool:
            return not any(self.house.is_member(CHANNEL, other) for other in others)

        return await asyncio.to_thread(none)

    def _others(self, room: str) -> list[str]:
        known = self.link.rooms[room]
        return [user for user in known.users if user != self.link.user_id and user not in known.invited_users]

    async def _leave(self, room: str) -> None:
        granted(await self.link.room_leave(room))
        self.gone_from(room)
        await asyncio.to_thread(self.house.block, CHANNEL, room)


def names_in(link: Link, room: str) -> dict[str, str]:
    """What the people in a room are called there."""
    known = link.rooms.get(room)
    return {user: known.user_name(user) or user for user in known.users} if known else {}


def is_private(link: Link, room: str) -> bool:
    """Whether the bot and at most one other are in a room."""
    known = link.rooms.get(room)
    return known is not None and len(known.users) - len(known.invited_users) <= 2


def _asks(event: object, own: str) -> bool:
    return isinstance(event, InviteMemberEvent) and event.state_key == own and event.membership == "invite"


def _said_at_the_door(room: str, sender: str, reason: str) -> Carried:
    return Carried(
        address=sender,
        name=sender.removeprefix("@").partition(":")[0],
        chat=room,
        key=f"invitation into {room}",
        text=reason,
        sent_at=EPOCH,  # the invitation does not say when, and a code is good by the house's clock
        addressed=False,
    )
