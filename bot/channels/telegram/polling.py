"""Fetches updates. The offset, by which the service forgets them, rises only after the house has committed a batch."""

from __future__ import annotations

import asyncio
import json
import logging
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from telegram.error import Conflict, RetryAfter, TelegramError

from bot.channels.pauses import Backoff
from bot.channels.port import Superseded
from bot.channels.telegram.client import REFUSING, TokenRefused, seconds_of, told
from bot.channels.telegram.intake import Intake
from bot.channels.telegram.updates import ALLOWED

if TYPE_CHECKING:
    from telegram import Bot

HANGS_FOR = 30
"""Seconds for which the service holds a request while there is nothing."""
PATIENCE = 10.0
"""Seconds more until a connection counts as dead."""

CONFLICT = (
    "Telegram says that somebody else fetches this bot's messages, or that a webhook is set for it. "
    "Only one program may do that: stop the other one. Trying again in %.0f s."
)

_log = logging.getLogger(__name__)


@dataclass(slots=True)
class Poller:
    """Fetches updates and takes them in, for as long as it is let.

    It starts without an offset: the service itself knows what was confirmed, and its ids may begin anew after a quiet week.
    """

    bot: Bot
    intake: Intake
    backoff: Backoff = field(default_factory=Backoff)
    _offset: int | None = None

    async def run(self) -> None:
        """Poll until cancelled.

        Raises TokenRefused where the service does not know the bot any more, and Superseded where another process polls by now.
        """
        await self._steadily(self._clear_webhook)
        while True:
            await self._steadily(self._round)

    async def _steadily(self, act: Callable[[], Awaitable[None]]) -> None:
        """Do something until it has gone well once, with growing pauses."""
        while True:
            try:
                await act()
            except REFUSING:
                raise TokenRefused from None
            except Superseded:
                raise
            except Conflict:
                wait = self.backoff.next()
                _log.error(CONFLICT, wait)
            except RetryAfter as fault:
                wait = seconds_of(fault) + 1
            except TelegramError as fault:
                wait = self.backoff.next()
                _log.warning("Telegram gives no messages now (%s); trying again in %.0f s", told(fault), wait)
            except Exception:  # noqa: BLE001 - nothing was confirmed, the same messages come again
                wait = self.backoff.next()
                _log.exception("messages could not be taken in; the same come again in %.0f s", wait)
            else:
                self.backoff.reset()
                return
            await asyncio.sleep(wait)

    async def _clear_webhook(self) -> None:
        await self.bot.delete_webhook()

    async def _round(self) -> None:
        batch = await self._fetch()
        await self.intake.take(batch)
        ids = [update["update_id"] for update in batch if isinstance(update.get("update_id"), int)]
        if ids:
            self._offset = max(ids) + 1
        elif batch:
            raise TelegramError("updates without a number")

    async def _fetch(self) -> list[dict[str, Any]]:
        # The library's own method reads all updates of a batch before it gives any, so that one it cannot read keeps out all.
        # It warns of this way where it has a method of the name; with this spelling it finds none, and sends "getUpdates".
        fetched = await self.bot.do_api_request(
            "get_Updates",
            api_kwargs={"offset": self._offset, "timeout": HANGS_FOR, "allowed_updates": json.dumps(ALLOWED)},
            read_timeout=HANGS_FOR + PATIENCE,
        )
        return [update for update in fetched if isinstance(update, dict)]
