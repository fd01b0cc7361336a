"""A chat with the bot as a message service brings it: a real database, the demo's roster, the house's own reader."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from bot.app import App, SetClock, build
from bot.channels.port import Carried, Press, Taken
from bot.conversation.names import Names
from bot.conversation.posting import CHOSEN
from bot.conversation.scene import load_names
from bot.desk import Desk
from bot.roster_file import load_roster
from bot.roster_import import add_roster
from fixtures.demo import roster_path
from storage import households, journal, outbox, photos
from storage.households import MemberRow
from storage.outbox import OutboxRow
from storage.photos import PhotoRow
from storage.store import Store
from tests import databases

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

NOW = datetime(2026, 3, 3, 19, 5, tzinfo=UTC)
TELEGRAM = "telegram"
KEPT = "ab" * 32


@dataclass
class Chat:
    """Ana the owner, Ben the keeper and Vic the viewer, each in a chat of their own, which bears their address."""

    app: App
    clock: SetClock
    desk: Desk
    keys: Iterator[int] = field(default_factory=lambda: count(1))

    @contextmanager
    def session(self) -> Iterator[Session]:
        with self.app.store.write() as session:
            yield session

    def take(self, text: str = "", *, by: str = "ana", **details: object) -> int:
        """Have a message come in and wait; its inbox id."""
        self.clock.pass_time(timedelta(seconds=10))
        known = {"address": by, "name": by, "chat": by, "key": str(next(self.keys)), "sent_at": self.clock.now()}
        [taken] = self.desk.take(TELEGRAM, [Carried(**{**known, "text": text, **details})])  # type: ignore[arg-type]
        assert taken.inbox_id is not None, taken
        return taken.inbox_id

    def say(self, text: str = "", *, by: str = "ana", **details: object) -> list[OutboxRow]:
        """One message, dealt with; what is said to it."""
        message_id = self.take(text, by=by, **details)
        return self.answers(message_id)

    def hear(self, text: str = "", *, by: str = "ana", **details: object) -> str:
        """The same, as the text that is said; "" for silence."""
        return "\n".join(row.body["text"] for row in self.say(text, by=by, **details))

    def photo(self, text: str = "", *, by: str = "ana", **details: object) -> str:
        """The same for a message with a photo."""
        return self.hear(text, by=by, carries="photo", photo={"file": "1"}, **details)

    def shown(self, text: str) -> tuple[str, list[str]]:
        """What is said to a request, and the files that go with it."""
        [row] = self.say(text)
        return row.body["text"], [kept["path"] for kept in row.body["files"]]

    def tap(self, row: OutboxRow, label: str, *, by: str = "ana") -> Taken:
        """Have a tap on a choice of a message come in."""
        self.clock.pass_time(timedelta(seconds=10))
        data = f"{row.token}:{row.body['choices'].index(label)}"
        tap = Press(address=by, name=by, chat=row.chat, key=str(next(self.keys)), sent_at=self.clock.now(), data=data)
        [taken] = self.desk.take(TELEGRAM, [tap])
        return taken

    def press(self, row: OutboxRow, label: str, *, by: str = "ana") -> str:
        """The same, dealt with: what is said to it, at once or in an answer, without the message that it takes the place of."""
        taken = self.tap(row, label, by=by)
        if taken.inbox_id is None:
            return taken.line or ""
        [answer] = self.answers(taken.inbox_id)
        text: str = answer.body["text"]
        return text.partition(f"{CHOSEN}{label}\n")[2] or text

    def answers(self, message_id: int) -> list[OutboxRow]:
        """What is said to a message, sent under ids of the service."""
        self.app.work()
        with self.session() as session:
            found = outbox.answers_to(session, message_id)
            for row in found:
                outbox.mark_sent(session, row.id, f"out {row.id}")
            return outbox.answers_to(session, message_id)

    def member(self, name: str) -> MemberRow:
        """A present or former member, by the name."""
        with self.session() as session:
            return next(row for row in households.everyone(session, 1) if row.name == name)

    def names(self) -> Names:
        with self.session() as session:
            return load_names(session, 1)

    def lines(self) -> list[tuple[str, tuple[str, ...], str]]:
        """The current entries: kind, names and words, in the order told."""
        with self.session() as session:
            names = load_names(session, 1)
            found = journal.between(session, 1, NOW.date(), None)
        return [
            (row.kind, tuple(map(names.name, row.subjects)), row.words) for row in sorted(found, key=lambda row: row.id)
        ]

    def photos(self) -> list[PhotoRow]:
        """Every photo, oldest first."""
        with self.session() as session:
            last = next(self.keys) + 1000
            return [photo for message in range(1, last) for photo in photos.of_message(session, message)]

    def keep_photos(self) -> None:
        """Have the file of every photo that is wanted fetched."""
        with self.session() as session:
            for row in photos.wanted(session, TELEGRAM, self.clock.now()):
                photos.keep(session, row.id, KEPT, "image/jpeg", 10)


def open_chat(folder: Path) -> Chat:
    """A chat on a fresh data folder, on Tue 3 Mar 2026, 19:05."""
    clock = SetClock(NOW)
    app = build(Store.open(databases.of(folder)), clock, folder=folder)
    app.prepare("Europe/Lisbon")
    with app.store.write() as session:
        add_roster(session, households.members(session, 1)[0], load_roster(roster_path()), NOW)
        for name, role in (("Ana", "owner"), ("Ben", "keeper"), ("Vic", "viewer")):
            households.add_member(session, 1, TELEGRAM, name.lower(), name, role, NOW)
    return Chat(app, clock, Desk(app, folder))
