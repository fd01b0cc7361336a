"""Events that cannot be read yet, kept until their key comes.

A key may come after the message that needs it. So a member's message that cannot be decrypted is put by, in a file, before it
counts as taken. Once it can be read, it is taken like any other, under its own event id. If that lasts, the member is told, as of
a message of another key (`events.unread`); should the key still come, within a week, the message is taken then.
"""

from __future__ import annotations

import contextlib
import json
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from nio import EncryptionError, Event, MegolmEvent

from bot.channels.matrix.credentials import write
from bot.channels.matrix.link import Link

KEPT_FOR = 7 * 24 * 3600.0
MOST = 1000
"""More are not kept: the oldest go first."""


@dataclass(slots=True)
class PutBy:
    """An event that could not be read: as it came, in which room, when (seconds since 1970), and whether its sender was told."""

    room: str
    source: dict[str, Any]
    at: float
    told: bool = False

    @property
    def key(self) -> str:
        """The event's id."""
        return str(self.source.get("event_id"))

    def event(self) -> MegolmEvent | None:
        """The event, to be tried again; None where it is none."""
        found = Event.parse_event(dict(self.source))
        if not isinstance(found, MegolmEvent):
            return None
        found.room_id = self.room
        return found


@dataclass(slots=True)
class Shelf:
    """The events put by, in a file; `patience` is how many seconds a key may take, `now` the seconds since 1970."""

    path: Path
    patience: float
    now: Callable[[], float] = time.time
    kept: list[PutBy] = field(default_factory=list)

    @classmethod
    def open(cls, path: Path, patience: float) -> Shelf:
        """The shelf as it was left; a file that cannot be read is an empty shelf."""
        kept: list[PutBy] = []
        with contextlib.suppress(OSError, ValueError, TypeError):
            kept = [PutBy(**one) for one in json.loads(path.read_text(encoding="utf-8"))]
        return cls(path, patience, kept=kept)

    def put(self, room: str, event: MegolmEvent) -> bool:
        """Put an event by; False where it is here already."""
        if any(one.key == event.event_id for one in self.kept):
            return False
        self.kept = [*self.kept, PutBy(room, dict(event.source), self.now())][-MOST:]
        return True

    def readable(self, link: Link) -> list[tuple[PutBy, Any]]:
        """The events that can be read by now, decrypted, oldest first."""
        found = []
        for one in self.kept:
            event = one.event()
            if event is None or link.olm.inbound_group_store.get(one.room, event.sender_key, event.session_id) is None:
                continue  # trying without the key would have nio ask for it each time
            with contextlib.suppress(EncryptionError):
                found.append((one, link.decrypt_event(event)))
        return found

    def overdue(self) -> list[PutBy]:
        """The events whose senders are to be told now."""
        return [one for one in self.kept if not one.told and one.at + self.patience <= self.now()]

    def next_due(self) -> float | None:
        """In how many seconds the next sender is to be told; None where none is."""
        waits = [one.at + self.patience - self.now() for one in self.kept if not one.told]
        return max(0.0, min(waits)) if waits else None

    def settle(self, taken: Iterable[PutBy], told: Iterable[PutBy]) -> None:
        """What was read goes, as does what is too old, and who was told is not told again."""
        gone, limit = {one.key for one in taken}, self.now() - KEPT_FOR
        for one in told:
            one.told = True
        self.kept = [one for one in self.kept if one.key not in gone and one.at > limit]

    def save(self) -> None:
        """Keep the shelf in its file."""
        write(
            self.path,
            json.dumps([{"room": one.room, "source": one.source, "at": one.at, "told": one.told} for one in self.kept]),
        )
