"""What an update of the service tells, besides messages and presses."""

from __future__ import annotations

from dataclasses import dataclass

from bot.channels.port import Carried, Press


@dataclass(frozen=True, slots=True)
class Account:
    """The bot's own account: its id, and its name without the @."""

    id: int
    username: str


@dataclass(frozen=True, slots=True)
class Blocked:
    """A chat takes nothing from the bot any more: blocked in private, or thrown out of a group."""

    chat: str


@dataclass(frozen=True, slots=True)
class Unblocked:
    """A chat takes messages of the bot again."""

    chat: str


@dataclass(frozen=True, slots=True)
class Moved:
    """A group became a supergroup and goes on under another id."""

    chat: str
    to: str


@dataclass(frozen=True, slots=True)
class Faceless:
    """Somebody spoke to the bot in the name of a group or a channel, so that nobody can tell who it was."""

    chat: str
    key: str


Event = Carried | Press | Blocked | Unblocked | Moved | Faceless
