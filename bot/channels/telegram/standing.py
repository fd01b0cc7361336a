"""Which chats take messages of the bot. The house keeps it."""

from __future__ import annotations

from dataclasses import dataclass

from bot.channels.port import House
from bot.channels.telegram.addresses import chat_ids, is_group
from bot.channels.telegram.client import CHANNEL


@dataclass(frozen=True, slots=True)
class Standing:
    """The bot's standing in chats. Its methods block for as long as the house needs.

    Nothing of it is remembered here: another process may be the one that finds a chat shut or open.
    """

    house: House

    def blocked(self, chat: str) -> None:
        """A chat takes nothing any more. Of strangers who block the bot nothing is kept."""
        if is_group(chat_ids(chat)[0]) or self.house.is_member(CHANNEL, chat):
            self.house.block(CHANNEL, chat)

    def open(self, chat: str) -> None:
        """A chat takes messages again: it says so, or something was said in it, be it a topic of a group that let the bot in again."""
        self.house.unblock(CHANNEL, chat)
