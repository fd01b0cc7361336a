"""The updates that wait for the bot: what getUpdates gives, what its offset confirms, which kinds are wanted."""

from __future__ import annotations

import asyncio
import random
from dataclasses import dataclass, field
from typing import Any

from tests.telegram.bot_api.refusal import conflict

LEFT_OUT_UNLESS_ASKED = {"chat_member", "message_reaction", "message_reaction_count"}
LONGEST_POLL = 50.0
FURTHEST_AHEAD = 10
"""An offset further ahead of the next id than this is not understood."""


@dataclass(slots=True)
class Queue:
    """Updates not yet confirmed, in order. `allowed` are the kinds wanted; empty means all but those left out unless asked."""

    pending: list[dict[str, Any]] = field(default_factory=list)
    next_id: int = field(default_factory=lambda: random.randrange(10_000_000, 900_000_000))  # noqa: S311 - not a secret
    allowed: list[str] = field(default_factory=list)
    news: asyncio.Event = field(default_factory=asyncio.Event)
    polls: int = 0
    ended_by: str = ""

    def wanted(self, kind: str) -> bool:
        """Whether an update of that kind is kept for the bot."""
        return kind in self.allowed if self.allowed else kind not in LEFT_OUT_UNLESS_ASKED

    def put(self, content: dict[str, Any]) -> int:
        """Add an update without its id; gives the id that it got."""
        number = self.next_id
        self.next_id += 1
        self.pending.append({"update_id": number, **content})
        self.wake()
        return number

    def wake(self) -> None:
        """Let everybody who waits look again."""
        self.news.set()
        self.news = asyncio.Event()

    def end_polls(self, by: str) -> None:
        """End the poll that waits, if one does, with a conflict that says by what."""
        self.polls += 1
        self.ended_by = by
        self.wake()

    def restart_ids(self) -> int:
        """Begin the ids anew, below those before, as the service may after a week without updates; gives the next one.

        What was pending is gone by then, since updates are kept for a day.
        """
        self.pending.clear()
        self.next_id = random.randrange(1_000_000, 9_000_000)  # noqa: S311 - not a secret
        return self.next_id

    def confirm(self, offset: int) -> None:
        """Forget what an offset confirms: updates below it, or, where it is negative, all but the last `-offset`.

        An offset far above the next id belongs to ids before they began anew. The service then confirms nothing and answers
        from the oldest update, however often it is asked, until the bot comes with an offset that fits.
        """
        if offset < 0:
            self.pending = self.pending[offset:]
        elif offset <= self.next_id + FURTHEST_AHEAD:
            self.pending = [update for update in self.pending if update["update_id"] >= offset]

    async def poll(self, offset: int, limit: int, wait: float) -> list[dict[str, Any]]:
        """What getUpdates gives: waits up to `wait` seconds for the first update; a newer poll ends an older one."""
        self.end_polls("other getUpdates request; make sure that only one bot instance is running")
        mine = self.polls
        self.confirm(offset)
        loop = asyncio.get_running_loop()
        until = loop.time() + min(wait, LONGEST_POLL)
        while not self.pending and mine == self.polls and loop.time() < until:
            try:
                await asyncio.wait_for(self.news.wait(), until - loop.time())
            except TimeoutError:
                break
        if mine != self.polls:
            raise conflict(f"terminated by {self.ended_by}")
        return self.pending[: min(100, max(1, limit))]
