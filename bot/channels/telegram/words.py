"""What was said to the bot in a message, without the bot's own name, and whether it was said to the bot at all."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bot.channels.telegram.events import Account

if TYPE_CHECKING:
    from telegram import Message

_COMMAND = re.compile(r"/(?P<name>[A-Za-z0-9_]{1,32})(?:@(?P<bot>\w+))?(?!\S)")


@dataclass(frozen=True, slots=True)
class Words:
    """The text or caption of a message, and whether it is meant for the bot."""

    text: str
    addressed: bool


def words_of(message: Message, account: Account) -> Words | None:
    """The words of a message; None for a command that names another bot.

    In a group the bot is addressed by a command, by its name, or by an answer to a message of its own.
    """
    said = message.text or message.caption or ""
    command = _COMMAND.match(said)
    if command and command["bot"]:
        if command["bot"].lower() != account.username.lower():
            return None
        said = f"/{command['name']}{said[command.end() :]}"
    text, named = without_name(said, account.username)
    private = message.chat.type == message.chat.PRIVATE
    return Words(text, private or command is not None or named or _answers(message, account))


def without_name(text: str, username: str) -> tuple[str, bool]:
    """A text without the @name that it begins or ends with, and whether the name stands in it anywhere."""
    name = rf"(?<![\w@/])@{re.escape(username)}(?!\w)"
    if not re.search(name, text, re.IGNORECASE):
        return text, False
    without = re.sub(rf"^\s*{name}[\s,:;]*", "", text, flags=re.IGNORECASE)
    return re.sub(rf"[\s,]*{name}\s*([.!?]*)\s*$", r"\1", without, flags=re.IGNORECASE), True


def _answers(message: Message, account: Account) -> bool:
    answered = message.reply_to_message
    if answered is None or answered.forum_topic_created is not None:
        return False
    return answered.from_user is not None and answered.from_user.id == account.id
