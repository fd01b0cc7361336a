"""Posts updates to the bot's webhook: one at a time, in order, each again until it is taken."""

from __future__ import annotations

import asyncio
import contextlib

from aiohttp import ClientError, ClientSession, ClientTimeout

from tests.telegram.bot_api.world import World

FIRST_PAUSE = 0.05
LONGEST_PAUSE = 1.0
"""Seconds before an update is posted again; the pause doubles. The service is slower, tests need not be."""


async def deliver(world: World) -> None:
    """Post what is pending for as long as the server runs."""
    pause = FIRST_PAUSE
    async with ClientSession(timeout=ClientTimeout(total=60)) as session:
        while True:
            news = world.updates.news
            if not (world.webhook.url and world.updates.pending):
                await news.wait()
            elif await posted(world, session):
                pause = FIRST_PAUSE
            else:
                with contextlib.suppress(TimeoutError):
                    await asyncio.wait_for(asyncio.Event().wait(), pause)
                pause = min(LONGEST_PAUSE, pause * 2)


async def posted(world: World, session: ClientSession) -> bool:
    """Post the oldest update; whether the bot took it."""
    update = world.updates.pending[0]
    hook = world.webhook
    headers = {"X-Telegram-Bot-Api-Secret-Token": hook.secret} if hook.secret else {}
    try:
        async with session.post(hook.url, json=update, headers=headers) as answer:
            wrong = (
                ""
                if 200 <= answer.status < 300
                else f"Wrong response from the webhook: {answer.status} {answer.reason}"
            )
    except (ClientError, TimeoutError, OSError) as error:
        wrong = f"Connection failed: {type(error).__name__}"
    if wrong:
        hook.error, hook.error_date = wrong, world.now()
        return False
    if world.updates.pending and world.updates.pending[0] is update:
        world.updates.pending.pop(0)
    return True
