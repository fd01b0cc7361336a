"""Logging in and out: a login makes a new device with new keys; a logout ends the device and throws its keys away."""

from __future__ import annotations

import secrets
from pathlib import Path
from urllib.parse import urlsplit

from nio import AsyncClient, AsyncClientConfig, LoginResponse

from bot.channels.matrix.credentials import FOLDER, Credentials, forget, held, keep_account, keep_key, load
from bot.channels.matrix.link import REQUEST_LIMIT, UNREACHABLE, Refused, granted, make_store
from bot.errors import RacksideError
from bot.secret import Secret

DEVICE_NAME = "Rackside"


async def login(data: Path, homeserver: str, user: str, password: Secret) -> str:
    """Log an account in on a new device and keep that in the data folder; the sentence that says so.

    An earlier login in this folder is ended. Raises RacksideError where the homeserver does not answer or says no, or while
    another process uses the account.
    """
    folder, url = data / FOLDER, _address(homeserver)
    with held(folder):
        client = _bare_client(url, user)
        try:
            answer = await _ask_in(client, password)
            await _end_earlier(folder)
            credentials = Credentials(
                url, answer.user_id, answer.device_id, Secret(answer.access_token), Secret(secrets.token_urlsafe(32))
            )
            _keep(folder, credentials)
        finally:
            await client.close()
    return f"Logged in as {credentials.user_id}, on a new device {credentials.device_id}. `rackside run` serves it from now on."


async def logout(data: Path) -> str:
    """End the bot's device and throw its keys away; the sentence that says so. Raises RacksideError where nobody is logged in."""
    folder = data / FOLDER
    with held(folder):
        credentials = load(folder)
        told = await _end(credentials)
        forget(folder)
    if told:
        return f"Logged out {credentials.user_id}; the device {credentials.device_id} and its keys are gone."
    return (
        f"The login and its keys are gone from here, but {credentials.homeserver} could not be told. "
        f"End the session {credentials.device_id} of {credentials.user_id} from another client."
    )


def _keep(folder: Path, credentials: Credentials) -> None:
    """Keep a login and the keys of its new device. Not for a thread of its own: nio's stores share state across threads."""
    forget(folder)
    keep_key(folder, credentials.pickle_key)
    make_store(credentials, folder)
    keep_account(folder, credentials)


async def _ask_in(client: AsyncClient, password: Secret) -> LoginResponse:
    try:
        return granted(await client.login(password.reveal(), DEVICE_NAME))
    except Refused as fault:
        raise RacksideError(_refusal(client, fault)) from None
    except UNREACHABLE as fault:
        raise RacksideError(f"No homeserver answers at {client.homeserver}: {fault or 'it took too long'}.") from None


def _refusal(client: AsyncClient, fault: Refused) -> str:
    if fault.code == "M_FORBIDDEN":
        return f"{client.homeserver} does not know the user {client.user} with that password. Nothing was changed here."
    if fault.wait is not None:
        return f"{client.homeserver} wants fewer logins; try again in {fault.wait:.0f} seconds."
    if not fault.code:
        return f"What answers at {client.homeserver} is no Matrix homeserver. Give the address that clients connect to."
    return f"{client.homeserver} did not let {client.user} in: {fault.answer.message}"


async def _end_earlier(folder: Path) -> None:
    """End the device of the login before this one, as far as that can be done."""
    try:
        earlier = load(folder)
    except RacksideError:
        return
    await _end(earlier)


async def _end(credentials: Credentials) -> bool:
    """End a device with its homeserver; False where that could not be reached. A device that is ended already is no fault."""
    client = _bare_client(credentials.homeserver, credentials.user_id)
    client.access_token = credentials.token.reveal()
    try:
        granted(await client.logout())
    except Refused as fault:
        return fault.is_logged_out
    except UNREACHABLE:
        return False
    finally:
        await client.close()
    return True


def _bare_client(url: str, user: str) -> AsyncClient:
    """A client without a crypto store, which asks once."""
    return AsyncClient(
        url, user, config=AsyncClientConfig(max_timeouts=0, max_limit_exceeded=0, request_timeout=REQUEST_LIMIT)
    )


def _address(homeserver: str) -> str:
    address = homeserver.strip().rstrip("/")
    if "://" not in address:
        address = f"https://{address}"
    parts = urlsplit(address)
    if parts.scheme not in ("http", "https") or not parts.hostname:
        raise RacksideError(f"{homeserver!r} is no web address; write one like https://matrix.example.org.")
    return address
