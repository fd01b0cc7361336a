"""`rackside matrix login` and `rackside matrix logout`."""

from __future__ import annotations

import asyncio
import os
import sys
from argparse import Namespace
from getpass import getpass
from pathlib import Path

from bot.channels.matrix.login import login, logout
from bot.errors import RacksideError
from bot.secret import Secret
from bot.settings import data_folder


class NoPassword(RacksideError):
    """There is no password to log in with; the message is a sentence for the keeper."""


def log_in(options: Namespace) -> int:
    """Log the bot's account in, on a new device, and keep that in the data folder."""
    folder = data_folder(options.data, os.environ)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    password = _password(options.password_file, options.user)
    print(asyncio.run(login(folder, options.homeserver, options.user, password)))
    return 0


def log_out(options: Namespace) -> int:
    """End the bot's device, and throw its keys away."""
    print(asyncio.run(logout(data_folder(options.data, os.environ))))
    return 0


def _password(file: Path | None, user: str) -> Secret:
    """From the file, else asked for at the terminal; never from an argument, which everyone on the machine may see."""
    if file is None:
        if not sys.stdin.isatty():
            raise NoPassword("There is no terminal to ask for the password at; name a file with --password-file.")
        return Secret(getpass(f"Password of {user}: "))
    try:
        value = file.expanduser().read_text(encoding="utf-8").strip("\r\n")
    except (OSError, UnicodeDecodeError) as fault:
        raise NoPassword(f"{file} cannot be read: {getattr(fault, 'strerror', None) or 'it is no text'}.") from None
    if not value:
        raise NoPassword(f"{file} is empty.")
    return Secret(value)
