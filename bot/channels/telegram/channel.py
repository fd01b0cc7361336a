"""Runs the Telegram channel: who the bot is, what it offers, then messages in and out until it is told to stop."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Coroutine, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from telegram.error import TelegramError

from bot.channels.alone import alone, until
from bot.channels.pauses import Backoff
from bot.channels.port import House
from bot.channels.telegram import menu, webhook
from bot.channels.telegram.aftermath import Aftermath
from bot.channels.telegram.client import CHANNEL, REFUSING, TokenRefused, Unreachable, make_bot, told
from bot.channels.telegram.errands import Errands
from bot.channels.telegram.events import Account
from bot.channels.telegram.indicator import Indicator
from bot.channels.telegram.intake import Intake
from bot.channels.telegram.photos import PhotoFetcher
from bot.channels.telegram.polling import Poller
from bot.channels.telegram.postman import Postman
from bot.channels.telegram.sending import Sender
from bot.channels.telegram.standing import Standing
from bot.secret import redacted
from bot.service_settings import TelegramSettings

if TYPE_CHECKING:
    from telegram import Bot

_log = logging.getLogger(__name__)

INTAKE, SENDING = "telegram intake", "telegram sending"
"""What one process at a time does. The service lets one ask for a bot's messages, and its limits on sending hold for the bot as a whole:
whoever sends knows all that was sent lately."""
SETTLE = 1.1
"""Seconds after which what another sent last counts no more against the limit on all that a bot sends (`pacing`)."""

Job = Coroutine[Any, Any, None]


async def serve(
    house: House,
    settings: TelegramSettings,
    stop: asyncio.Event,
    wake: Callable[[], None],
    parcels: asyncio.Event,
    now: Callable[[], datetime],
) -> None:
    """Serve the bot of these settings until `stop` is set.

    `wake` is called where something waits to be handled; `parcels` is set by the house where something may be there to be
    sent; `now` tells when a press came, which the service does not date. Raises TokenRefused where the service does not know the bot, and OSError where the port of a webhook is taken.
    """
    bot = make_bot(settings)
    errands = Errands()
    try:
        account = await _or_stop(stop, _known(bot, settings))
        if account is None:
            return
        await asyncio.to_thread(house.introduce, CHANNEL, str(account.id), account.username)
        follow = Aftermath(bot, errands, Indicator(bot, house.is_handled))

        def taking(into: House) -> Intake:
            return Intake(into, account, Standing(into), follow, wake, now)

        async def listen(ending: asyncio.Event) -> None:
            if settings.webhook is not None:
                await until(ending, webhook.listen(bot, settings.webhook, taking(house)))
            else:
                await alone(house, INTAKE, poll, ending)

        async def poll(over: asyncio.Event) -> None:
            await until(over, Poller(bot, taking(house.on(INTAKE))).run())

        async def send(over: asyncio.Event) -> None:
            errands.run(menu.offer(bot))
            fetching = errands.run(PhotoFetcher(house, bot).run())
            try:
                await Sender(house, Postman(bot, house.file), Standing(house), over, parcels).run()
            finally:
                fetching.cancel()

        async def sending(ending: asyncio.Event) -> None:
            await alone(house, SENDING, send, ending, SETTLE)

        await _run(stop, listen, sending)
    finally:
        await errands.close()
        await bot.shutdown()


async def me(settings: TelegramSettings) -> tuple[int, str]:
    """The bot's id and name. Raises TokenRefused or Unreachable, with a sentence."""
    bot = make_bot(settings)
    try:
        await bot.initialize()
    except REFUSING:
        raise TokenRefused from None
    except TelegramError as fault:
        raise Unreachable(settings.api, redacted(str(fault), settings.token)) from None
    else:
        return bot.id, bot.username
    finally:
        await bot.shutdown()


async def _known(bot: Bot, settings: TelegramSettings) -> Account:
    """The bot's own account, as soon as the service can be asked."""
    backoff = Backoff()
    while True:
        try:
            await bot.initialize()
        except REFUSING:
            raise TokenRefused from None
        except TelegramError as fault:
            wait = backoff.next()
            _log.warning(
                "Telegram cannot be reached at %s (%s); trying again in %.0f s", settings.api, told(fault), wait
            )
            await asyncio.sleep(wait)
        else:
            return Account(bot.id, bot.username)


async def _or_stop(stop: asyncio.Event, asked: Coroutine[Any, Any, Account]) -> Account | None:
    """What is asked for, None where the stop comes first."""
    stopping, asking = asyncio.create_task(stop.wait()), asyncio.create_task(asked)
    try:
        await asyncio.wait([stopping, asking], return_when=asyncio.FIRST_COMPLETED)
        return asking.result() if asking.done() else None
    finally:
        await _end([stopping, asking])


async def _run(stop: asyncio.Event, *jobs: Callable[[asyncio.Event], Job]) -> None:
    """Run all until the stop, or until one ends; each is given an event that tells it to end. An error is raised at the end."""
    ending = asyncio.Event()
    stopping, tasks = asyncio.create_task(stop.wait()), [asyncio.create_task(job(ending)) for job in jobs]
    try:
        await asyncio.wait([stopping, *tasks], return_when=asyncio.FIRST_COMPLETED)
    finally:
        ending.set()
        await _end([stopping])
        outcomes = await asyncio.gather(*tasks, return_exceptions=True)
    for fault in outcomes:
        if isinstance(fault, Exception):
            raise fault


async def _end(tasks: Sequence[asyncio.Task[Any]]) -> None:
    """Break tasks off, and see them end."""
    for task in tasks:
        task.cancel()
    await asyncio.gather(*tasks, return_exceptions=True)
