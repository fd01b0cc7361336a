"""How the bot stands in a chat, and the updates that tell it so."""

from __future__ import annotations

from typing import Any

from tests.telegram.bot_api.chats import Chat
from tests.telegram.bot_api.world import World

STATUS = {"member": "member", "left": "left", "kicked": "kicked", "stranger": "member"}


def as_member(world: World, standing: str) -> dict[str, Any]:
    """The bot as a ChatMember object of that standing."""
    member: dict[str, Any] = {"status": STATUS[standing], "user": world.bot}
    return member | ({"until_date": 0} if standing == "kicked" else {})


def change_standing(world: World, chat: Chat, standing: str, by: dict[str, Any]) -> int | None:
    """Let the bot stand otherwise in a chat and tell it; gives the update's id."""
    before, chat.standing = chat.standing, standing
    change = {
        "chat": chat.chat,
        "from": by,
        "date": world.now(),
        "old_chat_member": as_member(world, before),
        "new_chat_member": as_member(world, standing),
    }
    return world.tell("my_chat_member", change)
