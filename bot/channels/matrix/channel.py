"""The channel put together: one account on one device, served until told to stop."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from bot.channels.matrix.attention import Attention
from bot.channels.matrix.credentials import FOLDER, UNREAD, held, load
from bot.channels.matrix.link import UNREACHABLE, Link, Refused, granted, opened
from bot.channels.matrix.origins import Origins
from bot.channels.matrix.photos import Fetcher
from bot.channels.matrix.rooms import CHANNEL, Doorman
from bot.channels.matrix.sending import Sender
from bot.channels.matrix.shelf import Shelf
from bot.channels.matrix.sync import Reader
from bot.channels.port import House
from bot.errors import RacksideError

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Patience:
    """How long things may take, in seconds.

    `stay`: in a room without a member before it is left; `rounds`: between looks at that; `key`: for the key of a message before
    its sender is told that it cannot be read. `rest` waits between failures.
    """

    stay: float = 600.0
    rounds: float = 30.0
    key: float = 10.0
    rest: Callable[[float], Awaitable[None]] = asyncio.sleep


PATIENT = Patience()

PICK_UP = 5.0
"""Seconds before a part that fell over is taken up again."""


async def serve(
    house: House,
    data: Path,
    stop: asyncio.Event,
    wake: Callable[[], None],
    parcels: asyncio.Event,
    *,
    patience: Patience = PATIENT,
) -> None:
    """Serve the account that is logged in on the data folder, until `stop` is set.

    `wake` is called when there is something to handle, and `parcels` is set when there may be something to send. Raises
    RacksideError where nobody is logged in, the crypto store is lost, another process serves the account, or the homeserver does
    not know the login any more.
    """
    folder = data / FOLDER
    with held(folder):
        credentials = load(folder)
        link = opened(credentials, folder)
        online, photos = asyncio.Event(), asyncio.Event()
        doorman, attention = Doorman(house, link, patience.stay), Attention(house, link)
        shelf = Shelf.open(folder / UNREAD, patience.key)
        sender = Sender(house, link, doorman, online, parcels)
        reader = Reader(
            house, link, doorman, shelf, attention, sender, Origins(link), wake, online, photos, patience.rest
        )
        fetcher = Fetcher(house, link, online, photos)

        async def walk() -> None:
            await _walk(house, link, doorman, online, patience.rounds)

        parts = (reader.run, sender.run, attention.run, fetcher.run, walk)
        try:
            await _until(stop, *(_kept_up(part, patience.rest) for part in parts))
        finally:
            await link.end()


async def _walk(house: House, link: Link, doorman: Doorman, online: asyncio.Event, rounds: float) -> None:
    """Say who we are once the homeserver answers, and leave rooms from time to time."""
    await online.wait()
    with suppress(Refused, *UNREACHABLE):
        named = granted(await link.get_displayname()).displayname
        await asyncio.to_thread(house.introduce, CHANNEL, link.user_id, named or link.user_id)
    while True:
        await online.wait()
        with suppress(Refused, *UNREACHABLE):
            await doorman.leave_strangers()
        await asyncio.sleep(rounds)


async def _kept_up(part: Callable[[], Awaitable[None]], rest: Callable[[float], Awaitable[None]]) -> None:
    """Run a part again, after a rest, where it fell over: a full disk or a mistake of ours is no reason to fall silent.

    What the keeper must be told ends it: raises RacksideError.
    """
    while True:
        try:
            await part()
        except RacksideError:
            raise
        except Exception:  # noqa: BLE001 - whatever it is, it is logged, and nothing was taken or sent by halves
            _log.exception("a part of the Matrix channel stumbled, and is taken up again")
            await rest(PICK_UP)


async def _until(stop: asyncio.Event, *parts: Awaitable[None]) -> None:
    """Run the parts until `stop` is set, or one of them fails: then its error is raised."""
    stopping = asyncio.ensure_future(stop.wait())
    tasks = [asyncio.ensure_future(part) for part in parts]
    try:
        done, _ = await asyncio.wait([stopping, *tasks], return_when=asyncio.FIRST_COMPLETED)
        for task in done:
            task.result()
    finally:
        for task in (stopping, *tasks):
            task.cancel()
        await asyncio.gather(stopping, *tasks, return_exceptions=True)
