"""Taking out what the house has to say: one parcel of each chat at a time, each under a transaction id made from its row.

A parcel that was sent already, when a process was killed before it could say so, is known to the homeserver by that id and makes
no second message. In an encrypted room nothing is sent without encryption, and all devices of all members are given the key,
whether anybody has verified them or not.
"""

from __future__ import annotations

import asyncio
import hashlib
import io
import logging
from collections import deque
from dataclasses import dataclass, field
from pathlib import Path

from nio import LocalProtocolError

from bot.channels.matrix import content
from bot.channels.matrix.content import Content
from bot.channels.matrix.link import UNREACHABLE, Link, Refused, granted
from bot.channels.matrix.rooms import CHANNEL, Doorman, is_private
from bot.channels.media import media_type
from bot.channels.pauses import pause
from bot.channels.port import House, Parcel

GLANCE = 0.2
"""Seconds between looks for something to send; the house also rings."""

LIMIT = 50.0
"""Seconds that a parcel may take: the house holds it for us for a minute."""

LONGEST_PAUSE = 60.0
NOT_IN_YET = 2.0
"""Seconds to wait for a room that we are only just coming into."""

MOST_STUMBLES = 3

_CLOSED = frozenset({"M_FORBIDDEN", "M_NOT_FOUND"})
_NEVER = frozenset({"M_TOO_LARGE", "M_BAD_JSON", "M_NOT_JSON", "M_INVALID_PARAM"})

_log = logging.getLogger(__name__)


class NoSuchRoom(Exception):
    """We are not in that room."""


class Unsendable(Exception):
    """A parcel that can never be sent: its file is gone, or its room is encrypted and we have no keys."""


@dataclass(frozen=True, slots=True)
class _Line:
    room: str
    text: str
    about: str
    hangs: bool


