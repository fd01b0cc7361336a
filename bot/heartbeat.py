"""The sign of life of a process that serves: kept in its mark in the data folder, and told to a service manager that asks for it.

It is given by the event loop, after a sweep of the database and while the worker lives; so it says that all three go on. It is a
reading of the machine's own counter of seconds since it was started, which no setting of the clock moves.
"""

from __future__ import annotations

import os
import socket
from collections.abc import Callable, Mapping
from pathlib import Path
from time import monotonic

from bot import presence
from bot.errors import RacksideError

LATE_SECONDS = 120.0
"""Without a sign for so long, a process does not go on. Signs come with each tick, every 20 seconds, unless a sweep takes longer."""

_WIDTH = 20  # a reading is written over the one before it, so all are as long


def beat(folder: Path, name: str, environment: Mapping[str, str]) -> None:
    """Give a sign of life for the process of this name. What cannot be written is let be: then there is no sign."""
    _write(folder / presence.FOLDER / name)
    address = environment.get("NOTIFY_SOCKET")
    if address:
        notify(address)


def notify(address: str) -> None:
    """Tell systemd that we are ready, and alive (its manual: sd_notify, READY=1 and WATCHDOG=1); `@` is an abstract socket."""
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as teller:
        try:
            teller.sendto(b"READY=1\nWATCHDOG=1", "\0" + address[1:] if address.startswith("@") else address)
        except OSError:
            return


def ages(folder: Path, counter: Callable[[], float] = monotonic) -> list[float | None]:
    """For each process that serves this folder, the seconds since its last sign; None for one that has not given any yet.

    Raises RacksideError where the folder may not be looked into.
    """
    place = folder / presence.FOLDER
    try:
        marks = sorted(place.iterdir()) if place.is_dir() else []
        serving = [mark for mark in marks if not mark.suffix and not presence.is_dead(folder, mark.name)]
        return [_age(mark, counter()) for mark in serving]
    except OSError as fault:
        raise RacksideError(f"The data folder {folder} cannot be looked into: {fault.strerror}.") from fault


def _write(mark: Path) -> None:
    try:
        descriptor = os.open(mark, os.O_WRONLY)
    except OSError:
        return
    try:
        os.pwrite(descriptor, f"{monotonic():{_WIDTH}.2f}".encode(), 0)
    except OSError:
        return
    finally:
        os.close(descriptor)


def _age(mark: Path, now: float) -> float | None:
    written = mark.read_text(encoding="ascii")
    return max(0.0, now - float(written)) if written else None
