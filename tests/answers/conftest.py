"""A small collection in a real database, and a keeper who writes in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest

from bot.answers import View, answer
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from storage import households, journal, roster
from storage.journal import NewEntry, Subject
from storage.store import Store
from tests import databases

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

TODAY = date(2026, 5, 7)  # a Thursday
ZONE = "Europe/Lisbon"
LIVED_SINCE = date(2026, 1, 5)


class Keeper:
    """Writes entries and asks questions; the day is 7 May 2026, eight in the evening in Lisbon."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.now = datetime.combine(TODAY, time(20), ZoneInfo(ZONE)).astimezone(UTC)
        joined = self.now - timedelta(days=400)
        self.collection_id = households.create_collection(session, "home", ZONE)
        self.member_id = households.add_member(session, self.collection_id, "console", "ana", "Ana", "owner", joined)
        self.places: dict[str, int] = {}
        self.animals: dict[str, int] = {}

    def place(self, name: str, **details: object) -> int:
        self.places[name] = roster.add_enclosure(self.session, self.collection_id, name, **details)  # type: ignore[arg-type]
        return self.places[name]

    def animal(
        self, name: str, place: str, *, kind: str = "animal", count: int | None = None, since: date = LIVED_SINCE
    ) -> int:
        self.animals[name] = roster.add_occupant(self.session, self.collection_id, name, kind, count=count)
        self.write(since, "placed", [name], words=f"add {name}", to_enclosure_id=self.places[place])
        return self.animals[name]

    def write(  # noqa: PLR0913 - an entry is these things
        self,
        on: date | None,
        kind: str,
        names: Sequence[str],
        *,
        mood: str = "log",
        at: time | None = None,
        part: str | None = None,
        words: str = "",
        told: date | None = None,
        **fields: object,
    ) -> int:
        subjects = tuple(
            Subject(occupant_id=self.animals[name]) if name in self.animals else Subject(enclosure_id=self.places[name])
            for name in names
        )
        told_at = datetime.combine(told or on or TODAY, time(19, 5), ZoneInfo(ZONE)).astimezone(UTC)
        new = NewEntry(kind, mood, on, at, part, ZONE, fields, subjects, words or f"{kind} {' '.join(names)}")
        return journal.append(self.session, self.collection_id, self.member_id, None, told_at, [new])[0]

    def plan(self, kind: str, names: Sequence[str], on: date | None = None, *, told: date, **fields: object) -> int:
        return self.write(on, kind, names, mood="plan", told=told, **fields)  # type: ignore[arg-type]

    @property
    def view(self) -> View:
        return View.open(self.session, self.collection_id, self.now)

    def ask(self, about: str, *subjects: str, **parts: object) -> Reply:
        return answer(Ask(about=about, subjects=subjects, **parts), self.view)  # type: ignore[arg-type]

    def text(self, about: str, *subjects: str, **parts: object) -> str:
        return self.ask(about, *subjects, **parts).text


def day(month: int, number: int) -> date:
    return date(2026, month, number)


@pytest.fixture
def nobody(tmp_path: Path) -> Iterator[Keeper]:
    """A collection with nobody in it."""
    store = Store.open(databases.of(tmp_path))
    with store.write() as session:
        yield Keeper(session)
    store.close()


@pytest.fixture
def keeper(nobody: Keeper) -> Keeper:
    """A group alone in tub 4, two animals that share tub 1, one animal in pot 7, and an empty glass cube."""
    for name in ("tub 4", "tub 1", "pot 7", "glass cube"):
        nobody.place(name)
    nobody.animal("group B", "tub 4", kind="group", count=42)
    nobody.animal("Ada", "tub 1")
    nobody.animal("Dot", "tub 1")
    nobody.animal("Duchess", "pot 7")
    return nobody
