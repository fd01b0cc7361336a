"""Where the file of a photo lies in the data folder: by its content, so that the same photo is kept once."""

from __future__ import annotations

from collections.abc import Mapping

FOLDER = "photos"

_ENDINGS: Mapping[str, str] = {
    "image/jpeg": "jpg",
    "image/png": "png",
    "image/webp": "webp",
    "image/gif": "gif",
    "image/heic": "heic",
    "image/avif": "avif",
}


def path_of(digest: str, media_type: str | None) -> str:
    """The path within the data folder, parted by "/": `digest` is the SHA-256 of the file in hex; a type not known ends in "bin"."""
    ending = _ENDINGS.get((media_type or "").partition(";")[0].strip().lower(), "bin")
    return f"{FOLDER}/{digest[:2]}/{digest}.{ending}"
