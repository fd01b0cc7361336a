"""`rackside chat` and `rackside say`."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from threading import Lock
from zoneinfo import ZoneInfo

from bot.app import SystemClock
from bot.channels.console import Talk, plain_text, print_line, talk
from bot.cli_folder import meant
from bot.conversation.reply import Reply
from bot.household import Household
from bot.roster_file import load_roster
from bot.settings import data_folder, load_settings

ASKS_BACK = 1
GREETING = "Hello. Say what you did, or ask. “what can you do” shows how; Ctrl-D leaves."
EMPTY = """
Nothing is on the roster yet. Begin with one like
  add group B, 42 Neoholothele incei, in tub 4 on shelf 2"""
HISTORY = "typed-lines"
VERBS = (
    "fed", "misted", "watered", "cleaned", "moved", "moulted", "counted", "found dead", "undo", "never mind",
    "when did", "who hasn't eaten", "history of", "how many in", "what did I do yesterday", "what can you do",
)  # fmt: skip


def chat(options: Namespace) -> int:
    """Talk in the terminal until the keeper leaves."""
    if options.demo:
        return _chat_with_demo()
    folder = data_folder(options.data, os.environ)
    with _opened(options) as household:
        greeting = GREETING if household.words() else GREETING + EMPTY
        with _copying(household, folder):
            talk(_talk(household, greeting, folder / HISTORY))
    return 0


def _chat_with_demo() -> int:
    from bot import demo  # noqa: PLC0415 - only the demo pays for what replays its season

    with demo.thrown_away(SystemClock()) as household:
        talk(_talk(household, demo.GREETING, None))
    return 0


def say(options: Namespace) -> int:
    """Say one message; 0 when it was understood, 1 when the bot asks back."""
    with meant(options) as household:
        for reply in household.say(options.text):
            print_line(plain_text(reply, household.file), sys.stdout)
        return ASKS_BACK if household.asks_back else 0


@contextmanager
def _opened(options: Namespace) -> Iterator[Household]:
    """The collection, with what the roster file adds to it where one is named."""
    roster = None if options.roster is None else load_roster(options.roster)
    with meant(options, zone=None if roster is None else roster.zone) as household:
        if roster is not None:
            household.bring_in(roster)
        yield household


def _talk(household: Household, greeting: str, history: Path | None) -> Talk:
    turns = Lock()  # a tick comes in a thread of its own, and what answers a message is to be shown as the answer

    def say(text: str) -> list[Reply]:
        with turns:
            return household.say(text)

    def pushes() -> list[Reply]:
        with turns:
            return household.pushes()

    return Talk(
        say=say,
        words=lambda: [*household.words(), *VERBS],
        greeting=greeting,
        history=history,
        pushes=pushes,
        file=household.file,
        ticking=_ticking,
    )


def _ticking(act: Callable[[], None]) -> AbstractContextManager[None]:
    from bot.reminders.ticker import ticking  # noqa: PLC0415 - only a talk at a prompt pays for the scheduler

    return ticking(act)


def _copying(household: Household, folder: Path) -> AbstractContextManager[None]:
    from bot.backup.daily import copying, folder_of  # noqa: PLC0415 - only a talk at a prompt pays for it
    from bot.backup.place import Place  # noqa: PLC0415

    settings = load_settings(folder, os.environ)
    zone = ZoneInfo(household.collection.zone)
    return copying(Place.of(folder, settings), folder_of(folder, settings.copies), zone, household.app.clock)
