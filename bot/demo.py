"""The demo: its collection, with its season played so that the last day was yesterday."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from zoneinfo import ZoneInfo

from bot.app import CONSOLE, OWNER, Clock, SetClock
from bot.household import Household, opened
from bot.replay import hand_in, read_script, shifted, utc
from bot.roster_file import load_roster
from bot.settings import Settings
from fixtures.demo import roster_path, season_path

GREETING = """\
This is the demo: an invented collection, thrown away when you leave.
Its keeper's messages of ten weeks are in it, up to yesterday. Try:
  when did Flint last eat
  fed Marigolds 8 crickets last night, 2 left over
  show me slate box
Ctrl-D leaves."""


@contextmanager
def demo(folder: Path, clock: Clock) -> Iterator[Household]:
    """The demo collection, made in an empty folder, with `clock` to go on by."""
    load(folder, clock)
    with opened(folder, Settings(), clock, lasting=False) as household:
        yield household


@contextmanager
def thrown_away(clock: Clock) -> Iterator[Household]:
    """The demo collection in a folder of its own, gone when the talk is over."""
    with TemporaryDirectory(prefix="rackside-demo-") as folder, demo(Path(folder), clock) as household:
        yield household


def load(folder: Path, clock: Clock) -> None:
    """Bring the demo's roster in and play its season, ending on the day before the clock's today."""
    roster = load_roster(roster_path())
    today = clock.now().astimezone(ZoneInfo(roster.zone)).date()
    script, _ = read_script(season_path().read_text(encoding="utf-8").splitlines(), roster.zone)
    messages = shifted(script, today - timedelta(days=1))
    played = SetClock(utc(messages[0].at, roster.zone))
    with opened(folder, Settings(zone=roster.zone), played, lasting=False) as household:
        household.bring_in(roster)
        # As the owner at the terminal, so that whoever tries the demo may amend what was said last.
        for message in messages:
            played.moment = utc(message.at, roster.zone)
            hand_in(message, household, CONSOLE)
            household.app.work()
        household.app.collect(CONSOLE, OWNER)
