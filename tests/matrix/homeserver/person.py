"""A keeper at a Matrix client: makes rooms, says, edits, takes back, replies, reacts, sends photos, and hears answers.

A test reads like a list: `await ana.say(room, "fed B 3")`, then `reply = await ana.hears(room, "Written")`.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

from nio import (
    JoinResponse,
    RoomCreateResponse,
    RoomInviteResponse,
    RoomLeaveResponse,
    RoomPutStateResponse,
    RoomRedactResponse,
    RoomSendResponse,
)

from tests.matrix.homeserver.attachments import fetch, upload
from tests.matrix.homeserver.client import Client
from tests.matrix.homeserver.heard import Heard
from tests.matrix.homeserver.server import Account
from tests.patience import PATIENCE

MESSAGE = "m.room.message"
REACTION = "m.reaction"
ENCRYPTION: dict[str, Any] = {"type": "m.room.encryption", "content": {"algorithm": "m.megolm.v1.aes-sha2"}}
"""Seconds that a person waits for an answer unless told otherwise."""

Wanted = str | Callable[[Heard], bool]
"""What is waited for: a message whose text holds these words, or any event that the function is true of."""

Answer = TypeVar("Answer")


class Refused(Exception):
    """The server refused what a person did; the text is nio's answer."""


class Person(Client):
    """A user at one device, who sends to all devices, verified or not, as most people do."""

    def __init__(self, url: str, account: Account, folder: Path) -> None:
        super().__init__(url, account, folder)
        self.folder = folder
        self._sent: set[str] = set()
        self._up_to: dict[str, int] = {}

    # Rooms

    async def makes_room(self, *invited: str, encrypted: bool = False) -> str:
        """Make a private room and invite these users into it; gives the room's id."""
        said = await self.nio.room_create(invite=invited, initial_state=[ENCRYPTION] if encrypted else [])
        room: str = _granted(said, RoomCreateResponse).room_id
        await self._in(room)
        return room

    async def room_with(self, *others: str, encrypted: bool = False) -> str:
        """Make a room for these users, who join by themselves; gives its id once they are in and can read."""
        room = await self.makes_room(*others, encrypted=encrypted)
        for other in others:
            await self.sees_joined(room, other)
            if encrypted:
                await self.knows_device(other)
        return room

    async def turn_on_encryption(self, room: str) -> None:
        """From now on what is said in the room is encrypted; that cannot be undone."""
        said = await self.nio.room_put_state(room, ENCRYPTION["type"], ENCRYPTION["content"])
        _granted(said, RoomPutStateResponse)
        await self.until(lambda: self.encrypted(room), PATIENCE, lambda: f"encryption in {room}")

    async def invite(self, room: str, user_id: str) -> None:
        """Ask a user into a room."""
        _granted(await self.nio.room_invite(room, user_id), RoomInviteResponse)

    async def join(self, room: str) -> None:
        """Go into a room that this person was asked into."""
        _granted(await self.nio.join(room), JoinResponse)
        await self._in(room)

    async def leave(self, room: str) -> None:
        """Go out of a room."""
        _granted(await self.nio.room_leave(room), RoomLeaveResponse)

    async def sees_invitation(self, room: str, timeout: float = PATIENCE) -> None:  # noqa: ASYNC109 - passed on to Client.until
        """Wait until asked into the room."""
        await self.until(lambda: room in self.nio.invited_rooms, timeout, lambda: f"an invitation into {room}")

    async def sees_joined(self, room: str, user_id: str, timeout: float = PATIENCE) -> None:  # noqa: ASYNC109 - passed on to Client.until
        """Wait until a user is in the room."""
        await self.until(lambda: user_id in self.members(room), timeout, lambda: f"{user_id} in {self.members(room)}")

    async def knows_device(self, user_id: str, device_id: str = "", timeout: float = PATIENCE) -> None:  # noqa: ASYNC109 - passed on to Client.until
        """Wait until the keys of this device of a user in a shared encrypted room are known; any device's if not said.

        What is said before that cannot be read there.
        """

        def known() -> bool:
            devices = self.nio.device_store.active_user_devices(user_id)
            return any(device_id in {"", device.id} for device in devices)

        await self.until(known, timeout, lambda: f"the keys of a device {device_id} of {user_id}")

    def members(self, room: str) -> frozenset[str]:
        """Who is in the room, as far as this person has heard."""
        known = self.nio.rooms.get(room)
        return frozenset(user for user in known.users if user not in known.invited_users) if known else frozenset()

    def encrypted(self, room: str) -> bool:
        """Whether what is said in the room is encrypted."""
        return bool(self.nio.rooms[room].encrypted)

    # Saying

    async def say(
        self,
        room: str,
        text: str,
        *,
        html: str = "",
        reply_to: str = "",
        mentions: Sequence[str] = (),
        msgtype: str = "m.text",
        transaction: str = "",
    ) -> str:
        """Say something; gives the event's id."""
        content: dict[str, Any] = {"msgtype": msgtype, "body": text}
        if html:
            content |= {"format": "org.matrix.custom.html", "formatted_body": html}
        if reply_to:
            content["m.relates_to"] = {"m.in_reply_to": {"event_id": reply_to}}
        if mentions:
            content["m.mentions"] = {"user_ids": list(mentions)}
        return await self.send(room, MESSAGE, content, transaction)

    async def edit(self, room: str, event_id: str, text: str) -> str:
        """Say that an earlier message of one's own reads differently now; gives the edit's id."""
        content = {
            "msgtype": "m.text",
            "body": f"* {text}",
            "m.new_content": {"msgtype": "m.text", "body": text},
            "m.relates_to": {"rel_type": "m.replace", "event_id": event_id},
        }
        return await self.send(room, MESSAGE, content)

    async def react(self, room: str, event_id: str, key: str) -> str:
        """Put a sign on a message; gives the reaction's id, by which it can be taken back."""
        relation = {"rel_type": "m.annotation", "event_id": event_id, "key": key}
        return await self.send(room, REACTION, {"m.relates_to": relation})

    async def redact(self, room: str, event_id: str, reason: str | None = None) -> str:
        """Take an event back; gives the redaction's id."""
        said = await self.nio.room_redact(room, event_id, reason)
        return self._told(_granted(said, RoomRedactResponse).event_id)

    async def send_photo(self, room: str, data: bytes, *, caption: str = "", name: str = "photo.jpg") -> str:
        """Send a JPEG, encrypted where the room is; with a caption, that is the body and the name stands beside it."""
        where = await upload(self.nio, data, "image/jpeg", name, encrypted=self.encrypted(room))
        return await self.send(
            room, MESSAGE, {"msgtype": "m.image", "body": caption or name, "filename": name, **where}
        )

    async def send(self, room: str, kind: str, content: dict[str, Any], transaction: str = "") -> str:
        """Send any event, encrypted where the room is; gives its id."""
        said = await self.nio.room_send(room, kind, content, transaction or None, ignore_unverified_devices=True)
        return self._told(_granted(said, RoomSendResponse).event_id)

    async def fetch(self, event: Heard) -> bytes:
        """The file that a message carries, decrypted where it is encrypted."""
        return await fetch(self.nio, event.content)

    # Hearing

    async def hears(self, room: str, wanted: Wanted, timeout: float = PATIENCE) -> Heard:  # noqa: ASYNC109 - passed on to Client.until
        """Wait for the next event that is wanted, past the one that was last waited for in this room."""
        matches = wanted if callable(wanted) else _says(wanted)
        found: list[tuple[int, Heard]] = []

        def came() -> bool:
            found[:] = [(place, event) for place, event in self._fresh(room) if matches(event)]
            return bool(found)

        await self.until(came, timeout, lambda: f"{wanted!r}; heard since: {self._told_since(room)}")
        place, event = found[0]
        self._up_to[room] = place + 1
        return event

    async def hears_messages(self, room: str, count: int, timeout: float = PATIENCE) -> list[Heard]:  # noqa: ASYNC109 - passed on to Client.until
        """Wait for the next `count` messages of others in this room; gives them in order."""
        async with asyncio.timeout(timeout + 1):
            return [await self.hears(room, lambda event: event.kind == MESSAGE, timeout) for _ in range(count)]

    async def hears_nothing(self, room: str, seconds: float) -> None:
        """Wait for so long; AssertionError if others say anything in this room meanwhile."""
        await asyncio.sleep(seconds)
        said = [event for _, event in self._fresh(room) if event.kind in {MESSAGE, REACTION, "m.room.encrypted"}]
        assert not said, f"{self.user_id} heard {said}"

    async def sees_read(self, room: str, reader: str, event_id: str, timeout: float = PATIENCE) -> None:  # noqa: ASYNC109 - passed on to Client.until
        """Wait until a user's read receipt stands at the event."""
        seen = self.receipts
        await self.until(lambda: seen.get((room, reader)) == event_id, timeout, lambda: f"a receipt; {seen}")

    def all_in(self, room: str) -> list[Heard]:
        """All that this device heard in the room, own words too, in order."""
        return [event for event in self.heard if event.room == room]

    def _fresh(self, room: str) -> list[tuple[int, Heard]]:
        """What others, or this person at another device, sent since the event last waited for, with its place."""
        start = self._up_to.get(room, 0)
        after = enumerate(self.heard[start:], start)
        return [(at, event) for at, event in after if event.room == room and event.event_id not in self._sent]

    def _told_since(self, room: str) -> Sequence[str]:
        return [f"{event.kind} {event.sender} {event.body!r}" for _, event in self._fresh(room)]

    def _told(self, event_id: str) -> str:
        self._sent.add(event_id)
        return event_id

    async def _in(self, room: str) -> None:
        await self.until(lambda: self.user_id in self.members(room), PATIENCE, lambda: f"being in {room}")


def _says(words: str) -> Callable[[Heard], bool]:
    return lambda event: event.kind == MESSAGE and words in (event.new_body or event.body)


def _granted(said: object, kind: type[Answer]) -> Answer:
    """The answer if it is of the kind that grants what was asked; Refused if not."""
    if not isinstance(said, kind):
        raise Refused(str(said))
    return said
