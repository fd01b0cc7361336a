"""How chats and messages of the service are named to the house.

A chat is "<chat id>", a topic of it "<chat id>/<thread id>". The key of a message is its id. Supergroups number their messages from 1
anew, and a group becomes one under a new id, so a key there begins with "s": what was said before the move keeps a name of its own.
"""

from __future__ import annotations

_SUPERGROUPS_BELOW = -1_000_000_000_000
"""Ids of supergroups and channels are smaller than this (Bot API manual, "Dialog IDs")."""


def chat_name(chat_id: int, thread_id: int | None = None) -> str:
    """The name of a chat, or of a topic in it."""
    return str(chat_id) if thread_id is None else f"{chat_id}/{thread_id}"


def chat_ids(chat: str) -> tuple[int, int | None]:
    """The chat id and the thread id in a name, the latter None outside topics. Raises ValueError for a name of another kind."""
    chat_id, _, thread_id = chat.partition("/")
    return int(chat_id), int(thread_id) if thread_id else None


def is_group(chat_id: int) -> bool:
    """Whether several people may be in a chat: ids of groups are negative."""
    return chat_id < 0


def message_key(chat_id: int, message_id: int) -> str:
    """The key of a message."""
    return f"s{message_id}" if chat_id < _SUPERGROUPS_BELOW else str(message_id)


def message_id(chat_id: int, key: str | None) -> int | None:
    """The id of the message in this chat that a key names; None where it names none here."""
    mark, number = ("s", key[1:]) if key and key.startswith("s") else ("", key or "")
    if not number.isdecimal() or (mark == "s") != (chat_id < _SUPERGROUPS_BELOW):
        return None
    return int(number)
