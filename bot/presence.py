"""Which processes are at work on a data folder: each has a mark there, a file that it keeps locked for as long as it lives.

The lock goes with the process, however that ends. So whoever finds a mark without its lock knows that its process is dead, and
frees what it held at once, without waiting for leases to run out. Of a process with another data folder nothing can be told by this;
then the leases must run out.
"""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

from bot.errors import RacksideError

FOLDER = "running"
_NEW = ".new"


@contextmanager
def marked(folder: Path) -> Iterator[str]:
    """A name for this process that no other has, marked in the data folder for as long as the block runs.

    The mark stays behind, unlocked, unless somebody takes it away (`forget`). Raises RacksideError where none can be made.
    """
    place, name = folder / FOLDER, uuid4().hex
    fresh = place / f"{name}{_NEW}"
    try:
        place.mkdir(mode=0o700, exist_ok=True)
        descriptor = os.open(fresh, os.O_CREAT | os.O_RDWR, 0o600)
    except OSError as fault:
        raise RacksideError(f"The data folder {folder} cannot be written to: {fault.strerror}.") from fault
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX)
        fresh.rename(place / name)  # only now, so that nobody takes it for a dead one's
        yield name
    finally:
        os.close(descriptor)


def is_dead(folder: Path, name: str) -> bool:
    """Whether the process of that name is known to have ended: its mark is here, and nobody keeps it."""
    try:
        descriptor = os.open(folder / FOLDER / name, os.O_RDWR)
    except OSError:
        return False
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    else:
        return True
    finally:
        os.close(descriptor)


def dead(folder: Path) -> list[str]:
    """The processes that have ended and left their mark."""
    place = folder / FOLDER
    names = [path.name for path in place.iterdir() if path.suffix != _NEW] if place.is_dir() else []
    return sorted(name for name in names if is_dead(folder, name))


def forget(folder: Path, name: str) -> None:
    """Take a mark away: whatever its process held is free."""
    (folder / FOLDER / name).unlink(missing_ok=True)
