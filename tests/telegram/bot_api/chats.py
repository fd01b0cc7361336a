"""Chats as the service keeps them: who is in them, what they show now, and how the bot stands there."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import count
from typing import Any

from tests.telegram.bot_api.refusal import Refusal, bad_request, forbidden, upgraded

Message = dict[str, Any]
"""A Message object of the Bot API."""

SUPERGROUPS_BELOW = -1_000_000_000_000
"""Ids of supergroups are smaller than this, as those of the service are."""


@dataclass(slots=True)
class Chat:
    """One chat: `chat` is the Chat object of the API, `messages` what it shows now by message id, oldest first.

    `standing` is the bot's: "member", "left" or "kicked", and "stranger" in the private chat of someone who never wrote to it.
    `numbers` gives message ids: supergroups count for themselves, all private chats and groups of a bot together.
    `topics` has the message that opened each topic by its thread id.
    """

    chat: dict[str, Any]
    numbers: count[int]
    members: set[int]
    standing: str = "member"
    messages: dict[int, Message] = field(default_factory=dict)
    topics: dict[int, Message] = field(default_factory=dict)
    became: int | None = None
    actions: list[str] = field(default_factory=list)

    @property
    def id(self) -> int:
        """The chat's id."""
        return int(self.chat["id"])

    @property
    def kind(self) -> str:
        """What it is: private, group or supergroup."""
        return str(self.chat["type"])

    def refusal(self) -> Refusal | None:
        """Why the bot may not send here; None where it may."""
        if self.became is not None:
            return upgraded(self.became)
        if self.standing == "stranger":
            return forbidden("bot can't initiate conversation with a user")
        if self.kind == "private":
            return forbidden("bot was blocked by the user") if self.standing == "kicked" else None
        if self.standing == "kicked":
            return forbidden(f"bot was kicked from the {self.kind} chat")
        return forbidden(f"bot is not a member of the {self.kind} chat") if self.standing == "left" else None

    def place(self, content: dict[str, Any], thread: int | None, reply_to: int | None) -> dict[str, Any]:
        """The fields that say where a new message stands: its topic or thread, and the message that it answers.

        In a topic a message that answers nothing carries the message that opened the topic as `reply_to_message`. In a
        supergroup without topics an answer carries the first message of its thread in `message_thread_id`.
        """
        placed = dict(content)
        answered = self.messages.get(reply_to) if reply_to is not None else None
        if thread is not None:
            placed |= {"message_thread_id": thread, "is_topic_message": True}
            answered = answered or self.topics.get(thread)
        elif answered is not None and self.kind == "supergroup" and not self.chat.get("is_forum"):
            placed["message_thread_id"] = answered.get("message_thread_id", answered["message_id"])
        if answered is not None:
            placed["reply_to_message"] = {key: answered[key] for key in answered if key != "reply_to_message"}
        return placed

    def add(self, content: dict[str, Any], sender: dict[str, Any], date: int) -> Message:
        """Show a new message from `sender` (a User object) at `date` (seconds since 1970)."""
        number = next(self.numbers)
        message = {"message_id": number, "from": sender, "chat": self.chat, "date": date, **content}
        self.messages[number] = message
        return message

    def replace(self, number: int, message: Message) -> Message:
        """Show `message` where the message `number` stood."""
        self.messages[number] = message
        return message

    def thread(self, asked: int | None) -> int | None:
        """The topic to send into; refused where there is none of that id."""
        if asked is not None and asked not in self.topics:
            raise bad_request("message thread not found")
        return asked

    def topic_of(self, message: Message | None) -> int | None:
        """The topic in which a message stands."""
        return message.get("message_thread_id") if message and message.get("is_topic_message") else None
