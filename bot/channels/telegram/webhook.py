"""Has updates delivered: a small server that answers 200 only after the house has committed what it was given."""

from __future__ import annotations

import asyncio
import hmac
import json
import logging
from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from aiohttp import web
from telegram.error import RetryAfter, TelegramError

from bot.channels.pauses import Backoff
from bot.channels.telegram.client import REFUSING, TokenRefused, seconds_of, told
from bot.channels.telegram.intake import Intake
from bot.channels.telegram.updates import ALLOWED
from bot.service_settings import Webhook

if TYPE_CHECKING:
    from telegram import Bot

SECRET = "X-Telegram-Bot-Api-Secret-Token"  # noqa: S105 - the name of a header
LARGEST = 1024 * 1024

_log = logging.getLogger(__name__)


@dataclass(slots=True)
class Receiver:
    """The server of a webhook. Updates are taken in one after the other, so that each chat keeps its order."""

    settings: Webhook
    intake: Intake
    _one_at_a_time: asyncio.Lock = field(default_factory=asyncio.Lock)

    def application(self) -> web.Application:
        """The server: nothing but POST at the path of the webhook's address."""
        made = web.Application(client_max_size=LARGEST)
        made.router.add_post(urlsplit(self.settings.url).path or "/", self.receive)
        return made

    async def receive(self, request: web.Request) -> web.Response:
        """Take one update in: 403 for a wrong secret, 400 for what is no JSON, 503 where it could not be kept."""
        shown = request.headers.get(SECRET, "").encode("utf-8", "surrogateescape")
        if not hmac.compare_digest(shown, self.settings.secret.reveal().encode()):
            return web.Response(status=403)
        try:
            update = json.loads(await request.read())
        except ValueError:
            return web.Response(status=400)
        try:
            async with self._one_at_a_time:
                await self.intake.take([update])
        except Exception:  # noqa: BLE001 - whatever it is, the service must bring the update again
            _log.exception("an update could not be taken in; the service brings it again")
            return web.Response(status=503)
        return web.Response()


async def listen(bot: Bot, settings: Webhook, intake: Intake) -> None:
    """Listen until cancelled, and tell the service where. Raises TokenRefused; OSError where the port is taken."""
    runner = web.AppRunner(Receiver(settings, intake).application(), access_log=None, shutdown_timeout=1.0)
    await runner.setup()
    try:
        await web.TCPSite(runner, settings.host, settings.port).start()
        await _announce(bot, settings)
        await asyncio.Event().wait()
    finally:
        await runner.cleanup()


async def _announce(bot: Bot, settings: Webhook) -> None:
    backoff = Backoff()
    while True:
        try:
            # One connection: with several, two messages of a chat could overtake each other.
            secret = settings.secret.reveal()
            await bot.set_webhook(settings.url, allowed_updates=ALLOWED, secret_token=secret, max_connections=1)
        except REFUSING:
            raise TokenRefused from None
        except TelegramError as fault:
            wait = seconds_of(fault) + 1 if isinstance(fault, RetryAfter) else backoff.next()
            _log.warning("the webhook could not be set (%s); trying again in %.0f s", told(fault), wait)
            await asyncio.sleep(wait)
        else:
            return
