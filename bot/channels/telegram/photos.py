"""Fetches the files of photos. The address of a file holds the token, so it is neither kept nor logged."""

from __future__ import annotations

import asyncio
import logging
from dataclasses import dataclass
from typing import TYPE_CHECKING

from telegram.error import BadRequest, TelegramError

from bot.channels.media import media_type
from bot.channels.port import House, WantedPhoto
from bot.channels.telegram.client import CHANNEL, told
from bot.channels.telegram.contents import LARGEST_DOWNLOAD

if TYPE_CHECKING:
    from telegram import Bot

LOOK_EVERY = 1.0

PICTURES = frozenset({"image/jpeg", "image/png", "image/gif", "image/webp"})
"""What the service sends as a photo."""

_log = logging.getLogger(__name__)


class NoPicture(Exception):
    """What the service handed over is no picture, or is too large."""


@dataclass(frozen=True, slots=True)
class PhotoFetcher:
    """Fetches what the house wants."""

    house: House
    bot: Bot

    async def run(self) -> None:
        """Fetch until cancelled."""
        while True:
            try:
                for photo in await asyncio.to_thread(self.house.wanted_photos, CHANNEL):
                    await self._fetch(photo)
            except Exception:  # noqa: BLE001 - the next look may go well, and it is logged
                _log.exception("photos could not be looked after")
            await asyncio.sleep(LOOK_EVERY)

    async def _fetch(self, photo: WantedPhoto) -> None:
        try:
            content, kind = await self._download(str(photo.reference["file_id"]))
        except (BadRequest, NoPicture, LookupError) as fault:
            _log.warning("photo %d cannot be had: %s", photo.id, told(fault))
            await asyncio.to_thread(self.house.photo_failed, photo, for_good=True)
        except TelegramError as fault:
            # Of a lost download the text may hold the file's address, so only the kind of error is told.
            _log.warning("photo %d could not be fetched now: %s", photo.id, type(fault).__name__)
            await asyncio.to_thread(self.house.photo_failed, photo)
        else:
            await asyncio.to_thread(self.house.keep_photo, photo, content, kind)

    async def _download(self, file_id: str) -> tuple[bytes, str]:
        file = await self.bot.get_file(file_id)
        if (file.file_size or 0) > LARGEST_DOWNLOAD:
            raise NoPicture(f"{file.file_size} bytes")
        content = bytes(await file.download_as_bytearray(read_timeout=60.0))
        kind = media_type(content)
        if kind not in PICTURES or len(content) > LARGEST_DOWNLOAD:
            raise NoPicture("no picture, or too large")
        return content, kind
