"""Fetching the photos that members sent, and decrypting those of encrypted rooms."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from nio import EncryptionError
from nio.crypto.attachments import decrypt_attachment

from bot.channels.matrix.link import UNREACHABLE, Link, Refused, granted
from bot.channels.matrix.rooms import CHANNEL
from bot.channels.media import media_type
from bot.channels.port import House, WantedPhoto

GLANCE = 15.0
"""Seconds between looks for photos that are wanted again."""

LIMIT = 60.0
"""Seconds that a photo may take."""

LARGEST = 30 * 1024 * 1024
"""Bytes; a larger file is no photo from a telephone."""

_GONE = frozenset({"M_NOT_FOUND", "M_FORBIDDEN", "M_NOT_YET_UPLOADED", "M_TOO_LARGE"})

_log = logging.getLogger(__name__)


class NoPhoto(Exception):
    """What lies there is no photo, or cannot be decrypted, and will not become one."""


@dataclass(slots=True)
class Fetcher:
    """Fetches what the house wants while the homeserver answers; `wanted` is set when a photo has come."""

    house: House
    link: Link
    online: asyncio.Event
    wanted: asyncio.Event

    async def run(self) -> None:
        """Fetch until cancelled."""
        while True:
            await self.online.wait()
            self.wanted.clear()
            try:
                for photo in await asyncio.to_thread(self.house.wanted_photos, CHANNEL):
                    await self._fetch(photo)
            except Exception:  # noqa: BLE001 - a full disk, say: the next look may go well, and it is logged
                _log.exception("photos could not be looked after")
            try:
                async with asyncio.timeout(GLANCE):
                    await self.wanted.wait()
            except TimeoutError:
                continue

    async def _fetch(self, photo: WantedPhoto) -> None:
        try:
            async with asyncio.timeout(LIMIT):
                data = await self._content(photo.reference)
            kind = _kind(data)
        except NoPhoto as fault:
            await self._failed(photo, fault, for_good=True)
        except Refused as fault:
            await self._failed(photo, fault, for_good=fault.code in _GONE)
        except UNREACHABLE as fault:
            await self._failed(photo, fault, for_good=False)
        else:
            await asyncio.to_thread(self.house.keep_photo, photo, data, kind)

    async def _content(self, reference: Mapping[str, Any]) -> bytes:
        """The photo's bytes, decrypted where it is encrypted."""
        keys = reference.get("file")
        address = keys.get("url") if isinstance(keys, Mapping) else reference.get("url")
        if not isinstance(address, str) or not address.startswith("mxc://"):
            raise NoPhoto("it has no address")
        data: bytes = granted(await self.link.download(address)).body
        if len(data) > LARGEST:
            raise NoPhoto("it is too large")
        if not isinstance(keys, Mapping):
            return data
        try:
            return bytes(decrypt_attachment(data, keys["key"]["k"], keys["hashes"]["sha256"], keys["iv"]))
        except (EncryptionError, KeyError, TypeError, ValueError) as fault:
            raise NoPhoto(f"it cannot be decrypted: {fault!r}") from None

    async def _failed(self, photo: WantedPhoto, fault: Exception, *, for_good: bool) -> None:
        _log.info("a photo could not be fetched: %r", fault)
        await asyncio.to_thread(self.house.photo_failed, photo, for_good=for_good)


def _kind(data: bytes) -> str:
    kind = media_type(data)
    if kind is None or not kind.startswith("image/"):
        raise NoPhoto("its bytes are no picture's")
    return kind
