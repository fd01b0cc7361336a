"""What a failure to send means for the parcel. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from telegram.error import BadRequest, ChatMigrated, Forbidden, NetworkError, RetryAfter, TelegramError

from bot.channels.pauses import pause
from bot.channels.telegram.client import REFUSING, seconds_of, told

MOST_REFUSALS = 3
FIRST, LONGEST = 2.0, 300.0
"""Seconds: the pause after the first failure doubles up to the longest."""

_NEVER_SENT = {"ConnectError", "ConnectTimeout", "PoolTimeout"}
"""Errors of the HTTP library after which the service has certainly not seen the request."""


@dataclass(frozen=True, slots=True)
class Later:
    """Try again in so many seconds; without `error` it is no failure. `whole_chat` says that all of the chat waits."""

    seconds: float
    error: str | None = None
    whole_chat: bool = False


@dataclass(frozen=True, slots=True)
class Never:
    """The service will not take it."""

    error: str


@dataclass(frozen=True, slots=True)
class Shut:
    """The chat takes nothing from the bot."""


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """The chat has another id now."""

    chat_id: int


def outcome(fault: Exception, tries: int) -> Later | Never | Shut | Elsewhere:
    """What to do about a failure after `tries` earlier ones."""
    if isinstance(fault, RetryAfter):
        return Later(seconds_of(fault) + 1, whole_chat=True)
    if isinstance(fault, Forbidden):
        return Shut()
    if isinstance(fault, ChatMigrated):
        return Elsewhere(fault.new_chat_id)
    if isinstance(fault, REFUSING):
        return Later(LONGEST, "the service refuses the bot's token")
    passes = _passes(fault)
    error = f"{_known(fault)}: {told(fault)}" if passes else told(fault)
    return Later(pause(tries, FIRST, LONGEST), error) if passes or tries + 1 < MOST_REFUSALS else Never(error)


def _passes(fault: Exception) -> bool:
    """Whether a failure has nothing to do with what was sent."""
    if isinstance(fault, TimeoutError):
        return True
    # To the library a refusal is a kind of network error, too.
    too_large = isinstance(fault, TelegramError) and "too large" in str(fault).lower()
    return isinstance(fault, NetworkError) and not isinstance(fault, BadRequest) and not too_large


def _known(fault: Exception) -> str:
    """What is known of the message after a failure on the way."""
    if fault.__cause__ is None and not isinstance(fault, TimeoutError):
        return "the service is out of order"
    if type(fault.__cause__).__name__ in _NEVER_SENT:
        return "not reached"
    return "outcome unknown, it may have arrived"
