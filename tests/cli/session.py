"""The session shown in README.md: what is typed there, said to the demo on a fixed evening, and what the terminal prints.

`python -m tests.cli.session` prints the session as README.md should show it.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from rich.console import Console

from bot.app import SetClock
from bot.channels.prompt import PROMPT, show
from bot.demo import thrown_away
from bot.household import Household

README = Path(__file__).resolve().parent.parent.parent / "README.md"
EVENING = datetime(2026, 4, 13, 18, 5, tzinfo=UTC)
"""The day after the demo season's own last day, so that its dates stand as they were written; 19:05 by its keeper's clock."""


def blocks(markdown: str, language: str | None = None) -> list[list[str]]:
    """The lines of each fenced block of a page, of one language or of any."""
    found: list[list[str]] = []
    inside: list[str] | None = None
    for line in markdown.splitlines():
        fence = line.strip()
        if fence.startswith("```"):
            if inside is None:
                inside = []
                if language is None or fence == f"```{language}":
                    found.append(inside)
            else:
                inside = None
        elif inside is not None:
            inside.append(line)
    return found


def typed(block: list[str]) -> list[str]:
    """The messages typed in a session."""
    return [line.removeprefix(PROMPT) for line in block if line.startswith(PROMPT)]


@contextmanager
def talking() -> Iterator[tuple[Household, SetClock]]:
    """The demo on the fixed evening."""
    clock = SetClock(EVENING)
    with thrown_away(clock) as household:
        yield household, clock


def played(messages: list[str]) -> list[str]:
    """The lines of the terminal, 80 columns wide, when these messages are typed a minute apart."""
    screen = Console(file=io.StringIO(), width=80)
    lines: list[str] = []
    with talking() as (household, clock):
        for message in messages:
            screen.file = io.StringIO()
            for reply in household.say(message):
                show(reply, screen)
            lines += [f"{PROMPT}{message}", *screen.file.getvalue().splitlines()]
            clock.pass_time(timedelta(minutes=1))
    return [line.rstrip() for line in lines]


if __name__ == "__main__":
    for shown in blocks(README.read_text(encoding="utf-8"), "console"):
        print("\n".join(played(typed(shown))), end="\n\n", file=sys.stdout)  # noqa: T201 - printing is what it is for
