"""The state of the fake service: its one bot, the people, their chats, and all that was asked of it."""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from itertools import count
from typing import Any

from tests.telegram.bot_api import schema
from tests.telegram.bot_api.chats import SUPERGROUPS_BELOW, Chat, Message
from tests.telegram.bot_api.faults import Faults
from tests.telegram.bot_api.files import Files
from tests.telegram.bot_api.formatted import entities_of
from tests.telegram.bot_api.pacing import Pacing
from tests.telegram.bot_api.refusal import Refusal, bad_request
from tests.telegram.bot_api.updates import Queue

TOKEN = "4839574812:AAFD39kkdpWt3ywyRZergyOLMaJhac60qcK"  # noqa: S105 - the fake's own, of the form that the service gives
BOT_NAME = "rackside_test_bot"


SERVICE = (
    "new_chat_members",
    "left_chat_member",
    "group_chat_created",
    "supergroup_chat_created",
    "migrate_to_chat_id",
    "migrate_from_chat_id",
    "forum_topic_created",
)
"""Fields by which a message is known as one of the service; such ones reach every bot in the chat."""


@dataclass(slots=True)
class Webhook:
    """Where updates are posted; no `url` where the bot polls."""

    url: str = ""
    secret: str = ""
    error: str = ""
    error_date: int = 0


@dataclass(slots=True)
class World:
    """All that the service knows. `privacy` is the bot's privacy mode in groups; `fixed` a moment that dates show for now."""

    token: str = TOKEN
    privacy: bool = True
    fixed: int | None = None
    people: dict[int, dict[str, Any]] = field(default_factory=dict)
    chats: dict[int, Chat] = field(default_factory=dict)
    updates: Queue = field(default_factory=Queue)
    webhook: Webhook = field(default_factory=Webhook)
    files: Files = field(default_factory=Files)
    pacing: Pacing = field(default_factory=Pacing)
    faults: Faults = field(default_factory=Faults)
    queries: dict[str, dict[str, Any]] = field(default_factory=dict)
    commands: dict[str, list[dict[str, str]]] = field(default_factory=dict)
    requests: list[dict[str, Any]] = field(default_factory=list)
    violations: list[dict[str, Any]] = field(default_factory=list)
    numbers: count[int] = field(default_factory=lambda: count(101))
    ids: count[int] = field(default_factory=lambda: count(700_100_001, 37))

    @property
    def bot(self) -> dict[str, Any]:
        """The bot as a User object in messages."""
        number = int(self.token.partition(":")[0])
        return {"id": number, "is_bot": True, "first_name": "Rackside", "username": BOT_NAME}

    def now(self) -> int:
        """Seconds since 1970."""
        return int(time.time()) if self.fixed is None else self.fixed

    def found(self, chat_id: object) -> Chat:
        """The chat of that id; refused where there is none."""
        chat = self.chats.get(chat_id) if isinstance(chat_id, int) else None
        if chat is None:
            raise bad_request("chat not found")
        return chat

    def open_chat(self, kind: str, members: set[int], **fields: object) -> Chat:
        """A new group or supergroup."""
        number = next(self.ids)
        own = SUPERGROUPS_BELOW - number if kind == "supergroup" else -number
        numbers = count(1) if kind == "supergroup" else self.numbers
        self.chats[own] = Chat({"id": own, "type": kind, **fields}, numbers, members)
        return self.chats[own]

    def break_rule(self, rule: str, detail: str, method: str = "") -> None:
        """Record that a rule of the Bot API was broken."""
        self.violations.append({"rule": rule, "method": method, "detail": detail})

    def refused(self, refusal: Refusal, method: str) -> Refusal:
        """Record a refusal that no good bot should meet."""
        if refusal.breaks:
            self.break_rule(refusal.breaks, refusal.description, method)
        return refusal

    def tell(self, kind: str, content: dict[str, Any]) -> int | None:
        """Lay an update out for the bot; gives its id, None where the bot does not want such updates.

        What is laid out must be what the Bot API says an update is; anything else is a fault of this fake.
        """
        wrong = schema.fault({"update_id": 1, kind: content}, "Update")
        if wrong:
            self.break_rule("answer of the fake", wrong)
        return self.updates.put({kind: content}) if self.updates.wanted(kind) else None

    def hears(self, chat: Chat, message: Message) -> bool:
        """Whether a message in a chat is delivered to the bot."""
        if chat.standing != "member":
            return False
        plain = chat.kind == "private" or not self.privacy
        return plain or any(key in message for key in SERVICE) or self._meant(message)

    def _meant(self, message: Message) -> bool:
        """Whether a message in a group reaches a bot in privacy mode: commands, mentions of it, answers to what it said."""
        answered = message.get("reply_to_message", {})
        if answered.get("from", {}).get("id") == self.bot["id"]:
            return True
        text = message.get("text") or message.get("caption") or ""
        for entity in entities_of(text):
            raw = text.encode("utf-16-le")[entity["offset"] * 2 : (entity["offset"] + entity["length"]) * 2]
            written = raw.decode("utf-16-le").lower()
            name = written.partition("@")[2]
            if (entity["type"] == "bot_command" and name in {"", BOT_NAME}) or written == f"@{BOT_NAME}":
                return True
        return False
