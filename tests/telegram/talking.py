"""How tests of the fake Bot API talk to it: through python-telegram-bot, and with bare requests that no library would make."""

from __future__ import annotations

import asyncio
import http.client
import io
import json
from collections.abc import Awaitable, Callable
from typing import Any
from urllib.parse import urlencode

from PIL import Image
from telegram import Bot

from tests.telegram.bot_api import BotApi

FORM = {"Content-Type": "application/x-www-form-urlencoded"}


def talk(api: BotApi, words: Callable[[Bot], Awaitable[Any]], token: str | None = None) -> Any:  # noqa: ANN401 - any result
    """Let a real `telegram.Bot` talk to the fake; gives what `words` gives."""

    async def talking() -> Any:  # noqa: ANN401 - any result
        # Entering the bot asks getMe first, as every bot does at its start.
        async with Bot(token or api.token, base_url=api.base_url, base_file_url=api.base_file_url) as bot:
            return await words(bot)

    return asyncio.run(talking())


def ask(api: BotApi, method: str, token: str | None = None, **fields: object) -> dict[str, Any]:
    """The answer to a bare request, its parameters as form fields."""
    line = http.client.HTTPConnection("127.0.0.1", api.port, timeout=30)
    try:
        line.request("POST", f"/bot{token or api.token}/{method}", urlencode(fields), FORM)
        answer = line.getresponse()
        body = dict(json.loads(answer.read()))
    finally:
        line.close()
    assert body["ok"] == (answer.status == 200)
    assert body["ok"] or body["error_code"] == answer.status
    return body


def picture(width: int = 640, height: int = 480) -> bytes:
    """A photo as JPEG."""
    out = io.BytesIO()
    Image.new("RGB", (width, height), (90, 60, 30)).save(out, "JPEG")
    return out.getvalue()
