"""Settings of the message services, from the environment.

RACKSIDE_TELEGRAM_TOKEN_FILE     file that holds the bot's token (or RACKSIDE_TELEGRAM_TOKEN, the token itself)
RACKSIDE_TELEGRAM_API            base URL of a Bot API server of your own; without it, the public one
RACKSIDE_TELEGRAM_WEBHOOK_URL    public https address at which messages are to be delivered; without it, they are fetched
RACKSIDE_TELEGRAM_WEBHOOK_SECRET_FILE   file with the secret that the service shows there (1 to 256 of A-Z a-z 0-9 _ -)
RACKSIDE_TELEGRAM_WEBHOOK_LISTEN host and port to listen on, 127.0.0.1:8443 if left out
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlsplit

from bot.secret import Secret, redacted, secret_of
from bot.settings import SettingsFault

TELEGRAM_API = "https://api.telegram.org"
TOKEN, API = "RACKSIDE_TELEGRAM_TOKEN", "RACKSIDE_TELEGRAM_API"
WEBHOOK_URL, WEBHOOK_SECRET = "RACKSIDE_TELEGRAM_WEBHOOK_URL", "RACKSIDE_TELEGRAM_WEBHOOK_SECRET"
WEBHOOK_LISTEN = "RACKSIDE_TELEGRAM_WEBHOOK_LISTEN"
LISTEN = "127.0.0.1:8443"

_TOKEN = re.compile(r"\d+:[A-Za-z0-9_-]+")
_WEBHOOK_SECRET = re.compile(r"[A-Za-z0-9_-]{1,256}")


@dataclass(frozen=True, slots=True)
class Webhook:
    """Where messages are delivered: the public `url`, the `secret` shown there, and the `host` and `port` we listen on."""

    url: str
    secret: Secret
    host: str
    port: int


@dataclass(frozen=True, slots=True)
class TelegramSettings:
    """The bot's token, the base URL of the Bot API server without a slash at its end, and the webhook, None for polling."""

    token: Secret
    api: str = TELEGRAM_API
    webhook: Webhook | None = None


def telegram_settings(environment: Mapping[str, str]) -> TelegramSettings | None:
    """Settings of Telegram; None where no token is set. Raises SettingsFault with a sentence that names the variable."""
    token = secret_of(TOKEN, environment)
    if token is None:
        return None
    if not _TOKEN.fullmatch(token.reveal()):
        raise SettingsFault(f"{TOKEN}: that is no bot token; one has digits, a colon, and letters.")
    api = _address(API, environment.get(API) or TELEGRAM_API)
    return TelegramSettings(token, api, _webhook(environment))


def _webhook(environment: Mapping[str, str]) -> Webhook | None:
    if not environment.get(WEBHOOK_URL):
        return None
    url = _address(WEBHOOK_URL, environment[WEBHOOK_URL])
    secret = secret_of(WEBHOOK_SECRET, environment)
    if secret is None or not _WEBHOOK_SECRET.fullmatch(secret.reveal()):
        raise SettingsFault(f"{WEBHOOK_SECRET}_FILE: a webhook needs a secret of 1 to 256 letters, digits, _ or -.")
    return Webhook(url, secret, *_listen(environment.get(WEBHOOK_LISTEN) or LISTEN))


def _address(name: str, value: str) -> str:
    if not _is_address(value):
        raise SettingsFault(f"{name}: {redacted(value)!r} is no web address; write one like 'https://bot.example.org'.")
    return value.rstrip("/")


def _is_address(value: str) -> bool:
    try:
        parts = urlsplit(value)
        return parts.scheme in ("http", "https") and bool(parts.hostname) and parts.port != 0
    except ValueError:  # brackets or a port that cannot be
        return False


def _listen(value: str) -> tuple[str, int]:
    host, _, port = value.rpartition(":")
    if not host or not port.isdecimal() or not 0 <= int(port) < 65536:
        raise SettingsFault(f"{WEBHOOK_LISTEN}: {value!r} is no host and port; write it like '{LISTEN}'.")
    return host.strip("[]"), int(port)
