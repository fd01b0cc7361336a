"""A chat exported as JSON, in either of two forms that are openly documented.

- a desktop client's machine-readable export: {"name", "id", "messages": [{"id", "type": "message", "date", "date_unixtime", "from",
  "from_id", "text": a text or a list of texts and {"type", "text"}, "reply_to_message_id", "edited"}]}. Written by what is published
  of that form, without a file of the real service at hand.
- a Matrix room's events: {"room_name", "messages": [event]} or [event], each as the specification of the client-server API (v1.11,
  "Room events") has them. An edit (`m.replace`) counts as the last words of what it edits.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from bot.moving.told import Contents, ImportFault, Told

Record = Mapping[str, Any]

PICTURES = "pictures and other files"
_QUOTE = re.compile(r"\A(?:> .*\n)+\n?")
"""What a Matrix client puts before an answer: the words that are answered, for clients that know no answers."""


def is_events(value: object) -> bool:
    """Whether a JSON value is a list of Matrix events, or an object that holds one."""
    return any("origin_server_ts" in one for one in _records(_messages(value)))


def is_messages(value: object) -> bool:
    """Whether a JSON value is a desktop client's export of one chat."""
    return isinstance(value, dict) and any("date" in one for one in _records(_messages(value)))


def is_account(value: object) -> bool:
    """Whether a JSON value is the export of a whole account."""
    return isinstance(value, dict) and isinstance(value.get("chats"), dict)


def read_messages(value: Record) -> Contents:
    """The messages of a desktop client's export."""
    left_out: Counter[str] = Counter()
    unreadable: list[str] = []
    told = tuple(_all(_messages(value), _message, left_out, unreadable))
    return Contents("a chat as JSON", str(value.get("id", value.get("name", ""))), told, left_out, tuple(unreadable))


def read_events(value: object) -> Contents:
    """The messages of a Matrix room's events."""
    left_out: Counter[str] = Counter()
    unreadable: list[str] = []
    events = _messages(value)
    told = tuple(_edited(_all(events, _event, left_out, unreadable), list(_records(events))))
    rooms = [str(one["room_id"]) for one in _records(events) if "room_id" in one]
    name = value.get("room_name", "") if isinstance(value, Mapping) else ""
    return Contents("a chat as JSON", rooms[0] if rooms else str(name), told, left_out, tuple(unreadable))


def _messages(value: object) -> Sequence[object]:
    found = value.get("messages") if isinstance(value, Mapping) else value
    return found if isinstance(found, list) else []


def _records(messages: Iterable[object]) -> Iterator[Record]:
    return (one for one in messages if isinstance(one, dict))


def _all(messages: Sequence[object], read: Any, left_out: Counter[str], unreadable: list[str]) -> Iterator[Told]:  # noqa: ANN401 - one of the two readers below
    for place, one in enumerate(messages, 1):
        where = f"message {place}"
        if not isinstance(one, dict):
            unreadable.append(f"{where}: it is no JSON object.")
            continue
        try:
            told = read(one, where, left_out)
        except (ValueError, TypeError, KeyError, OverflowError, OSError) as fault:
            unreadable.append(f"{where}: {_why(fault)}.")
            continue
        if told is not None:
            yield told


def _why(fault: Exception) -> str:
    return f'the field "{fault.args[0]}" is missing' if isinstance(fault, KeyError) else str(fault).rstrip(".")


def _message(one: Record, where: str, left_out: Counter[str]) -> Told | None:
    if one.get("type", "message") != "message":
        left_out["lines of the service itself"] += 1
        return None
    if one.get("forwarded_from"):
        left_out["forwarded messages"] += 1
        return None
    text = _text(one.get("text", "")).strip()
    if any(
        name in one for name in ("photo", "file", "media_type", "location_information", "contact_information", "poll")
    ):
        left_out[PICTURES] += 1
    elif not text:
        left_out["messages without words"] += 1
    if not text:
        return None
    answered = one.get("reply_to_message_id")
    sender_id = str(one.get("from_id") or "")
    return Told(
        _moment(one),
        text,
        f"id {one['id']}",
        where,
        sender=str(one.get("from") or sender_id),
        sender_id=sender_id,
        reply_to=None if answered is None else f"id {answered}",
    )


def _text(value: object) -> str:
    """A text that may be in pieces, some of them objects with more about them."""
    if isinstance(value, str):
        return value
    if not isinstance(value, list):
        raise TypeError('the field "text" is neither a text nor a list')
    return "".join(str(piece.get("text", "")) if isinstance(piece, dict) else str(piece) for piece in value)


def _moment(one: Record) -> datetime:
    """By the count of seconds where it is there; else what the clock of the exporting machine showed."""
    if "date_unixtime" in one:
        return datetime.fromtimestamp(int(one["date_unixtime"]), UTC)
    written = str(one["date"])
    try:
        return datetime.fromisoformat(written)
    except ValueError as fault:
        raise ValueError(f"{written!r} is no time like 2026-01-31T21:14:05") from fault


def _event(one: Record, where: str, left_out: Counter[str]) -> Told | None:
    content = one.get("content")
    if one.get("type") == "m.room.encrypted":
        raise ValueError("it is encrypted; export the room from a client that can read it")
    if one.get("type") != "m.room.message" or "state_key" in one:
        left_out["lines of the service itself"] += 1
        return None
    if not isinstance(content, dict) or "body" not in content:
        left_out["deleted messages"] += 1
        return None
    if _replaces(content) is not None:
        return None  # its words are taken by what it replaces
    if content.get("msgtype") not in {"m.text", "m.emote", "m.notice"}:
        left_out[PICTURES] += 1
        return None
    answered = _relation(content).get("m.in_reply_to")
    text = str(content["body"])
    text = (_QUOTE.sub("", text) if answered else text).strip()
    if not text:
        left_out["messages without words"] += 1
        return None
    return Told(
        datetime.fromtimestamp(int(one["origin_server_ts"]) / 1000, UTC),
        text,
        f"id {one['event_id']}",
        where,
        sender=str(one["sender"]),
        sender_id=str(one["sender"]),
        reply_to=f"id {answered['event_id']}" if isinstance(answered, dict) and "event_id" in answered else None,
    )


def _edited(told: Iterable[Told], events: Sequence[Record]) -> Iterator[Told]:
    """Each with the last words that its sender put in the place of the first."""
    last: dict[tuple[str, str], tuple[int, str]] = {}
    for event in events:
        content = event.get("content")
        replaced = _replaces(content) if isinstance(content, dict) else None
        if replaced is None or not isinstance(content, dict):
            continue
        fresh = content.get("m.new_content")
        if isinstance(fresh, dict) and isinstance(fresh.get("body"), str):
            key, at = (replaced, str(event.get("sender"))), int(event.get("origin_server_ts", 0))
            if key not in last or last[key][0] <= at:
                last[key] = (at, fresh["body"].strip())
    for one in told:
        found = last.get((one.key, one.sender_id))
        yield one if found is None else replace(one, text=found[1])


def _relation(content: Record) -> Record:
    found = content.get("m.relates_to")
    return found if isinstance(found, dict) else {}


def _replaces(content: Record) -> str | None:
    relation = _relation(content)
    return f"id {relation.get('event_id')}" if relation.get("rel_type") == "m.replace" else None


def refuse_account(value: Record) -> None:
    """Raise the ImportFault for the export of a whole account."""
    found = value["chats"].get("list")
    number = len(found) if isinstance(found, list) else 0
    raise ImportFault(f"This is the export of a whole account with {number:,} chats; export the one chat alone.")
