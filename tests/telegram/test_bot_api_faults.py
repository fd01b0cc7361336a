"""Faults on demand: floods, limits, failures, lost answers, malformed updates, webhooks, and a bot that is killed."""

from __future__ import annotations

import asyncio
import subprocess
import sys
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from aiohttp import web
from telegram import Bot
from telegram.error import BadRequest, Conflict, NetworkError, RetryAfter

from tests.telegram.bot_api import BotApi, Serving, process
from tests.telegram.talking import ask, talk


def test_a_flooded_chat_is_refused_and_an_early_send_recorded(bot_api: BotApi) -> None:
    """429 tells the wait for that chat alone; to send before it is over is a violation, after it is none."""
    ann, bo = bot_api.user("Ann"), bot_api.user("Bo")
    ann.chat.flood(0.9)

    async def words(bot: Bot) -> None:
        with pytest.raises(RetryAfter) as told:
            await bot.send_message(ann.id, "one")
        assert told.value.retry_after == timedelta(seconds=1)
        await bot.send_message(bo.id, "one")
        assert bot_api.violations == []
        with pytest.raises(RetryAfter):
            await bot.send_message(ann.id, "one")

    talk(bot_api, words)
    assert [violation["rule"] for violation in bot_api.violations] == ["sent before retry_after"]
    assert ann.chat.texts == []
    assert bo.chat.texts == ["one"]
    time.sleep(1.05)
    assert ask(bot_api, "sendMessage", chat_id=ann.id, text="one")["ok"]
    assert len(bot_api.violations) == 1


def test_a_flood_holds_edits_too(bot_api: BotApi) -> None:
    """An edit in a flooded chat is refused like a message."""
    ann = bot_api.user("Ann")
    sent = ask(bot_api, "sendMessage", chat_id=ann.id, text="fed B?")["result"]["message_id"]
    ann.chat.flood(5)
    answer = ask(bot_api, "editMessageText", chat_id=ann.id, message_id=sent, text="fed B.")
    assert answer["description"] == "Too Many Requests: retry after 5"
    assert ann.chat.texts == ["fed B?"]


def test_limits_of_the_service_can_be_held(bot_api: BotApi) -> None:
    """With limits on, a burst in one chat, the 31st message in a second and the 21st in a group are refused."""
    people = [bot_api.user(f"P{number}") for number in range(16)]
    bot_api.limits()

    def send(chat: int) -> int:
        return int(ask(bot_api, "sendMessage", chat_id=chat, text="x").get("parameters", {}).get("retry_after", 0))

    assert [send(people[0].id) for _ in range(4)] == [0, 0, 0, 3]
    waits = [send(person.id) for person in people[1:] for _ in range(2)]
    assert waits[:27] == [0] * 27
    assert set(waits[27:]) == {1}
    bot_api.limits(on=False)
    group = bot_api.group("Rack", people[0])
    assert [send(group.id) for _ in range(20)] == [0] * 20
    bot_api.limits()
    assert 50 < send(group.id) <= 60


def test_the_next_requests_fail_as_told(bot_api: BotApi) -> None:
    """A failure does nothing and is over after so many requests; a poll fails only when it is named."""
    ann = bot_api.user("Ann")
    bot_api.fail_next(502, times=2)
    bot_api.fail_next(500, method="getUpdates")
    assert ask(bot_api, "getUpdates")["error_code"] == 500
    assert ask(bot_api, "getUpdates")["ok"]
    assert [ask(bot_api, "sendMessage", chat_id=ann.id, text="x").get("error_code") for _ in range(3)] == [
        502,
        502,
        None,
    ]
    assert ann.chat.texts == ["x"]
    assert [request["status"] for request in bot_api.requests] == [500, 200, 502, 502, 200]


def test_a_lost_answer_leaves_the_message_shown(bot_api: BotApi) -> None:
    """A dropped send raises a network error in the bot, yet the person has the message."""
    ann = bot_api.user("Ann")

    async def words(bot: Bot) -> None:
        bot_api.drop_next()
        with pytest.raises(NetworkError):
            await bot.send_message(ann.id, "fed B")
        await bot.send_message(ann.id, "again")

    talk(bot_api, words)
    assert ann.chat.texts == ["fed B", "again"]
    assert [request["status"] for request in bot_api.requests] == [200, "dropped", 200]


def test_a_slow_answer_takes_its_time(bot_api: BotApi) -> None:
    """A request can be made to take long."""
    bot_api.slow_next(0.2)
    began = time.monotonic()
    ask(bot_api, "getMe")
    assert time.monotonic() - began >= 0.2


