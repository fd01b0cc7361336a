"""Column types: text that keeps every character, JSON built on it, and moments in UTC.

A database takes neither lone surrogates (no UTF-8) nor, on some servers, NUL. Both are escaped on the way in and restored
on the way out, so that what a keeper typed comes back character for character and ordinary text is stored as it is.
"""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import DateTime, Text
from sqlalchemy.types import TypeDecorator

if TYPE_CHECKING:
    from sqlalchemy.engine import Dialect

_MARK = "\x1a"  # SUBSTITUTE: stands for a character that cannot be represented, and nobody types it
_UNSTORABLE = re.compile(f"[\0{_MARK}\ud800-\udfff]")
_ESCAPED = re.compile(_MARK + "([0-9a-f]{4})")


def escape(text: str) -> str:
    """Text that any database keeps: NUL, lone surrogates and the mark itself become the mark and four hex digits."""
    return _UNSTORABLE.sub(lambda found: f"{_MARK}{ord(found[0]):04x}", text)


def unescape(stored: str) -> str:
    """Undo `escape`: the text as it was typed."""
    if _MARK not in stored:  # nearly always, and every row that is read comes by here
        return stored
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), stored)


class FaithfulText(TypeDecorator[str]):
    """Text of any length and any characters, NUL and lone surrogates among them."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """Escape on the way in."""
        del dialect
        return None if value is None else escape(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> str | None:
        """Restore on the way out."""
        del dialect
        return None if value is None else unescape(value)


class FaithfulJson(TypeDecorator[Any]):
    """A JSON value, kept as readable text; tuples come back as lists."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: object, dialect: Dialect) -> str | None:
        """Write as JSON. Raises TypeError (as StatementError) for what JSON has no word for."""
        del dialect
        return None if value is None else escape(json.dumps(value, ensure_ascii=False))

    def process_result_value(self, value: str | None, dialect: Dialect) -> Any:  # noqa: ANN401 - any JSON value
        """Read back."""
        del dialect
        return None if value is None else json.loads(unescape(value))


class UtcDateTime(TypeDecorator[datetime]):
    """A moment: aware in Python, UTC in the database. A naive datetime is refused with ValueError."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Turn into UTC; SQLite keeps it without a zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            message = f"a moment needs a time zone: {value.isoformat()}"
            raise ValueError(message)
        moment = value.astimezone(UTC)
        return moment.replace(tzinfo=None) if dialect.name == "sqlite" else moment

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Give the zone back."""
        del dialect
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
