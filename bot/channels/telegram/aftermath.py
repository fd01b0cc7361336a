"""What follows at once when something was taken in: a line to a stranger, the answer to a press, the typing indicator."""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from telegram import LinkPreviewOptions, ReplyParameters

from bot.channels.port import Carried, Press, Taken
from bot.channels.telegram.addresses import chat_ids, is_group, message_id
from bot.channels.telegram.errands import Errands
from bot.channels.telegram.events import Faceless
from bot.channels.telegram.indicator import Indicator

if TYPE_CHECKING:
    from telegram import Bot

FACELESS = (
    "Please write here as yourself: I cannot tell who speaks behind a group or a channel, so I kept nothing of that."
)
QUIET_FOR = 3600.0
"""Seconds for which that is not said again in the same chat."""

LONGEST_ALERT = 200
"""Characters that the answer to a press may have (Bot API, answerCallbackQuery)."""


@dataclass(slots=True)
class Aftermath:
    """Says and shows things on the side; none of it is kept, and none is tried again."""

    bot: Bot
    errands: Errands
    indicator: Indicator
    _told_faceless: dict[str, float] = field(default_factory=dict)

    def follow(self, item: Carried | Press, taken: Taken) -> None:
        """Do what is due at once after this was taken in."""
        if isinstance(item, Press):
            self.errands.run(self._answer(item, taken.line))
        elif taken.line:
            self.errands.run(self._say(item.chat, item.key, taken.line))
        waits = item.addressed if isinstance(item, Carried) else True
        if taken.inbox_id is not None and waits:
            self.errands.run(self.indicator.watch(item.chat, taken.inbox_id))

    def faceless(self, event: Faceless) -> None:
        """Ask to be written to by somebody whom one can tell, at most once an hour in a chat."""
        now = time.monotonic()
        if now - self._told_faceless.get(event.chat, -QUIET_FOR) >= QUIET_FOR:
            self._told_faceless[event.chat] = now
            self.errands.run(self._say(event.chat, event.key, FACELESS))

    async def _say(self, chat: str, key: str, line: str) -> None:
        chat_id, thread_id = chat_ids(chat)
        said = message_id(chat_id, key) if is_group(chat_id) else None
        await self.bot.send_message(
            chat_id,
            line,
            message_thread_id=thread_id,
            reply_parameters=ReplyParameters(said, allow_sending_without_reply=True) if said else None,
            link_preview_options=LinkPreviewOptions(is_disabled=True),
        )

    async def _answer(self, press: Press, line: str | None) -> None:
        text = line if line is None or len(line) <= LONGEST_ALERT else f"{line[: LONGEST_ALERT - 1]}…"
        await self.bot.answer_callback_query(press.key, text, show_alert=True if text else None)
