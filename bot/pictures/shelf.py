"""Where pictures that were drawn are kept until they are sent: files in the data folder, each named by its content."""

from __future__ import annotations

import os
from datetime import datetime, timedelta
from hashlib import sha256
from pathlib import Path
from tempfile import NamedTemporaryFile

FOLDER = "pictures"

KEPT_FOR = timedelta(days=30)
"""For how long after it was last drawn; photos lie elsewhere and are kept for good."""


def keep(folder: Path, content: bytes, now: datetime, ending: str = "png") -> str:
    """Keep a picture, or what else was drawn, in a data folder and throw away the old ones; its path there, parted by "/".

    It is whole on the disk, or not there at all. `now` is aware. Raises OSError where the folder cannot be written to.
    """
    shelf = folder / FOLDER
    shelf.mkdir(mode=0o700, exist_ok=True)
    path = shelf / f"{sha256(content).hexdigest()}.{ending}"
    with NamedTemporaryFile(dir=shelf, delete=False) as written:
        try:
            written.write(content)
            written.flush()
            Path(written.name).replace(path)
        except BaseException:
            Path(written.name).unlink(missing_ok=True)
            raise
    os.utime(path, (now.timestamp(), now.timestamp()))
    _thin(shelf, now)
    return f"{FOLDER}/{path.name}"


def _thin(shelf: Path, now: datetime) -> None:
    """Throw away what was drawn longer ago than it is kept; another process may be at it too."""
    oldest = (now - KEPT_FOR).timestamp()
    for path in shelf.iterdir():
        try:
            if path.stat().st_mtime < oldest:
                path.unlink()
        except FileNotFoundError:
            continue
