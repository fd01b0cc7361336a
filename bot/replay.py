"""Replaying a season: a script of messages goes through the very same conversation, under a clock that is set to each.

A script is JSON lines, `at` being the keeper's local clock and `from` the name of a member:
    {"at": "2026-03-03T19:05", "from": "keeper", "text": …, "id": …, "edits": id?, "deletes": id?, "reply_to": id?}
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from bot.app import OWNER, SetClock
from bot.conversation.reply import Reply
from bot.household import Household
from storage import households

CHANNEL = "replay"


class ScriptFault(ValueError):
    """A line of a script cannot be used; the message says which and why."""


@dataclass(frozen=True, slots=True)
class Message:
    """One line of a script; `at` is local and without zone, `key` the id of the message."""

    at: datetime
    sender: str
    text: str
    key: str
    edits: str | None = None
    deletes: str | None = None
    reply_to: str | None = None


def read_script(lines: Iterable[str], zone: str) -> tuple[list[Message], list[ScriptFault]]:
    """The messages of a script in time order, and what is wrong with the lines that are none.

    Of two at the same time the one that stands first comes first; a time with an offset is taken to `zone`.
    """
    messages: list[Message] = []
    faults: list[ScriptFault] = []
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        try:
            messages.append(_message(line, number, zone))
        except ScriptFault as fault:
            faults.append(ScriptFault(f"line {number}: {fault}"))
    return sorted(messages, key=lambda message: message.at), faults


def _message(line: str, number: int, zone: str) -> Message:
    try:
        record = json.loads(line)
    except (ValueError, RecursionError) as fault:
        raise ScriptFault(f"not valid JSON: {fault}") from fault
    if not isinstance(record, dict):
        raise ScriptFault("not a JSON object")
    deletes = _optional(record, "deletes")
    return Message(
        at=_time(_needed(record, "at"), zone),
        sender=_needed(record, "from"),
        text=(_optional(record, "text") or "") if deletes else _needed(record, "text"),
        key=_optional(record, "id") or f"line {number}",
        edits=_optional(record, "edits"),
        deletes=deletes,
        reply_to=_optional(record, "reply_to"),
    )


def _needed(record: Mapping[str, Any], field: str) -> str:
    if not isinstance(record.get(field), str):
        raise ScriptFault(f'the field "{field}" is {"no string" if field in record else "missing"}')
    return str(record[field])


def _optional(record: Mapping[str, Any], field: str) -> str | None:
    """An id or a text that may be left out; a number is taken as written."""
    value = record.get(field)
    return None if value is None else str(value)


def _time(written: str, zone: str) -> datetime:
    try:
        moment = datetime.fromisoformat(written)
    except ValueError as fault:
        raise ScriptFault(f'the field "at" is no time like 2026-03-03T19:05: {written!r}') from fault
    return moment if moment.tzinfo is None else moment.astimezone(ZoneInfo(zone)).replace(tzinfo=None)


def shifted(messages: Sequence[Message], last_day: date) -> list[Message]:
    """The same messages moved in time by whole days, so that the last falls on `last_day`."""
    if not messages:
        return []
    span = timedelta(days=(last_day - messages[-1].at.date()).days)
    return [replace(message, at=message.at + span) for message in messages]


def play(messages: Iterable[Message], household: Household, clock: SetClock) -> Iterator[dict[str, Any]]:
    """Say each message at its time; what the bot says, in time order, as the lines that `rackside replay` prints.

    `clock` must be the household's own. Members are let in as they first speak. What the bot says unasked between two messages comes
    at its own time, with "push": true.
    """
    zone = household.collection.zone
    present: set[str] = set()
    for message in messages:
        yield from _pushed(household, clock, utc(message.at, zone), sorted(present))
        clock.moment = utc(message.at, zone)
        if message.sender not in present:
            let_in(household, message.sender)
            present.add(message.sender)
        hand_in(message, household, CHANNEL)
        household.app.work()
        for reply in household.app.collect(CHANNEL, message.sender):
            yield reply_line(message, reply)


def _pushed(household: Household, clock: SetClock, until: datetime, members: Sequence[str]) -> Iterator[dict[str, Any]]:
    """Let time pass up to the next message, stopping wherever something may have to be said; what is said on the way."""
    if not members:
        return
    household.app.sweep(CHANNEL)
    while (moment := household.app.next_push(until, CHANNEL)) is not None:
        clock.moment = moment
        household.app.sweep(CHANNEL)
        local = moment.astimezone(ZoneInfo(household.collection.zone)).replace(tzinfo=None)
        for name in members:
            for reply in household.app.collect(CHANNEL, name):
                yield _line(local, name, reply) | {"push": True}


def hand_in(message: Message, household: Household, channel: str) -> None:
    """Put one message of a script into the inbox, as from a message service."""
    household.app.receive(
        message.sender,
        message.text,
        channel=channel,
        key=message.key,
        edits=message.edits,
        deletes=message.deletes,
        reply_to=message.reply_to,
    )


def let_in(household: Household, name: str) -> None:
    """Make a member of somebody who speaks for the first time: the first an owner, others keepers."""
    with household.app.store.read() as session:
        if households.member_by_address(session, CHANNEL, name) is not None:
            return
    kept = household.collection.id
    with household.app.store.write() as session:
        first = all(member.channel != CHANNEL for member in households.members(session, kept))
        role = OWNER if first else "keeper"
        households.add_member(session, kept, CHANNEL, name, name, role, household.app.clock.now())


def utc(local: datetime, zone: str) -> datetime:
    """The moment at which the keeper's clock shows `local`; in the hour that comes twice, the first."""
    return local.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)


def reply_line(message: Message, reply: Reply) -> dict[str, Any]:
    """One message of the bot as it is printed."""
    return _line(message.at, message.sender, reply)


def _line(at: datetime, to: str, reply: Reply) -> dict[str, Any]:
    return {
        "at": at.isoformat(timespec="minutes"),
        "to": to,
        "text": reply.text,
        "choices": list(reply.choices),
        "entries": list(reply.entries),
    }
