"""Secrets: values that show themselves to nobody who does not ask, and a filter that keeps them out of logs.

A secret comes from a file or from the environment, never from an argument, since arguments are seen by everyone on the machine.
"""

from __future__ import annotations

import logging
import re
from collections.abc import Mapping
from pathlib import Path
from typing import NoReturn
from urllib.parse import parse_qs, unquote, urlsplit

from bot.settings import SettingsFault

HIDDEN = "[secret]"

_BOT_TOKEN = re.compile(r"\d{5,}(?::|%3[Aa])[A-Za-z0-9_-]{20,}")
"""What a bot token looks like: hidden even where nobody told us of it."""


class Secret:
    """A value that is only had by asking for it: it is in no repr, no traceback's values, no pickle."""

    __slots__ = ("_value",)

    def __init__(self, value: str) -> None:
        self._value = value

    def reveal(self) -> str:
        """The value itself, for the one call that needs it."""
        return self._value

    def __repr__(self) -> str:
        return f"Secret({HIDDEN})"

    __str__ = __repr__

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Secret) and other._value == self._value

    def __hash__(self) -> int:
        return hash((Secret, self._value))

    def __reduce__(self) -> NoReturn:
        raise TypeError("a secret is not put into files")


class Redaction(logging.Formatter):
    """Writes log records as another formatter does, with every secret taken out, those in tracebacks too."""

    def __init__(self, form: logging.Formatter, *secrets: Secret) -> None:
        super().__init__()
        self._form = form
        self._secrets = secrets

    def format(self, record: logging.LogRecord) -> str:
        """The line for a record, without secrets."""
        return redacted(self._form.format(record), *self._secrets)


def redacted(text: str, *secrets: Secret) -> str:
    """A text with these secrets, and whatever looks like a bot token, taken out."""
    for secret in secrets:
        if secret.reveal():
            text = text.replace(secret.reveal(), HIDDEN)
    return _BOT_TOKEN.sub(HIDDEN, text)


def secrets_in(address: Secret) -> list[Secret]:
    """The address of a database, and its password as it stands there and as it is meant; nothing where there is no password.

    A password of one or two characters is left out: without them a log could not be read any more.
    """
    try:
        parts = urlsplit(address.reveal())
        found = {parts.password or "", *parse_qs(parts.query).get("password", ())}
    except ValueError:  # it is no address: what it is is not for a log either
        return [address]
    meant = {one for word in found for one in (word, unquote(word)) if len(one) > 2}
    return [address, *map(Secret, sorted(meant))] if meant else []


def secret_of(name: str, environment: Mapping[str, str]) -> Secret | None:
    """A secret from the file that the variable `name`_FILE names, else from the variable `name`; None where neither is set.

    Raises SettingsFault where the file cannot be read or is empty.
    """
    named = environment.get(f"{name}_FILE")
    if not named:
        return Secret(environment[name].strip()) if environment.get(name, "").strip() else None
    path = Path(named)
    try:
        value = path.expanduser().read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError, RuntimeError) as fault:
        unread = "it is no text" if isinstance(fault, UnicodeDecodeError) else "there is no such home folder"
        reason = getattr(fault, "strerror", None) or unread
        raise SettingsFault(f"{name}_FILE: {path} cannot be read: {reason}.") from None
    if not value:
        raise SettingsFault(f"{name}_FILE: {path} is empty.")
    return Secret(value)
