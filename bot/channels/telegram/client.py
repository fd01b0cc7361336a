"""The client of the Bot API, set up so that it is quiet about the token, and what its errors mean to us."""

from __future__ import annotations

import logging
import os

from bot.errors import RacksideError
from bot.secret import HIDDEN, redacted
from bot.service_settings import TOKEN, TelegramSettings

# The library's own switch: without it, each refusal with a waiting time comes with a warning of deprecation. Read when used.
os.environ.setdefault("PTB_TIMEDELTA", "true")

from telegram import Bot
from telegram.error import EndPointNotFound, InvalidToken, RetryAfter
from telegram.request import HTTPXRequest

CHANNEL = "telegram"

REFUSING = (InvalidToken, EndPointNotFound)
"""What the library raises where the service answers 401 or 404. Their texts may hold the token."""

_CHATTY = ("httpx", "httpcore", "telegram")
"""Loggers that write addresses, and in them the token, at INFO or DEBUG."""


class TokenRefused(RacksideError):
    """The service does not know the bot by this token."""

    def __init__(self) -> None:
        super().__init__(
            f"Telegram refuses the bot's token. Check {TOKEN}_FILE (or {TOKEN}), and RACKSIDE_TELEGRAM_API if it is set; "
            "BotFather shows a bot's token, and makes a new one."
        )


class Unreachable(RacksideError):
    """The service cannot be reached, or does not answer as it should. `reason` holds no secret."""

    def __init__(self, api: str, reason: str) -> None:
        super().__init__(f"Telegram cannot be reached at {api}: {reason}.")


class DiscreetBot(Bot):
    """The library's client, whose own repr shows the token."""

    def __repr__(self) -> str:
        return f"{type(self).__name__}({HIDDEN})"

    __str__ = __repr__


def make_bot(settings: TelegramSettings) -> Bot:
    """A client for the bot of these settings. To be opened by `initialize` and closed by `shutdown`."""
    for name in _CHATTY:
        logging.getLogger(name).setLevel(logging.WARNING)
    return DiscreetBot(
        settings.token.reveal(),
        base_url=f"{settings.api}/bot",
        base_file_url=f"{settings.api}/file/bot",
        request=HTTPXRequest(connection_pool_size=64, read_timeout=20.0, connect_timeout=10.0, pool_timeout=10.0),
        get_updates_request=HTTPXRequest(connection_pool_size=1, connect_timeout=10.0),
    )


def told(fault: BaseException) -> str:
    """An error in one line, without secrets."""
    return redacted(f"{type(fault).__name__}: {fault}" if str(fault) else type(fault).__name__)


def seconds_of(fault: RetryAfter) -> float:
    """For how long the service wants nothing, in seconds."""
    wanted = fault.retry_after
    return float(wanted) if isinstance(wanted, int) else wanted.total_seconds()
