"""Who the bot is on Matrix: one folder, for its owner alone, with what belongs to one device and is of use only together.

    matrix/             0700, in the data folder
      account.json      0600: homeserver, user, device and access token; written last, so that without it nobody is logged in
      pickle.key        0600: the key under which the crypto store is kept
      crypto.db         0600: the device's own keys, and those it was given to read with
      unread.json       0600: events that cannot be read yet
      lock              held by the process that uses the account

A device whose crypto store is lost cannot be mended: what others send to it stays unreadable. A new login makes a new device.
"""

from __future__ import annotations

import fcntl
import json
import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from bot.errors import RacksideError
from bot.secret import Secret

FOLDER, ACCOUNT, KEY, STORE, UNREAD, LOCK = (
    "matrix",
    "account.json",
    "pickle.key",
    "crypto.db",
    "unread.json",
    "lock",
)

LOG_IN = "Log in with `rackside matrix login --homeserver URL --user @bot:host`"


@dataclass(frozen=True, slots=True)
class Credentials:
    """An account logged in on one device: the homeserver's URL, the ids, the access token, and the key of the crypto store."""

    homeserver: str
    user_id: str
    device_id: str
    token: Secret
    pickle_key: Secret


def is_set_up(data: Path) -> bool:
    """Whether somebody has logged in on this data folder."""
    return (data / FOLDER / ACCOUNT).exists()


def load(folder: Path) -> Credentials:
    """The account kept in a folder. Raises RacksideError, with what to do, where there is none or part of it is missing."""
    if not (folder / ACCOUNT).exists():
        raise RacksideError(f"Matrix is not set up here. {LOG_IN}.")
    try:
        kept = json.loads((folder / ACCOUNT).read_text(encoding="utf-8"))
        homeserver, user_id, device_id, token = (
            str(kept[name]) for name in ("homeserver", "user_id", "device_id", "token")
        )
    except (OSError, ValueError, KeyError, TypeError):
        raise RacksideError(f"The Matrix login in {folder / ACCOUNT} cannot be read. {LOG_IN} again.") from None
    key = _key(folder)
    if key is None or _owner_of_store(folder) != (user_id, device_id):
        raise RacksideError(
            f"The keys of the bot's Matrix device {device_id} are gone, or belong to another device, so it cannot read encrypted "
            f"messages any more. {LOG_IN} again: that makes a new device."
        )
    return Credentials(homeserver, user_id, device_id, Secret(token), key)


def keep_key(folder: Path, key: Secret) -> None:
    """Keep the key of a new crypto store, and an empty file for the store that only its owner may read."""
    write(folder / KEY, key.reveal())
    write(folder / STORE, "")


def keep_account(folder: Path, credentials: Credentials) -> None:
    """Keep the account. To be called last, when its key and its crypto store are there."""
    kept = {
        "homeserver": credentials.homeserver,
        "user_id": credentials.user_id,
        "device_id": credentials.device_id,
        "token": credentials.token.reveal(),
    }
    write(folder / ACCOUNT, json.dumps(kept, indent=2))


def forget(folder: Path) -> None:
    """Throw away a login and its keys, the login first."""
    for name in (ACCOUNT, STORE, f"{STORE}-journal", f"{STORE}-wal", f"{STORE}-shm", KEY, UNREAD):
        (folder / name).unlink(missing_ok=True)


@contextmanager
def held(folder: Path) -> Iterator[None]:
    """Have the account to oneself. Raises RacksideError while another process has it."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    folder.chmod(0o700)
    descriptor = os.open(folder / LOCK, os.O_CREAT | os.O_RDWR, 0o600)
    try:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise RacksideError(
                "Another process uses the bot's Matrix account now; one account is served by one process. Stop that one first."
            ) from None
        yield
    finally:
        os.close(descriptor)


def write(path: Path, text: str) -> None:
    """Write a file that only its owner may read, whole or not at all."""
    fresh = path.with_name(f"{path.name}.new")
    descriptor = os.open(fresh, os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600)
    with os.fdopen(descriptor, "w", encoding="utf-8") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    fresh.replace(path)


def _key(folder: Path) -> Secret | None:
    try:
        kept = (folder / KEY).read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError):
        return None
    return Secret(kept) if kept else None


def _owner_of_store(folder: Path) -> tuple[str, str] | None:
    """The user and device whose keys the crypto store holds; None where it holds none or cannot be read."""
    if not (folder / STORE).exists():
        return None
    try:
        with closing(sqlite3.connect(f"{(folder / STORE).as_uri()}?mode=ro", uri=True)) as store:
            found = store.execute("SELECT user_id, device_id FROM accounts").fetchall()
    except sqlite3.Error:
        return None
    return found[0] if len(found) == 1 else None
