"""A room to talk in: a real database, a clock that is set by hand, and a reader that is told what each text means."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

from bot.app import App, SetClock
from bot.conversation.echo import shown
from bot.conversation.names import Names
from bot.conversation.reply import Reply
from bot.conversation.scene import Scene, load_names
from bot.conversation.turn import turn
from bot.language.meaning import Amend, Ask, Choice, Context, Entry, Meaning, Plan, Setup
from bot.language.roster import Roster
from storage import households, inbox, journal
from storage.journal import EntryRow
from storage.store import Store
from tests import databases

TODAY = date(2026, 3, 3)
NOW = datetime(2026, 3, 3, 19, 5, tzinfo=UTC)


@dataclass
class Told:
    """A reader of messages that has been told what each text means; anything else is small talk."""

    meanings: dict[str, Meaning | Callable[[Context], Meaning]] = field(default_factory=dict)
    answers: dict[str, Meaning] = field(default_factory=dict)
    fails: bool = False
    contexts: list[Context] = field(default_factory=list)
    rosters: list[Roster] = field(default_factory=list)

    def read(self, text: str, now: datetime, roster: Roster, context: Context | None = None) -> Meaning:
        del now
        if self.fails:
            raise RuntimeError("the reader fell over")
        self.contexts.append(context or Context())
        self.rosters.append(roster)
        return self.meanings.get(text, Meaning("chat"))  # type: ignore[return-value]

    def complete(self, pending: Meaning, text: str, now: datetime, roster: Roster) -> Meaning | None:
        del pending, now, roster
        return self.answers.get(text)


@dataclass
class Room:
    """One keeper at a terminal, with the roster of the tests: three tubs, group B, group D and Saffron."""

    app: App
    clock: SetClock
    told: Told

    def say(self, text: str, meaning: Meaning | None = None, **details: Any) -> Reply:  # noqa: ANN401 - handed on as it is
        """One message; `meaning` is what its text is to mean from now on. The replies, joined if several."""
        if meaning is not None:
            self.told.meanings[text] = meaning
        address = details.pop("address", "owner")
        self.clock.pass_time(timedelta(seconds=10))
        replies = self.app.say(address, text, **details)
        assert len(replies) == 1, replies
        return replies[0]

    def entries(self) -> list[EntryRow]:
        """The current entries of the journal, those that only go along left out, oldest told first."""
        with self.app.store.read() as session:
            found = [*journal.between(session, 1, None, None, ("log", "plan")), *journal.undated(session, 1)]
        return sorted(shown(found), key=lambda row: row.id)

    def lines(self) -> list[tuple[str, tuple[str, ...], date | None, dict[str, Any]]]:
        """The same as plain tuples: kind, names, day, fields that the contract knows."""
        names = self.names()
        return [
            (
                row.kind,
                tuple(names.name(subject) for subject in row.subjects),
                row.on,
                {key: value for key, value in row.fields.items() if key not in HIDDEN},
            )
            for row in self.entries()
        ]

    def names(self) -> Names:
        with self.app.store.read() as session:
            return load_names(session, 1)

    def home(self, animal: str) -> str | None:
        """Where a group or an animal lives now."""
        names = self.names()
        row = names.animal(animal)
        place = None if row is None else names.home(row)
        return None if place is None else place.name

    @contextmanager
    def scene(self, text: str = "") -> Iterator[Scene]:
        """A scene on a message that was just received, in a transaction of its own."""
        message_id = self.app.receive("owner", text)
        with self.app.store.write() as session:
            message = inbox.row(session, message_id or 0)
            assert message is not None
            member = households.members(session, 1)[0]
            yield Scene(session, self.told, households.collection(session, 1), member, message, load_names(session, 1))


HIDDEN = frozenset({"to_enclosure_id", "part_of_group", "new_occupant_id", "joined", "made_place", "restores"})


def open_room(folder: Path) -> Room:
    """A room with its roster set up by talking."""
    told, clock = Told(), SetClock(NOW)
    room = Room(App(Store.open(databases.of(folder)), clock, told, folder=folder), clock, told)
    room.app.prepare("Europe/Lisbon")
    for tub in ("tub 2", "tub 4", "tub 7"):
        room.say(f"add {tub}", Meaning("setup", setup=Setup("add_place", {"name": tub, "tags": ("shelf 2",)})))
    add(room, "group B", kind="group", count=(42, 42), enclosure="tub 4", species="Neoholothele incei")
    add(room, "group D", kind="group", count=(20, 20), enclosure="tub 2")
    add(room, "Saffron", kind="animal", enclosure="tub 7")
    return room


def add(room: Room, name: str, **fields: Any) -> Reply:  # noqa: ANN401 - handed on as it is
    return room.say(f"add {name}", Meaning("setup", setup=Setup("add", {"name": name, **fields})))


def log(*entries: Entry, **more: Any) -> Meaning:  # noqa: ANN401 - handed on as it is
    return Meaning("log", entries=entries, **more)


def fed(*names: str, on: date = TODAY, **fields: Any) -> Entry:  # noqa: ANN401 - handed on as it is
    return Entry("feeding", names, on, fields=fields)


def moved(name: str, to: str, words: str = "", on: date = TODAY, **fields: Any) -> Entry:  # noqa: ANN401 - handed on as it is
    return Entry("move", (name,), on, fields={"to": to, **fields}, words=words)


def change(**changes: Any) -> Meaning:  # noqa: ANN401 - handed on as it is
    return Meaning("amend", amend=Amend("change", changes))


UNDO = Meaning("amend", amend=Amend("retract"))

__all__ = ["UNDO", "Ask", "Choice", "Plan", "Room", "Setup", "turn"]
