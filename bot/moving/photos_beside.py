"""The files of photos in the folder beside a document: "records.json" has them in "records-photos", each named by its digest."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from hashlib import sha256
from pathlib import Path, PurePosixPath
from typing import Any

from bot.conversation.photo_files import path_of
from bot.moving.faults import MovingFault
from bot.moving.whole_files import make_folder, whole
from bot.photo_shelf import PhotoShelf

Photo = Mapping[str, Any]
"""A photo as the document has it."""


def folder_beside(document: Path) -> Path:
    """The folder of the photos of a document."""
    return document.with_name(f"{document.stem}-photos")


def put_beside(kept: Iterable[tuple[str, str | None]], data: Path | None, document: Path) -> tuple[int, int]:
    """Copy the photos kept, told by digest and media type; how many lie there now, and how many have no whole file."""
    beside, copied, missing = folder_beside(document), 0, 0
    for digest, media_type in sorted(kept, key=str):
        inner = path_of(digest, media_type)
        content = _content((data / inner) if data else None, digest)
        if content is None:
            missing += 1
            continue
        make_folder(beside)
        target = beside / PurePosixPath(inner).name
        if not target.is_file() or target.stat().st_size != len(content):
            with whole(target) as out:
                out.write(content)
        copied += 1
    return copied, missing


def take_from_beside(photos: Sequence[Photo], document: Path, data: Path | None, *, keep: bool) -> list[str]:
    """Bring the files of kept photos into the data folder; the digests of those of which no whole file is there.

    Without `keep` they are only looked for.
    """
    beside, missing = folder_beside(document), []
    for photo in {photo["digest"]: photo for photo in photos if photo["state"] == "kept"}.values():
        media_type = photo.get("media_type")
        content = _content(beside / PurePosixPath(path_of(photo["digest"], media_type)).name, photo["digest"])
        if content is None or data is None:
            missing.append(photo["digest"])
        elif keep:
            _keep(PhotoShelf(data), content, media_type or "")
    return missing


def _keep(shelf: PhotoShelf, content: bytes, media_type: str) -> None:
    try:
        shelf.keep(content, media_type)
    except OSError as fault:
        raise MovingFault(
            f"The photos could not be kept: {fault.strerror or fault}. Nothing was brought in."
        ) from fault


def _content(path: Path | None, digest: str) -> bytes | None:
    """What a file holds, None where it is not there or is not what its name says."""
    try:
        content = path.read_bytes() if path else None
    except OSError:
        return None
    return content if content is not None and sha256(content).hexdigest() == digest else None
