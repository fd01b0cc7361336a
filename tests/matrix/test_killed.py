"""Killed at any moment, the bot loses nothing and does nothing twice: the command itself, as a keeper runs it."""

from __future__ import annotations

import asyncio
import os
import random
import signal
import sys
from collections import Counter
from contextlib import AsyncExitStack
from pathlib import Path
from typing import Self

import pytest
from sqlalchemy import text

from tests.matrix.at_work import Bot, let_in
from tests.matrix.homeserver import Cast, Homeserver, Person
from tests.matrix.homeserver.heard import Heard
from tests.patience import PATIENCE

KILLS, IN_A_LIFE = 30, 10
MESSAGES = KILLS * IN_A_LIFE
SEED = 20260303

WITHIN = 900.0
"""Seconds for the whole of it: many times what it takes."""


class Process:
    """The bot as a process of its own: `rackside run`."""

    def __init__(self, data: Path, compiled: Path) -> None:
        self._data = data
        self._environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"} | {
            "PYTHONPYCACHEPREFIX": str(compiled)
        }
        self._running: asyncio.subprocess.Process | None = None

    async def start(self) -> None:
        """Start it."""
        with (self._data / "output.log").open("ab") as output:
            self._running = await asyncio.create_subprocess_exec(
                sys.executable,
                "-m",
                "bot.cli",
                "run",
                "--data",
                str(self._data),
                env=self._environment,
                stdout=output,
                stderr=output,
            )

    async def __aenter__(self) -> Self:
        return self

    async def __aexit__(self, *_error: object) -> None:
        if self._running is not None and self._running.returncode is None:
            self._running.kill()
            await self._running.wait()

    async def end(self, how: signal.Signals) -> int:
        """Send it a signal, and wait until it is gone; its exit code."""
        assert self._running is not None
        assert self._running.returncode is None, (self._data / "output.log").read_text(encoding="utf-8")[-2000:]
        self._running.send_signal(how)
        return await self._running.wait()


async def lives(process: Process, bot: Bot, ana: Person, rooms: tuple[str, str]) -> tuple[list[str], int]:
    """Start the bot and kill it again and again, while messages are said; their ids, and in how many lives it took some in.

    Each life has messages of its own, so that there is something to be taken in however slowly a process starts.
    """
    moments = random.Random(SEED)  # noqa: S311 - moments, not secrets
    said, busy = list[str](), 0
    for life in range(KILLS):
        before = taken_in(bot)
        await process.start()
        async with asyncio.TaskGroup() as both:
            saying = both.create_task(told(ana, rooms, life * IN_A_LIFE))
            both.create_task(killed(process, bot, moments, before if life % 2 == 0 else None))
        said += saying.result()
        busy += taken_in(bot) > before
    return said, busy


async def killed(process: Process, bot: Bot, moments: random.Random, before: int | None) -> None:
    """Kill the bot at any moment from its start, or else from when it has more messages than it had before."""
    if before is None:
        await asyncio.sleep(moments.uniform(0.2, 2.5))
    else:
        await until_taken(bot, before)
        await asyncio.sleep(moments.uniform(0, 1))
    await process.end(signal.SIGKILL)


async def until_taken(bot: Bot, before: int) -> None:
    """Wait until the bot has taken in more messages than before."""
    async with asyncio.timeout(PATIENCE):
        while taken_in(bot) == before:  # noqa: ASYNC110 - what is waited for happens in another process
            await asyncio.sleep(0.05)


def taken_in(bot: Bot) -> int:
    """How many messages are in the inbox."""
    with bot.household.app.store.read() as session:
        return int(session.execute(text("SELECT count(*) FROM inbox")).scalar_one())


async def told(person: Person, rooms: tuple[str, str], first: int) -> list[str]:
    """Say the messages of one life, from this number on, in the rooms by turns; their ids."""
    said = []
    for number in range(first, first + IN_A_LIFE):
        said += [await person.say(rooms[number % 2], f"fed Larches {number % 40 + 1} crickets")]
        await asyncio.sleep(0.15)
    return said


def answers(person: Person, room: str, bot: Bot) -> list[Heard]:
    """What the bot said in a room, as far as it could be read there."""
    return [one for one in person.all_in(room) if one.sender == bot.user_id and one.kind == "m.room.message"]


def written(bot: Bot) -> Counter[str]:
    """How many entries each message made, by its event's id."""
    wanted = text(
        "SELECT inbox.key FROM entries JOIN inbox ON inbox.id = entries.message_id WHERE entries.mood = 'log'"
    )
    with bot.household.app.store.read() as session:
        return Counter(session.execute(wanted).scalars())


@pytest.mark.slow
def test_thirty_kills_over_three_hundred_messages_lose_and_double_nothing(
    homeserver: Homeserver, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Every message, half of them encrypted, makes one entry and gets one answer, which the keeper can read."""
    compiled = tmp_path_factory.mktemp("compiled")

    async def tale(cast: Cast) -> None:
        ana = await cast.person("ana")
        async with Bot(tmp_path / "data", cast.account("bot"), homeserver.url) as bot, AsyncExitStack() as leaving:
            plain = await let_in(bot, ana)
            secret = await ana.room_with(bot.user_id, encrypted=True)
            welcome = {room: len(answers(ana, room, bot)) for room in (plain, secret)}
            await bot.stop()
            process = await leaving.enter_async_context(Process(bot.data, compiled))
            said, busy = await lives(process, bot, ana, (plain, secret))
            assert busy >= KILLS // 2
            await process.start()
            await ana.until(
                lambda: all(len(answers(ana, room, bot)) >= welcome[room] + MESSAGES // 2 for room in welcome),
                120,
                lambda: f"all answers; there are {[len(answers(ana, room, bot)) for room in welcome]}",
            )
            await asyncio.sleep(2)
            assert await process.end(signal.SIGTERM) == 0
            assert written(bot) == Counter(said)
            for room in welcome:
                heard = answers(ana, room, bot)[welcome[room] :]
                assert len(heard) == len({one.event_id for one in heard}) == MESSAGES // 2
                assert all("Larches: fed" in one.body for one in heard)
            assert bot.waiting() == 0

    async def played() -> None:
        async with asyncio.timeout(WITHIN), Cast(homeserver, tmp_path / "people") as cast:
            await tale(cast)

    asyncio.run(played())
