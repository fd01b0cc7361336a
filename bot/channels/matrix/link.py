"""The connection to the homeserver: nio's client, with what a process that may be killed at any moment needs besides.

Three things nio does not do by itself, each of which loses messages for good:
- what one answer changes in the crypto store is kept as a whole, so that no message key is used up before what it unlocked is kept;
- one-time keys are kept before the server has them, so that nobody is given a key whose other half is lost;
- that a room's key did not reach its members is told to who sends, who else would send what nobody can read.
"""

from __future__ import annotations

import logging
from contextlib import closing
from pathlib import Path
from typing import Any

from aiohttp import ClientError, ClientSession, ClientTimeout
from nio import (
    Api,
    AsyncClient,
    AsyncClientConfig,
    ErrorResponse,
    KeysUploadResponse,
    ShareGroupSessionResponse,
    SyncResponse,
)
from nio.store import SqliteStore

from bot.channels.matrix.credentials import STORE, Credentials
from bot.errors import RacksideError

REQUEST_LIMIT = 30
"""Seconds that a request may take; a sync takes as long as it was told to wait, and 15 more."""

_log = logging.getLogger(__name__)

UNREACHABLE = (ClientError, TimeoutError, OSError)
"""What comes up where the homeserver cannot be reached."""


class Refused(Exception):
    """The homeserver said no: `answer` is nio's, `code` the error's name and `wait` the seconds it asks us to wait, if any."""

    def __init__(self, answer: ErrorResponse) -> None:
        super().__init__(str(answer))
        self.answer = answer
        self.code = str(answer.status_code or "")
        self.wait = (answer.retry_after_ms or 1000) / 1000 if self.code == "M_LIMIT_EXCEEDED" else None

    @property
    def is_logged_out(self) -> bool:
        """Whether the access token is no longer known."""
        return self.code in {"M_UNKNOWN_TOKEN", "M_MISSING_TOKEN", "M_USER_DEACTIVATED"}


class Link(AsyncClient):  # type: ignore[misc] # nio carries no types
    """A connection of an account on its device. Nothing is asked twice by itself: who asks decides when to ask again."""

    def __init__(self, credentials: Credentials, folder: Path) -> None:
        settings = AsyncClientConfig(
            store=SqliteStore,
            store_name=STORE,
            pickle_key=credentials.pickle_key.reveal(),
            store_sync_tokens=False,
            max_timeouts=0,
            max_limit_exceeded=0,
            request_timeout=REQUEST_LIMIT,
        )
        super().__init__(credentials.homeserver, credentials.user_id, credentials.device_id, str(folder), settings)
        self.share_failure: Exception | None = None
        self.client_session: ClientSession | None
        self.restore_login(credentials.user_id, credentials.device_id, credentials.token.reveal())

    async def send(self, *details: Any, **more: Any) -> Any:  # noqa: ANN401 - nio's own signature; its answers have no types
        """Send one request, once: left alone, aiohttp asks a server that hangs up a second time at once."""
        if not self.client_session:
            once = ClientSession(timeout=ClientTimeout(total=REQUEST_LIMIT))
            once._retry_connection = False  # noqa: SLF001 - aiohttp offers no other way
            self.client_session = once
        return await super().send(*details, **more)

    async def receive_response(self, response: Any) -> None:  # noqa: ANN401 - as above
        """Take in an answer; what that changes in the crypto store is kept as a whole.

        Nothing in here waits, since no callbacks are set, so no other task comes between begin and commit. An answer to a sync
        that nio stumbles over is logged: its messages are still there to be read.
        """
        if self.store is None:
            await super().receive_response(response)
            return
        with self.store.database.atomic():
            try:
                await super().receive_response(response)
            except Exception:
                if not isinstance(response, SyncResponse):
                    raise
                _log.exception("nio could not take in all of a sync")

    async def keys_upload(self) -> Any:  # noqa: ANN401 - as above
        """Give the server one-time keys, kept here first, and as given out: a key may be lost, but never used twice."""
        keys = self.olm.share_keys()
        self.olm.mark_keys_as_published()
        self.olm.save_account()
        method, path, data = Api.keys_upload(self.access_token, keys)
        return await self._send(KeysUploadResponse, method, path, data)

    async def _send(self, response_class: type, *details: Any, **more: Any) -> Any:  # noqa: ANN401 - as above
        """Nio's own, which loses a failure to hand out a room's key: here it is remembered."""
        if response_class is not ShareGroupSessionResponse:
            return await super()._send(response_class, *details, **more)
        try:
            answer = await super()._send(response_class, *details, **more)
        except UNREACHABLE as fault:
            self.share_failure = fault
            raise
        if isinstance(answer, ErrorResponse):
            self.share_failure = Refused(answer)
        return answer

    async def share_room_key(self, room: str) -> None:
        """See that all devices in an encrypted room can read what is sent next. Raises Refused, or one of UNREACHABLE."""
        if self.should_query_keys:
            granted(await self.keys_query())
        if not self.olm.should_share_group_session(room):
            return
        self.share_failure = None
        try:
            await self.share_group_session(room, ignore_unverified_devices=True)
        finally:
            # Where claiming keys failed nio leaves this behind, and waits for it ever after.
            self.sharing_session.pop(room, None)
        if self.share_failure is not None:
            self.olm.outbound_group_sessions.pop(room, None)
            raise self.share_failure

    async def tend_keys(self) -> None:
        """What nio wants sent about keys: those for others to write to us with, questions, and answers."""
        if self.should_upload_keys:
            granted(await self.keys_upload())
        if self.should_query_keys:
            granted(await self.keys_query())
        if self.should_claim_keys:
            granted(await self.keys_claim(self.get_users_for_key_claiming()))
        for answer in await self.send_to_device_messages():
            granted(answer)

    async def end(self) -> None:
        """Close the connection and the crypto store."""
        await self.close()
        if self.store is not None:
            self.store.database.close()


def granted(answer: Any) -> Any:  # noqa: ANN401 - nio's answers have no types
    """The answer, unless it is a refusal: then raises Refused."""
    if isinstance(answer, ErrorResponse):
        raise Refused(answer)
    return answer


def opened(credentials: Credentials, folder: Path) -> Link:
    """A connection with the account's crypto store open. Raises RacksideError where the store cannot be read."""
    try:
        return Link(credentials, folder)
    except Exception as fault:
        raise RacksideError(
            f"The keys of the bot's Matrix device {credentials.device_id} cannot be read. Log in again with "
            "`rackside matrix login`: that makes a new device."
        ) from fault


def make_store(credentials: Credentials, folder: Path) -> None:
    """Make the keys of a new device."""
    link = Link(credentials, folder)
    with closing(link.store.database):
        link.olm.save_account()