@dataclass(slots=True)
class Sender:
    """Sends parcels while the homeserver answers, and lines that are kept nowhere."""

    house: House
    link: Link
    doorman: Doorman
    online: asyncio.Event
    parcels: asyncio.Event
    _lines: deque[_Line] = field(default_factory=deque)

    def say_at_once(self, room: str, text: str, about: str, *, hangs: bool = True) -> None:
        """Have a line sent to a room, about an event; if that fails, it is not sent again.

        In a room of several it hangs on the event as a reply, unless `hangs` is false.
        """
        self._lines.append(_Line(room, text, about, hangs=hangs))
        self.parcels.set()

    async def run(self) -> None:
        """Send until cancelled."""
        while True:
            await self.online.wait()
            self.parcels.clear()
            while self._lines:
                await self._say_line(self._lines.popleft())
            waiting = await asyncio.to_thread(self.house.parcels, CHANNEL)
            for parcel in waiting:
                await self._deliver(parcel)
            if not waiting:
                await _rung(self.parcels)

    async def _deliver(self, parcel: Parcel) -> None:
        """Send a parcel and tell the house what came of it."""
        try:
            async with asyncio.timeout(LIMIT):
                key = await self._send(parcel)
        except NoSuchRoom:
            await self._shut(parcel)
        except Unsendable as fault:
            await asyncio.to_thread(self.house.give_up, parcel, str(fault))
        except Refused as fault:
            await self._refused(parcel, fault)
        except (LocalProtocolError, *UNREACHABLE) as fault:
            await self._put_off(parcel, repr(fault))
        except Exception as fault:  # noqa: BLE001 - a mistake of ours with one parcel must not keep the others back
            await self._stumbled(parcel, fault)
        else:
            await asyncio.to_thread(self.house.sent, parcel, key)
            await self._offer_signs(parcel, key)

    async def _send(self, parcel: Parcel) -> str:
        """Send a parcel, its files after one another; the event's id, of several the first."""
        room = parcel.chat
        if not parcel.reply.files:
            said = content.words(parcel, shared=not is_private(self.link, room))
            return await self._post(room, content.MESSAGE, said, content.transaction(parcel))
        keys = []
        for part, file in enumerate(parcel.reply.files):
            path = await asyncio.to_thread(self.house.file, file.path)
            caption = content.plain(parcel.reply) if part == 0 else ""
            said = await self._uploaded(room, path, file.name or path.name, caption)
            keys.append(await self._post(room, content.MESSAGE, said, content.transaction(parcel, part)))
        return keys[0]

    async def _post(self, room: str, kind: str, said: Content, transaction: str) -> str:
        """Send one event, encrypted where the room is; its id."""
        if self._is_encrypted(room) and kind != content.REACTION:  # reactions are not encrypted, by no client
            await self.link.share_room_key(room)
        sent = granted(await self.link.room_send(room, kind, said, transaction, ignore_unverified_devices=True))
        return str(sent.event_id)

    async def _uploaded(self, room: str, path: Path, name: str, caption: str) -> Content:
        """The content for a file, once it lies with the homeserver, encrypted where the room is."""
        try:
            data = await asyncio.to_thread(path.read_bytes)
        except OSError as fault:
            raise Unsendable(f"the file {path.name} cannot be read: {fault.strerror}") from None
        kind = media_type(data) or "application/octet-stream"
        encrypt = self._is_encrypted(room)
        answer, keys = await self.link.upload(io.BytesIO(data), kind, name, encrypt=encrypt, filesize=len(data))
        address = granted(answer).content_uri
        where = {"url": address} if keys is None else {"file": {**keys, "url": address}}
        return content.file_words({**where, "info": {"mimetype": kind, "size": len(data)}}, name, kind, caption)

    def _is_encrypted(self, room: str) -> bool:
        known = self.link.rooms.get(room)
        if known is None:
            raise NoSuchRoom
        if not known.encrypted:
            return False
        if self.link.olm is None:
            raise Unsendable("the room is encrypted, and the bot has no keys")
        return True

    async def _offer_signs(self, parcel: Parcel, key: str) -> None:
        """Put the signs of the choices on a question. They are listed with numbers too, so a failure is let be."""
        for place, said in enumerate(content.reactions(parcel, key), 1):
            try:
                async with asyncio.timeout(LIMIT):
                    await self._post(parcel.chat, content.REACTION, said, f"{content.transaction(parcel)}-sign-{place}")
            except Refused as fault:
                if fault.code == "M_DUPLICATE_ANNOTATION":
                    continue
                if fault.wait is None:
                    return
                await asyncio.sleep(min(fault.wait, NOT_IN_YET))
            except (NoSuchRoom, LocalProtocolError, *UNREACHABLE):
                return

    async def _say_line(self, line: _Line) -> None:
        answered = line.about if line.hangs and not is_private(self.link, line.room) else None
        name = hashlib.sha256(line.about.encode("utf-8", "replace")).hexdigest()[:24]
        try:
            async with asyncio.timeout(LIMIT):
                said = content.line(line.text, answered)
                await self._post(line.room, content.MESSAGE, said, f"rackside-line-{name}")
        except (NoSuchRoom, Unsendable, Refused, LocalProtocolError, *UNREACHABLE) as fault:
            _log.info("a line could not be said: %r", fault)

    async def _shut(self, parcel: Parcel) -> None:
        """The bot is not in the parcel's room: it waits there if it is only just coming in, else the chat takes nothing."""
        if parcel.chat not in self.doorman.entering:
            await asyncio.to_thread(self.house.block, CHANNEL, parcel.chat)
        await asyncio.to_thread(self.house.put_off, parcel, NOT_IN_YET)

    async def _refused(self, parcel: Parcel, fault: Refused) -> None:
        if fault.wait is not None:
            await asyncio.to_thread(self.house.put_off, parcel, fault.wait)
        elif fault.code in _CLOSED:
            await self._shut(parcel)
        elif fault.code in _NEVER:
            await asyncio.to_thread(self.house.give_up, parcel, str(fault))
        else:
            await self._put_off(parcel, str(fault))

    async def _stumbled(self, parcel: Parcel, fault: Exception) -> None:
        """Try a parcel again that we fell over, and after some tries no more: those after it in its chat wait for it."""
        _log.error("a message to Matrix stumbled", exc_info=fault)
        if parcel.tries >= MOST_STUMBLES:
            await asyncio.to_thread(self.house.give_up, parcel, repr(fault))
        else:
            await self._put_off(parcel, repr(fault))

    async def _put_off(self, parcel: Parcel, error: str) -> None:
        wait = pause(parcel.tries, 1.0, LONGEST_PAUSE)
        await asyncio.to_thread(self.house.put_off, parcel, wait, error)


async def _rung(bell: asyncio.Event) -> None:
    """Wait for the bell, or a glance."""
    try:
        async with asyncio.timeout(GLANCE):
            await bell.wait()
    except TimeoutError:
        return
