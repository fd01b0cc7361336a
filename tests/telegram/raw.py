"""Updates as the service sends them, for tests that read them without a service."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from bot.channels.telegram.events import Account, Event
from bot.channels.telegram.updates import read

ME = Account(4839574812, "rackside_test_bot")
NOW = datetime(2026, 3, 3, 19, 5, tzinfo=UTC)
SAID_AT = int(NOW.timestamp()) - 60

ANN = {"id": 7001, "is_bot": False, "first_name": "Ann", "last_name": "Reed"}
BOT = {"id": ME.id, "is_bot": True, "first_name": "Rackside", "username": ME.username}
PRIVATE = {"id": 7001, "type": "private", "first_name": "Ann"}
GROUP = {"id": -500, "type": "group", "title": "Rack"}
SUPERGROUP = {"id": -1001234567890, "type": "supergroup", "title": "Rack", "is_forum": True}


def message(chat: dict[str, Any] = PRIVATE, **fields: object) -> dict[str, Any]:
    """A message of Ann, number 41."""
    return {"message_id": 41, "date": SAID_AT, "chat": chat, "from": ANN, **fields}


def heard(chat: dict[str, Any] = PRIVATE, **fields: object) -> Event | None:
    """What a message of Ann tells."""
    return read({"update_id": 9, "message": message(chat, **fields)}, ME, NOW)


def told(**update: object) -> Event | None:
    """What an update tells."""
    return read({"update_id": 9, **update}, ME, NOW)