def test_a_malformed_update_comes_as_it_was_laid_out(bot_api: BotApi) -> None:
    """An update that is not one is delivered among the others, and breaks the library's reading of the batch."""
    ann = bot_api.user("Ann")
    ann.say("before")
    bot_api.inject(message={"message_id": "seven", "chat": "none"})
    ann.say("after")
    raw = ask(bot_api, "getUpdates")["result"]
    assert [update["message"].get("text") for update in raw] == ["before", None, "after"]
    with pytest.raises(KeyError, match="date"):
        talk(bot_api, lambda bot: bot.get_updates())
    assert bot_api.violations == []


def test_setting_a_webhook_ends_the_poll_that_waits(bot_api: BotApi) -> None:
    """A poll that hangs when a webhook is set comes back with a conflict that says so."""

    async def words(bot: Bot) -> None:
        poll = asyncio.create_task(bot.get_updates(timeout=5))
        await bot_api.eventually(lambda: bot_api.requested("getUpdates"))
        await bot.set_webhook("http://127.0.0.1:9/hook")
        with pytest.raises(Conflict, match="terminated by setWebhook request"):
            await poll
        assert bot_api.webhook["url"] == "http://127.0.0.1:9/hook"
        await bot.delete_webhook()

    talk(bot_api, words)


@asynccontextmanager
async def hook(statuses: list[int]) -> AsyncIterator[tuple[str, list[dict[str, Any]]]]:
    """A webhook that answers with these statuses in turn, then 200; gives its address and what came with which secret."""
    came: list[dict[str, Any]] = []

    async def take(request: web.Request) -> web.Response:
        secret = request.headers.get("X-Telegram-Bot-Api-Secret-Token")
        came.append({**await request.json(), "secret": secret})
        return web.Response(status=statuses.pop(0) if statuses else 200)

    app = web.Application()
    app.router.add_post("/hook", take)
    runner = web.AppRunner(app)
    await runner.setup()
    await web.TCPSite(runner, "127.0.0.1", 0).start()
    try:
        yield f"http://127.0.0.1:{runner.addresses[0][1]}/hook", came
    finally:
        await runner.cleanup()


def test_a_webhook_gets_each_update_until_it_takes_it(bot_api: BotApi) -> None:
    """Updates are posted in order with the secret, again after a failure, and polling is refused meanwhile."""
    ann = bot_api.user("Ann")
    first, second = ann.say("one").update, ann.say("two").update

    async def words(bot: Bot) -> None:
        async with hook([500]) as (address, came):
            await bot.set_webhook(address, secret_token="s-1")  # noqa: S106 - made up here
            with pytest.raises(Conflict, match="can't use getUpdates method while webhook is active"):
                await bot.get_updates()
            await bot_api.eventually(lambda: len(came) == 3)
            assert [update["update_id"] for update in came] == [first, first, second]
            assert {update["secret"] for update in came} == {"s-1"}
            info = await bot.get_webhook_info()
            assert "500" in info.last_error_message
            await bot.delete_webhook()
            ann.say("three")
            assert [update.message.text for update in await bot.get_updates()] == ["three"]
            assert len(came) == 3

    talk(bot_api, words)
    assert bot_api.violations == []


BOT = """
import asyncio, sys
from telegram import Bot
async def main(url, token):
    async with Bot(token, base_url=url) as bot:
        while True:
            for update in await bot.get_updates(timeout=20):
                await bot.send_message(update.message.chat.id, update.message.text)
asyncio.run(main(*sys.argv[1:]))
"""


def test_a_killed_bot_leaves_the_server_standing(tmp_path: Path) -> None:
    """The fake in a process of its own serves on when the bot is killed, and keeps what was not confirmed."""
    with process(tmp_path) as api:
        ann = api.user("Ann")
        with subprocess.Popen([sys.executable, "-c", BOT, api.base_url, api.token]) as bot:
            ann.say("fed B")
            api.wait(lambda: ann.chat.texts[:1] == ["fed B"])
            bot.kill()
        assert [update["message"]["text"] for update in api.pending] == ["fed B"]
        assert api.violations == []
        assert (tmp_path / "bot_api.json").exists()


def test_the_fake_may_be_entered_in_an_event_loop() -> None:
    """`async with` gives the same client, and a bot in the same loop is not held up by it."""

    async def words() -> None:
        async with Serving() as api, Bot(api.token, base_url=api.base_url) as bot:
            ann = api.user("Ann")
            await bot.send_message(ann.id, "fed B")
            assert ann.chat.texts == ["fed B"]
            with pytest.raises(BadRequest, match=r"(?i)chat not found"):
                await bot.send_message(1, "x")

    asyncio.run(words())
