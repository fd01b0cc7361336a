"""One cell of the table of who may: a person of a role does one thing in a chat, and what came of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count
from typing import Any

from bot.admission import GOOD_FOR, make_code
from bot.conversation.labels import HERE
from storage import households, inbox, invites, labels, photos
from storage.tables import Base
from tests.telegram.bot_api import BotApi, Chat, Group, Person, Press, Said, Shown
from tests.telegram.served import Home

KEEPS = {
    "journal": ("entries", "entry_subjects", "retractions", "stays", "lineage", "origins"),
    "roster": ("collections", "enclosures", "occupants", "aliases", "tags", "roster_changes", "vocabulary", "labels"),
    "members": ("members", "invites"),
    "own": ("preferences", "focuses", "questions"),
    "photos": ("photos",),
    "mail": ("inbox", "outbox", "accounts", "chats", "pushes", "sweeps"),
    "door": ("turned_away",),
}
"""The tables of the database, by what they keep."""

RENEWED = ("leases",)
"""Those that change with time alone, whoever writes."""

ROLES = ("owner", "keeper", "viewer")
REMOVED, STRANGER, SHARING = "removed member", "stranger", "stranger in a shared group"
OUTSIDE = (REMOVED, STRANGER, SHARING)
MARK = "qxzjv"
"""Stands in all that people outside write, so that it can be looked for."""

Rows = dict[str, list[tuple[object, ...]]]


@dataclass
class Stage:
    """The service, the household with its bot, and Ola, who owns it."""

    api: BotApi
    home: Home
    ola: Person
    plates: Iterator[int] = field(default_factory=lambda: count(40))

    def settle(self) -> None:
        """Wait until all that was said is taken in, dealt with and answered."""
        self.api.wait(self._is_quiet, 60)

    def _is_quiet(self) -> bool:
        if self.api.counts["pending"]:
            return False
        app = self.home.household.app
        with app.store.read() as session:
            busy = inbox.next_waiting(session) or photos.wanted(session, "telegram", app.clock.now())
        return not busy and not self.home.waiting()

    def rows(self) -> Rows:
        """Every row of every table."""
        with self.home.household.app.store.read() as session:
            line = session.connection()
            return {
                table: [tuple(row) for row in line.exec_driver_sql(f"SELECT * FROM {table}")]  # noqa: S608 - our own tables
                for table in Base.metadata.tables
            }

    def change(self, person: Person, role: str) -> None:
        """Give a member a role, or take every role."""
        app = self.home.household.app
        with app.store.write() as session:
            member = households.member_by_address(session, "telegram", str(person.id))
            assert member is not None
            if role in ROLES:
                households.set_role(session, member.id, role)
            else:
                households.leave(session, member.id, app.clock.now())

    def code(self, state: str) -> str:
        """A viewer's code that is fresh, used or expired."""
        app, of = self.home.household.app, self.home.household.collection.id
        made_at = app.clock.now() - (2 * GOOD_FOR if state == "expired" else 0 * GOOD_FOR)
        with app.store.write() as session:
            code, _ = make_code(session, of, "viewer", made_at)
            found = invites.by_code(session, code)
            assert found is not None
            if state == "used":
                invites.use(session, found.id, households.members(session, of)[0].id)
        return code

    def label(self) -> str:
        """What the label of a place sends when it is scanned."""
        of = self.home.household.collection.id
        place = next(row for row in self.home.household.roster.enclosures if row.name == "low box")
        with self.home.household.app.store.write() as session:
            number = (
                session.connection().exec_driver_sql("SELECT id FROM enclosures WHERE name = ?", (place.name,)).scalar()
            )
            return HERE + labels.label_of(session, of, int(number or 0), lambda: "lowboxcode")


@dataclass
class Cell:
    """Somebody of a role at one thing, in private or in a group that Ola is in.

    `group` is None in private; `kept` holds what the preparation left for the act.
    """

    stage: Stage
    role: str
    person: Person
    group: Group | None = None
    topic: int | None = None
    kept: dict[str, Any] = field(default_factory=dict)

    @property
    def place(self) -> Chat:
        """The chat in which it happens."""
        return self.group or self.person.chat

    @property
    def is_outside(self) -> bool:
        """Whether the person is no member."""
        return self.role in OUTSIDE

    def say(self, text: str, *, reply_to: Said | Shown | None = None, aside: bool = False) -> Said:
        """Say something to the bot, in a group by its name, unless it is said `aside`."""
        if self.group is not None and text.startswith("/"):
            word, _, rest = text.partition(" ")
            text = f"{word}@{self.stage.api.username} {rest}".strip()
        elif self.group is not None and not aside:
            text = f"@{self.stage.api.username} {text}"
        return self.person.say(self.marked(text), self.place, reply_to=reply_to, topic=self.topic)

    def marked(self, text: str) -> str:
        """A text as this person writes it: of people outside, with the mark."""
        return f"{text} {MARK}" if self.is_outside else text

    def asked(self, text: str, by: Person | None = None) -> Shown:
        """Have something said, by this person or another one, and give the bot's answer."""
        if by is None:
            self.say(text)
        else:
            by.say(f"@{self.stage.api.username} {text}" if self.group else text, self.group, topic=self.topic)
        self.stage.settle()
        place = self.place if by is None or self.group else by.chat
        return place.from_bot[-1]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a cell: what the bot said, in the chat or over a press, and the sorts of tables that changed."""

    said: tuple[str, ...]
    changed: frozenset[str]


def sorts_changed(before: Rows, after: Rows) -> frozenset[str]:
    """Which sorts of tables differ."""
    return frozenset(sort for sort, tables in KEEPS.items() if any(before[name] != after[name] for name in tables))


def heard(cell: Cell, before: tuple[str, ...], done: object) -> tuple[str, ...]:
    """What the bot says in the cell's chat that it did not say `before`, and over the press that was done."""
    pressed = isinstance(done, Press)
    if pressed:
        cell.stage.api.wait(lambda: done.answer is not None)
    alert = done.answer["text"] if pressed and done.answer else ""
    texts = tuple(cell.place.texts)
    new = (
        texts[len(before) :] if texts[: len(before)] == before else tuple(text for text in texts if text not in before)
    )
    return (*new, alert) if alert else new
