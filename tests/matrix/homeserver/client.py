"""A Matrix client with a sync loop of its own: connects, hears, and goes on when the server was away.

`Client` is the lower half of a `Person`; what a person does in rooms stands there.
"""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Callable
from pathlib import Path
from typing import Any, Self

import aiohttp
from nio import (
    AsyncClient,
    AsyncClientConfig,
    EncryptionError,
    MatrixRoom,
    MegolmEvent,
    ReceiptEvent,
    SyncResponse,
    TypingNoticeEvent,
)

from tests.matrix.homeserver.heard import Heard, heard_from
from tests.matrix.homeserver.server import Account

LONG_POLL = 2000
"""Milliseconds that a sync waits for news."""

EVERYTHING = {"room": {"timeline": {"limit": 1000}}}
"""The sync filter: no gap after less than a thousand events, so that nobody has to fill one."""

PAUSE = 0.2
"""Seconds between tries while the server is away."""


class Client:
    """One account on one device; its crypto store is in `folder`, and lasts as long as that does."""

    def __init__(self, url: str, account: Account, folder: Path) -> None:
        self.account = account
        self.user_id = account.user_id
        self.heard: list[Heard] = []
        """All events of all rooms, in the order in which the server gave them."""
        self.receipts: dict[tuple[str, str], str] = {}
        """By room and user, the last event read."""
        self.typing: dict[str, tuple[str, ...]] = {}
        """By room, who is typing now."""
        folder.mkdir(parents=True, exist_ok=True)
        settings = AsyncClientConfig(max_timeouts=0, request_timeout=30, store_sync_tokens=False)
        self.nio = AsyncClient(url, account.user_id, account.device_id, str(folder), settings)
        self._news = asyncio.Condition()
        self._unread: dict[str, tuple[int, MegolmEvent]] = {}
        self._loop: asyncio.Task[None] | None = None

    async def __aenter__(self) -> Self:
        await self.connect()
        return self

    async def __aexit__(self, *_error: object) -> None:
        await self.disconnect()

    async def connect(self) -> None:
        """Open the store, hear what is there, publish the device's keys, and listen from then on."""
        self.nio.restore_login(self.account.user_id, self.account.device_id, self.account.access_token)
        self.nio.add_event_callback(self._on_event, None)
        self.nio.add_ephemeral_callback(self._on_receipt, ReceiptEvent)
        self.nio.add_ephemeral_callback(self._on_typing, TypingNoticeEvent)
        await self._sync(0)
        self._loop = asyncio.create_task(self._listen())

    async def disconnect(self) -> None:
        """Stop listening; the connection and the store are closed, the device stays known to the server."""
        listening, self._loop = self._loop, None
        try:
            if listening is not None:
                listening.cancel()
                with contextlib.suppress(asyncio.CancelledError):
                    await listening
        finally:
            await self.nio.close()
            if self.nio.store is not None:
                self.nio.store.database.close()

    async def until(self, holds: Callable[[], bool], timeout: float, missing: Callable[[], str]) -> None:  # noqa: ASYNC109 - the timeout's error tells what was heard instead
        """Wait until something heard makes `holds` true; AssertionError with `missing`'s words after `timeout` s."""
        try:
            async with asyncio.timeout(timeout), self._news:
                await self._news.wait_for(lambda: self._listening() and holds())
        except TimeoutError:
            raise AssertionError(f"{self.user_id} waited {timeout:g} s for {missing()}") from None

    def _listening(self) -> bool:
        """True; where the loop has broken, its error comes out here, in the test."""
        if self._loop is not None and self._loop.done():
            self._loop.result()
        return True

    async def _listen(self) -> None:
        try:
            while True:
                await self._sync(LONG_POLL)
        finally:
            async with self._news:
                self._news.notify_all()

    async def _sync(self, wait: int) -> None:
        """One sync and what it asks of the device's keys; a pause instead where the server does not answer."""
        try:
            first = not self.nio.next_batch
            said = await self.nio.sync(wait, EVERYTHING, full_state=first)
            await self._tend_keys()
        except (aiohttp.ClientError, TimeoutError):
            await asyncio.sleep(PAUSE)
            return
        if not isinstance(said, SyncResponse):
            await asyncio.sleep(PAUSE)
        self._read_again()
        async with self._news:
            self._news.notify_all()

    async def _tend_keys(self) -> None:
        await self.nio.send_to_device_messages()
        if self.nio.should_upload_keys:
            await self.nio.keys_upload()
        if self.nio.should_query_keys:
            await self.nio.keys_query()
        if self.nio.should_claim_keys:
            await self.nio.keys_claim(self.nio.get_users_for_key_claiming())

    async def _on_event(self, room: MatrixRoom, event: Any) -> None:  # noqa: ANN401 - nio gives events it could not parse a class of their own
        if isinstance(event, MegolmEvent):
            self._unread[event.event_id] = (len(self.heard), event)
        decrypted = bool(getattr(event, "decrypted", False)) or isinstance(event, MegolmEvent)
        self.heard.append(heard_from(event.source, room.room_id, encrypted=decrypted))

    def _read_again(self) -> None:
        """Events whose key came later are put where they were heard."""
        for event_id, (place, event) in list(self._unread.items()):
            with contextlib.suppress(EncryptionError):
                source = self.nio.decrypt_event(event).source
                self.heard[place] = heard_from(source, self.heard[place].room, encrypted=True)
                del self._unread[event_id]

    async def _on_receipt(self, room: MatrixRoom, event: ReceiptEvent) -> None:
        for receipt in event.receipts:
            self.receipts[room.room_id, receipt.user_id] = receipt.event_id

    async def _on_typing(self, room: MatrixRoom, event: TypingNoticeEvent) -> None:
        self.typing[room.room_id] = tuple(event.users)
