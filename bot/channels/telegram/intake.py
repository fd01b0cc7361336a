"""Updates into the house: a batch is one transaction of the inbox, and only then is the service told that we have it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from bot.channels.port import Carried, House, Press, Taken
from bot.channels.telegram.aftermath import Aftermath
from bot.channels.telegram.client import CHANNEL
from bot.channels.telegram.events import Account, Blocked, Event, Faceless, Moved, Unblocked
from bot.channels.telegram.standing import Standing
from bot.channels.telegram.updates import read

Item = Carried | Press


@dataclass(frozen=True, slots=True)
class Intake:
    """Takes updates in. `wake` is called where something waits to be handled, `now` gives the moment (aware)."""

    house: House
    account: Account
    standing: Standing
    aftermath: Aftermath
    wake: Callable[[], None]
    now: Callable[[], datetime]

    async def take(self, updates: Sequence[object]) -> None:
        """Take a batch of updates, decoded from JSON. Where this returns, all are committed; where it raises, ask for them again."""
        events = self._read(updates)
        taken = await asyncio.to_thread(self._commit, events)
        for item, result in taken:
            self.aftermath.follow(item, result)
        for event in events:
            if isinstance(event, Faceless):
                self.aftermath.faceless(event)
        if any(result.inbox_id is not None for _, result in taken):
            self.wake()

    def _read(self, updates: Iterable[object]) -> list[Event]:
        found = (read(update, self.account, self.now()) for update in updates)
        return [event for event in found if event is not None]

    def _commit(self, events: Sequence[Event]) -> list[tuple[Item, Taken]]:
        moves = {event.chat: event.to for event in events if isinstance(event, Moved)}
        for chat, to in moves.items():
            self.house.move_chat(CHANNEL, chat, to)
        items = [_moved(event, moves) for event in events if isinstance(event, Carried | Press)]
        results = self.house.take(CHANNEL, items) if items else []
        for event in events:
            self._note(event)
        return list(zip(items, results, strict=True))

    def _note(self, event: Event) -> None:
        """Keep the bot's standing in the chat."""
        if isinstance(event, Blocked):
            self.standing.blocked(event.chat)
        elif isinstance(event, Unblocked) or (isinstance(event, Carried) and not event.private):
            self.standing.open(event.chat)


def _moved(item: Item, moves: dict[str, str]) -> Item:
    """What was said in a chat before it moved is taken in where it is now: if it comes a second time, it is known there."""
    return replace(item, chat=moves[item.chat]) if item.chat in moves else item
