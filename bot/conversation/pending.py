"""A Meaning as JSON and back, so that what a question is about outlives the process that asked it.

Plain JSON values stand as they are; everything else is an object whose "$" names what it was.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from datetime import date, time
from typing import Any

from bot.language.meaning import Amend, Ask, Choice, Entry, Evidence, Meaning, Plan, Setup

Json = dict[str, Any]

_RECORDS: Mapping[str, type] = {
    record.__name__: record for record in (Amend, Ask, Choice, Entry, Evidence, Meaning, Plan, Setup)
}


def to_json(meaning: Meaning) -> Json:
    """The Meaning as a JSON object; what `from_json` makes of it is equal to it."""
    packed: Json = _pack(meaning)
    return packed


def from_json(stored: Mapping[str, Any]) -> Meaning:
    """The Meaning that `to_json` put away. Raises ValueError for anything else."""
    meaning = _unpack(stored)
    if not isinstance(meaning, Meaning):
        raise ValueError(f"not a stored Meaning: {meaning!r}")  # noqa: TRY004 - it is the value that is wrong
    return meaning


def _pack(value: Any) -> Any:  # noqa: ANN401 - any field of a Meaning
    if type(value).__name__ in _RECORDS:
        own = {field.name: _pack(getattr(value, field.name)) for field in fields(value)}
        return {"$": type(value).__name__, "of": own}
    if isinstance(value, date):
        return {"$": "date", "of": value.isoformat()}
    if isinstance(value, time):
        return {"$": "time", "of": value.isoformat()}
    if isinstance(value, tuple):
        return {"$": "tuple", "of": [_pack(item) for item in value]}
    if isinstance(value, Mapping):
        return {"$": "map", "of": {key: _pack(item) for key, item in value.items()}}
    return [_pack(item) for item in value] if isinstance(value, list) else value


def _unpack(value: Any) -> Any:  # noqa: ANN401 - any field of a Meaning
    if isinstance(value, list):
        return [_unpack(item) for item in value]
    if not isinstance(value, Mapping):
        return value
    kind, held = str(value.get("$")), value.get("of")
    if kind in _RECORDS and isinstance(held, Mapping):
        return _RECORDS[kind](**{name: _unpack(item) for name, item in held.items()})
    return _unpack_plain(kind, held)


def _unpack_plain(kind: str, held: Any) -> Any:  # noqa: ANN401 - any field of a Meaning
    match kind:
        case "date":
            return date.fromisoformat(held)
        case "time":
            return time.fromisoformat(held)
        case "tuple":
            return tuple(_unpack(item) for item in held)
        case "map":
            return {key: _unpack(item) for key, item in held.items()}
        case _:
            raise ValueError(f"not part of a stored Meaning: {kind!r}")
