"""Which chats take messages of the bot. The house keeps it; here is remembered what need not be told again."""

from __future__ import annotations

from dataclasses import dataclass, field

from bot.channels.port import House
from bot.channels.telegram.addresses import chat_ids, is_group
from bot.channels.telegram.client import CHANNEL


@dataclass(slots=True)
class Standing:
    """The bot's standing in chats. Its methods block for as long as the house needs."""

    house: House
    _open: set[str] = field(default_factory=set)

    def blocked(self, chat: str) -> None:
        """A chat takes nothing any more. Of strangers who block the bot nothing is kept."""
        self._open.discard(chat)
        if is_group(chat_ids(chat)[0]) or self.house.is_member(CHANNEL, chat):
            self.house.block(CHANNEL, chat)

    def open(self, chat: str) -> None:
        """A chat takes messages again."""
        self._open.add(chat)
        self.house.unblock(CHANNEL, chat)

    def heard(self, chat: str) -> None:
        """Something was said in a chat, so that it takes messages: a topic, too, of a group that let the bot in again."""
        if chat not in self._open:
            self.open(chat)
