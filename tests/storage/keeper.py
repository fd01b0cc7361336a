"""A keeper for tests: a collection with two places and two groups, and short words to write entries with."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING

from storage import households, inbox, journal, roster
from storage.inbox import Incoming
from storage.journal import NewEntry, Subject

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

ZONE = "Europe/Lisbon"
NOW = datetime(2026, 3, 10, 19, 5, tzinfo=UTC)
TODAY = date(2026, 3, 10)


def day(number: int) -> date:
    """A day of March 2026."""
    return date(2026, 3, number)


class Keeper:
    """Writes as the member `member_id` of `collection_id`, at 19:05 on 10 March 2026 in Lisbon."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.collection_id = households.create_collection(session, "animal room", ZONE)
        self.member_id = households.add_member(session, self.collection_id, "console", "ana", "Ana", "owner", NOW)
        self.tub = roster.add_enclosure(session, self.collection_id, "tub 4", aliases=["t4"], tags=["shelf 2"])
        self.cube = roster.add_enclosure(session, self.collection_id, "glass cube")
        self.dwarfs = roster.add_occupant(session, self.collection_id, "group B", "group", count=42)
        self.scorpion = roster.add_occupant(session, self.collection_id, "Sid", "animal")
        self.messages = 0

    def message(self, text: str = "fed B") -> int:
        """Take a message in; its id in the inbox."""
        self.messages += 1
        taken = inbox.receive(self.session, self.incoming(str(self.messages), text))
        assert taken is not None
        return taken

    def incoming(self, key: str, text: str = "fed B", revision: int = 0) -> Incoming:
        return Incoming(
            collection_id=self.collection_id,
            member_id=self.member_id,
            channel="console",
            chat="terminal",
            key=key,
            text=text,
            sent_at=NOW,
            revision=revision,
        )

    def write(  # noqa: PLR0913 - an entry is these things
        self,
        kind: str,
        subject: Subject,
        on: date | None = TODAY,
        *,
        at: time | None = None,
        part: str | None = None,
        mood: str = "log",
        message_id: int | None = None,
        supersedes: int | None = None,
        **fields: object,
    ) -> int:
        """Append one entry; its id."""
        new = NewEntry(kind, mood, on, at, part, ZONE, fields, (subject,), f"{kind} it")
        (written,) = journal.append(
            self.session, self.collection_id, self.member_id, message_id, NOW, [new], [supersedes]
        )
        return written

    def place(self, occupant_id: int, enclosure_id: int, on: date | None) -> int:
        return self.write("placed", Subject(occupant_id), on, to_enclosure_id=enclosure_id)

    def move(self, subject: Subject, enclosure_id: int, on: date) -> int:
        return self.write("move", subject, on, to_enclosure_id=enclosure_id)

    def take_back(self, *entry_ids: int) -> None:
        journal.retract(self.session, entry_ids, self.member_id, None, NOW)
