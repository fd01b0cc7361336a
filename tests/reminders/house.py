"""A household whose clock is set by hand, with the bot's own reader: what is said to it, and what it says unasked."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from bot.app import CONSOLE, OWNER, App, SetClock, build
from bot.conversation.reply import Reply
from storage import households, journal
from storage.journal import EntryRow
from storage.pushes import PushRow, of_member
from storage.store import Store
from tests import databases

ZONE = ZoneInfo("Europe/Lisbon")
START = datetime(2026, 3, 2, 9, 0)  # noqa: DTZ001 - the keeper's clock, a Monday


class House:
    """Group B (42 heads) in tub 4, group D in tub 5, nothing told of them yet."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.clock = SetClock(START.replace(tzinfo=ZONE).astimezone(UTC))
        self.app = self._open()
        with self.app.store.read() as session:
            known = bool(households.collections(session))
        if not known:
            self._begin()

    def _begin(self) -> None:
        self.app.prepare("Europe/Lisbon")
        self.say("add group B, 42 Neoholothele incei, in tub 4")
        self.say("add group D, 20 Neoholothele incei, in tub 5")
        self.app.sweep()

    def _open(self) -> App:
        return build(Store.open(databases.of(self.folder)), self.clock)

    def restart(self) -> None:
        """End the process and begin another on the same database."""
        self.app.store.close()
        self.app = self._open()

    def say(self, text: str, address: str = OWNER, reply_to: str | None = None) -> Reply:
        """One message, a second after the last."""
        self.clock.pass_time(timedelta(seconds=1))
        (reply,) = self.app.say(address, text, reply_to=reply_to)
        return reply

    def wait(self, until: str, address: str = OWNER) -> list[tuple[str, Reply]]:
        """Let time pass up to a local moment ("03-05 08:00"), sweeping whenever something may be said; what was said, and when."""
        heard: list[tuple[str, Reply]] = []
        end = at(until)
        while (moment := self.app.next_push(end)) is not None:
            self.clock.moment = moment
            heard += [(self.shown(), reply) for reply in self.sweep(address)]
        self.clock.moment = end
        return heard

    def sleep(self, until: str) -> list[Reply]:
        """Let time pass without a bot, and start it again: what it says then."""
        self.clock.moment = at(until)
        self.restart()
        return self.sweep()

    def sweep(self, address: str = OWNER) -> list[Reply]:
        self.app.sweep()
        return self.app.collect(CONSOLE, address)

    def shown(self) -> str:
        return self.clock.moment.astimezone(ZONE).strftime("%m-%d %H:%M")

    def entries(self) -> list[EntryRow]:
        """What is told and holds, oldest first, without the set-up."""
        with self.app.store.read() as session:
            found = journal.between(session, 1, None, None)
        return [row for row in found if row.kind != "placed"]

    def told(self) -> list[tuple[str, str]]:
        return [(row.kind, row.words) for row in self.entries()]

    def pushes(self, member_id: int = 1) -> list[PushRow]:
        with self.app.store.read() as session:
            return of_member(session, member_id)

    def join(self, name: str, role: str = "keeper") -> int:
        """One more member, at a terminal of their own."""
        with self.app.store.write() as session:
            joined = households.add_member(session, 1, CONSOLE, name, name, role, self.clock.now())
        self.app.sweep()
        return joined


def at(shown: str) -> datetime:
    """A local moment of 2026 in UTC."""
    return datetime.strptime(f"2026-{shown}", "%Y-%m-%d %H:%M").replace(tzinfo=ZONE).astimezone(UTC)
