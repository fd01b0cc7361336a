"""A bot that is killed, again and again, while messages come in."""

from __future__ import annotations

import os
import random
import re
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from storage import journal
from tests.patience import PATIENCE, STOP_GRACE
from tests.telegram.bot_api import BotApi, Person
from tests.telegram.served import Home, home

TOP = Path(__file__).resolve().parents[2]
ROUNDS, IN_A_ROUND = 10, 30


@contextmanager
def running(api: BotApi, kept: Home) -> Iterator[subprocess.Popen[bytes]]:
    """`rackside run` as a process of its own, once it asks for messages; killed at the end if it still runs."""
    seen = len(api.requests)

    def polls() -> bool:
        return any(request["method"] == "getUpdates" for request in api.call("requests", since=seen))

    bytecode = {"PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": str(kept.folder.parent / "bytecode")}
    service = {"RACKSIDE_TELEGRAM_TOKEN": api.token, "RACKSIDE_TELEGRAM_API": api.address}
    command = [sys.executable, "-m", "bot.cli", "run", "--data", str(kept.folder)]
    with (kept.folder.parent / "log").open("ab") as log:
        bot = subprocess.Popen(command, cwd=TOP, env={**os.environ, **service, **bytecode}, stdout=log, stderr=log)
    try:
        api.wait(lambda: bot.poll() is not None or polls())
        assert bot.poll() is None, (kept.folder.parent / "log").read_text()[-2000:]
        yield bot
    finally:
        bot.kill()
        bot.wait()


def written(kept: Home) -> Counter[int]:
    """How often each number stands in the journal."""
    with kept.household.app.store.read() as session:
        notes = journal.between(session, kept.household.collection.id, None, None, kinds=["note"])
    return Counter(int(found[1]) for note in notes if (found := re.search(r"mark (\d+)", note.words)))


def say_round(people: list[Person], first: int, bot: subprocess.Popen[bytes], chance: random.Random) -> None:
    """Say the messages of a round, and kill the bot somewhere among them."""
    fatal = chance.randrange(IN_A_ROUND)
    for place in range(IN_A_ROUND):
        people[chance.randrange(len(people))].say(f"note Marigolds: mark {first + place}")
        time.sleep(chance.uniform(0, 0.04))
        if place == fatal:
            bot.kill()


@pytest.mark.slow
def test_killed_at_any_moment_it_loses_and_doubles_nothing(bot_api: BotApi, tmp_path: Path) -> None:
    """Of 300 messages, with ten `kill -9` among them, each is written down exactly once; a stop asked for is heeded at once."""
    chance, total = random.Random(20260303), ROUNDS * IN_A_ROUND  # noqa: S311 - the same moments each time
    people = [bot_api.user(f"P{number}") for number in range(20)]
    with home(tmp_path / "home") as kept:
        kept.admit(*people)
        for number in range(ROUNDS):
            with running(bot_api, kept) as bot:
                say_round(people, number * IN_A_ROUND, bot, chance)
        with running(bot_api, kept) as bot:
            bot_api.wait(lambda: not bot_api.pending)
            until = time.monotonic() + PATIENCE
            while len(written(kept)) < total and time.monotonic() < until:
                time.sleep(0.3)
            bot.send_signal(signal.SIGTERM)
            assert bot.wait(STOP_GRACE) == 0
        assert written(kept) == Counter(range(total))
    assert bot_api.violations == []
