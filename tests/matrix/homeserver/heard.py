"""What a person hears in a room: one event, as it reads once decrypted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Heard:
    """One event of a room's timeline.

    `kind` is the event's type (`m.room.message`, `m.reaction`, `m.room.redaction`, …; `m.room.encrypted` while it
    cannot be read), `encrypted` whether it came encrypted, `at` the server's time in milliseconds, `content` all that
    the event says. The rest is read from the content; what it does not say is empty.
    """

    event_id: str
    room: str
    sender: str
    kind: str
    at: int
    encrypted: bool
    content: Mapping[str, Any]
    redacts: str = ""
    """Of a redaction: the event taken back."""

    @property
    def msgtype(self) -> str:
        """What sort of message it is: `m.text`, `m.notice`, `m.image` or another."""
        return str(self.content.get("msgtype", ""))

    @property
    def body(self) -> str:
        """The plain text."""
        return str(self.content.get("body", ""))

    @property
    def formatted_body(self) -> str:
        """The text as HTML."""
        return str(self.content.get("formatted_body", ""))

    @property
    def mentions(self) -> tuple[str, ...]:
        """The users mentioned (`m.mentions`), whose telephones ring."""
        return tuple(self.content.get("m.mentions", {}).get("user_ids", ()))

    @property
    def relates_to(self) -> Mapping[str, Any]:
        """What the event says of its relation to another (`m.relates_to`)."""
        related: Mapping[str, Any] = self.content.get("m.relates_to", {})
        return related

    @property
    def reply_to(self) -> str:
        """The event replied to."""
        return str(self.relates_to.get("m.in_reply_to", {}).get("event_id", ""))

    @property
    def edits(self) -> str:
        """The event that this one replaces."""
        return self._related("m.replace")

    @property
    def new_body(self) -> str:
        """Of an edit: the plain text that holds from now on."""
        return str(self.content.get("m.new_content", {}).get("body", ""))

    @property
    def reacts_to(self) -> str:
        """The event that this reaction is to."""
        return self._related("m.annotation")

    @property
    def key(self) -> str:
        """Of a reaction: the sign given."""
        return str(self.relates_to.get("key", ""))

    def _related(self, relation: str) -> str:
        same = self.relates_to.get("rel_type") == relation
        return str(self.relates_to.get("event_id", "")) if same else ""


def heard_from(source: Mapping[str, Any], room: str, *, encrypted: bool) -> Heard:
    """An event as nio keeps its source, plain or decrypted."""
    content = source.get("content", {})
    return Heard(
        event_id=str(source.get("event_id", "")),
        room=room,
        sender=str(source.get("sender", "")),
        kind=str(source.get("type", "")),
        at=int(source.get("origin_server_ts", 0)),
        encrypted=encrypted,
        content=content,
        redacts=str(content.get("redacts") or source.get("redacts") or ""),
    )
