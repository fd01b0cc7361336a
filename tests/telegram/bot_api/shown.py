"""What a chat shows, for tests to look at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Button:
    """An inline button: its label, the data that a press sends, and the address that it opens."""

    text: str
    data: str | None
    url: str | None


@dataclass(frozen=True, slots=True)
class Shown:
    """A message as its chat shows it now, edits applied; `raw` is the Message object."""

    raw: dict[str, Any]

    @property
    def id(self) -> int:
        """Its id, unique within the chat."""
        return int(self.raw["message_id"])

    @property
    def chat_id(self) -> int:
        """The chat in which it stands."""
        return int(self.raw["chat"]["id"])

    @property
    def by_bot(self) -> bool:
        """Whether the bot sent it."""
        return bool(self.raw["from"]["is_bot"])

    @property
    def text(self) -> str:
        """Its text or caption, without marks of formatting; empty where it has none."""
        return str(self.raw.get("text") or self.raw.get("caption") or "")

    @property
    def bold(self) -> list[str]:
        """What stands in bold in it."""
        units = self.text.encode("utf-16-le")
        return [
            units[entity["offset"] * 2 : (entity["offset"] + entity["length"]) * 2].decode("utf-16-le")
            for entity in self.raw.get("entities") or self.raw.get("caption_entities") or []
            if entity["type"] == "bold"
        ]

    @property
    def rows(self) -> list[list[Button]]:
        """Its inline buttons, row by row."""
        rows = self.raw.get("reply_markup", {}).get("inline_keyboard", [])
        return [[Button(one["text"], one.get("callback_data"), one.get("url")) for one in row] for row in rows]

    @property
    def buttons(self) -> list[Button]:
        """Its inline buttons."""
        return [button for row in self.rows for button in row]

    @property
    def labels(self) -> list[str]:
        """What stands on its buttons."""
        return [button.text for button in self.buttons]

    @property
    def reply_to(self) -> int | None:
        """The message that it answers."""
        answered = self.raw.get("reply_to_message")
        return answered and int(answered["message_id"])

    @property
    def topic(self) -> int | None:
        """The topic in which it stands."""
        return self.raw.get("message_thread_id") if self.raw.get("is_topic_message") else None

    @property
    def edited(self) -> bool:
        """Whether it was changed."""
        return "edit_date" in self.raw

    @property
    def photo(self) -> str | None:
        """The file id of its photo in the largest size."""
        return str(self.raw["photo"][-1]["file_id"]) if "photo" in self.raw else None

    @property
    def document(self) -> dict[str, Any] | None:
        """Its Document object."""
        return self.raw.get("document")
