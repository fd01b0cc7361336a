"""A homeserver that does not answer is not asked more than it can bear."""

from __future__ import annotations

import asyncio
from itertools import pairwise
from pathlib import Path

import pytest

from bot.channels.matrix import channel
from bot.channels.matrix.channel import Patience
from bot.channels.matrix.login import login
from bot.conversation.posting import bare
from bot.conversation.reply import Reply
from bot.desk import Desk
from bot.household import Household
from bot.secret import Secret
from storage import outbox
from tests.matrix.at_work import now_at
from tests.matrix.homeserver import Homeserver

HOUR = 3600.0

BROKEN = b"HTTP/1.1 502 Bad Gateway\r\nContent-Type: text/html\r\nContent-Length: 4\r\nConnection: close\r\n\r\noops"


class Deaf:
    """A server in the place of a homeserver that has gone: it answers nothing of use, and notes when it was asked.

    Its clock is moved by the rests that the bot takes between failures, which cost no time here.
    """

    def __init__(self, answer: bytes, stop: asyncio.Event) -> None:
        self.asked: list[float] = []
        self._answer = answer
        self._now = 0.0
        self._stop = stop

    async def rest(self, seconds: float) -> None:
        """Let so much time pass, until an hour has."""
        self._now += seconds
        if self._now >= HOUR:
            self._stop.set()
            await asyncio.sleep(60)
        await asyncio.sleep(0)

    async def answer(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """Read one request, and answer it or not."""
        await reader.readuntil(b"\r\n\r\n")
        self.asked.append(self._now)
        writer.write(self._answer)
        await writer.drain()
        writer.close()


@pytest.mark.parametrize("answer", [b"", BROKEN], ids=["hangs up", "answers 502"])
def test_a_dead_homeserver_is_asked_at_most_once_in_five_seconds_after_the_first_minute(
    homeserver: Homeserver, household: Household, tmp_path: Path, answer: bytes
) -> None:
    """Over an hour, with a message waiting to be sent; it is asked at least once a minute too, so that it is found again."""
    account = homeserver.user(f"deaf-{len(answer)}")

    async def measured() -> list[float]:
        stop = asyncio.Event()
        deaf = Deaf(answer, stop)
        async with await asyncio.start_server(deaf.answer, "127.0.0.1", 0) as listening:
            now_at(tmp_path, f"http://127.0.0.1:{listening.sockets[0].getsockname()[1]}")
            await channel.serve(
                Desk(household.app, tmp_path),
                tmp_path,
                stop,
                lambda: None,
                asyncio.Event(),
                patience=Patience(rest=deaf.rest),
            )
        return deaf.asked

    asyncio.run(login(tmp_path, homeserver.url, account.user_id, Secret(account.password)))
    with household.app.store.write() as session:
        outbox.put(session, household.collection.id, "matrix", "!room:example.org", None, bare(Reply("Flint is due")))
    asked = asyncio.run(measured())
    gaps = [later - earlier for earlier, later in pairwise(asked) if earlier >= 60]
    assert len(asked) >= 60
    assert min(gaps) >= 5
    assert max(gaps) <= 60
