"""The typing indicator: shown only where an answer takes over a second, until the message is handled."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from telegram.constants import ChatAction

from bot.channels.telegram.addresses import chat_ids

if TYPE_CHECKING:
    from telegram import Bot

AFTER = 1.0
EVERY = 4.0
"""Seconds; the service shows it for five."""
LONGEST = 60.0


@dataclass(slots=True)
class Indicator:
    """Shows in each chat that the bot is at work on what was said last there. `is_handled` blocks for milliseconds."""

    bot: Bot
    is_handled: Callable[[int], bool]
    _last: dict[str, int] = field(default_factory=dict)

    async def watch(self, chat: str, inbox_id: int) -> None:
        """Show it for this message where needed; a chat that is watched already goes on with the newer message."""
        watched = chat in self._last
        self._last[chat] = inbox_id
        if watched:
            return
        try:
            await self._show(chat)
        finally:
            del self._last[chat]

    async def _show(self, chat: str) -> None:
        chat_id, thread_id = chat_ids(chat)
        await asyncio.sleep(AFTER)
        for _ in range(round(LONGEST / EVERY)):
            if await asyncio.to_thread(self.is_handled, self._last[chat]):
                return
            await self.bot.send_chat_action(chat_id, ChatAction.TYPING, message_thread_id=thread_id)
            await asyncio.sleep(EVERY)
