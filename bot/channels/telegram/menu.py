"""The commands that the service offers to people, in private chats and in groups."""

from __future__ import annotations

import logging
from typing import TYPE_CHECKING

from telegram import (
    BotCommand,
    BotCommandScope,
    BotCommandScopeAllGroupChats,
    BotCommandScopeAllPrivateChats,
    BotCommandScopeDefault,
)
from telegram.error import TelegramError

from bot.channels.telegram.client import told

if TYPE_CHECKING:
    from telegram import Bot

WORDS = {
    "start": "Begin, or use an invitation",
    "help": "What you can say to me",
    "settings": "Your times, units and reminders",
    "due": "What is due today",
    "undo": "Take back your last entry",
    "cancel": "Drop the open question",
}
"""What each command does, as the service shows it."""

_log = logging.getLogger(__name__)


def scopes() -> tuple[tuple[BotCommandScope, tuple[str, ...]], ...]:
    """Where which commands are offered."""
    return (
        (BotCommandScopeDefault(), ("start", "help")),
        (BotCommandScopeAllPrivateChats(), tuple(WORDS)),
        (BotCommandScopeAllGroupChats(), ("due", "undo", "help")),
    )


async def offer(bot: Bot) -> None:
    """Tell the service which commands there are. A failure is logged and harms nothing else."""
    for scope, names in scopes():
        try:
            await bot.set_my_commands([BotCommand(name, WORDS[name]) for name in names], scope=scope)
        except TelegramError as fault:
            _log.warning("the menu of commands could not be set (%s): %s", scope.type, told(fault))
