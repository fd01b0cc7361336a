"""Where photos are kept: files in the data folder, each named by its content."""

from __future__ import annotations

import os
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from tempfile import NamedTemporaryFile

from bot.conversation.photo_files import path_of


@dataclass(frozen=True, slots=True)
class PhotoShelf:
    """The photos of a data folder. The same photo, sent twice, is one file."""

    folder: Path

    def keep(self, content: bytes, media_type: str) -> str:
        """Keep a photo; the SHA-256 of its content in hex. It is whole on the disk, or not there at all."""
        digest = sha256(content).hexdigest()
        path = self.folder / path_of(digest, media_type)
        if path.is_file() and path.stat().st_size == len(content):
            return digest
        for folder in (path.parent.parent, path.parent):  # `parents` would make the upper one open to others
            folder.mkdir(mode=0o700, exist_ok=True)
        with NamedTemporaryFile(dir=path.parent, delete=False) as written:
            try:
                written.write(content)
                written.flush()
                os.fsync(written.fileno())
                Path(written.name).replace(path)
            except BaseException:
                Path(written.name).unlink(missing_ok=True)
                raise
        _sync_folder(path.parent)
        return digest


def _sync_folder(folder: Path) -> None:
    """Have the name of a new file on the disk too."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
