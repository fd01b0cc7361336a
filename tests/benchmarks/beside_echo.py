"""`rackside run` beside a bare echo bot on the same library: how long a reply takes, and what it holds in memory while idle."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from bot.household import opened
from bot.roster_file import load_roster
from bot.settings import Settings
from fixtures.demo import roster_path
from storage import households
from tests.benchmarks.measure import Measure
from tests.benchmarks.serving import bot, megabytes, rackside
from tests.telegram.bot_api import BotApi, Person, process

SAID = (
    "fed Marigolds 3 crickets",
    "when did Flint last eat",
    "misted slate box lightly",
    "how many in rushes",
    "Sedges refused a roach",
)
ECHO = ("tests.benchmarks.echo_bot",)
PAUSE = 1.2
"""Seconds between two messages of one person: the service takes about one a second in a chat."""


@dataclass(frozen=True, slots=True)
class Seen:
    """Of one bot: median seconds from a message to its reply, and megabytes held before anything was said."""

    reply: float
    idle: float


def measure(*, small: bool) -> list[Measure]:
    """The reply and the idle memory, each as a multiple of the echo bot's. The two are asked one after the other."""
    rounds = 1 if small else 6
    with TemporaryDirectory() as folder, process(Path(folder)) as api:
        ann = api.user("Ann")
        echo = watched(api, Path(folder), ECHO, ann, rounds)
        furnish(Path(folder) / "data", ann)
        ours = watched(api, Path(folder), rackside(Path(folder) / "data"), ann, rounds)
    replies = f"{ours.reply * 1000:.0f} ms against {echo.reply * 1000:.0f} ms, medians of {rounds * len(SAID)} messages"
    memory = f"{ours.idle:.0f} MB against {echo.idle:.0f} MB"
    return [
        Measure("reply against an echo bot", ours.reply / echo.reply, 0, at_least=False, unit="times", detail=replies),
        Measure(
            "idle memory against an echo bot", ours.idle / echo.idle, 3, at_least=False, unit="times", detail=memory
        ),
    ]


def furnish(folder: Path, person: Person) -> None:
    """A household with the demo roster, to which the person belongs."""
    roster = load_roster(roster_path())
    with opened(folder, Settings(zone=roster.zone)) as household:
        household.bring_in(roster)
        with household.app.store.write() as session:
            of, now = household.collection.id, datetime.now(UTC)
            households.add_member(session, of, "telegram", str(person.id), person.name, "owner", now)


def watched(api: BotApi, folder: Path, module: Sequence[str], person: Person, rounds: int) -> Seen:
    """Start a bot, look at its memory, and talk to it."""
    with bot(api, folder, module) as running:
        time.sleep(3)
        idle = megabytes(running)
        took = [answered(api, person, words) for _ in range(rounds) for words in SAID]
    return Seen(median(took), idle)


def answered(api: BotApi, person: Person, words: str) -> float:
    """Say something; seconds until the service was asked to send the reply."""
    seen, said = api.counts["requests"], time.time()
    person.say(words)
    until = said + 30
    while time.time() < until:
        sends = [one for one in api.call("requests", since=seen) if one["method"] == "sendMessage"]
        if sends:
            time.sleep(PAUSE)
            return float(sends[0]["moment"]) - said
        time.sleep(0.02)
    raise AssertionError(f"no reply to {words!r}")
