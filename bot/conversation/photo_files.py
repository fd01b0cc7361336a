"""Where the file of a photo lies within the data folder."""

from __future__ import annotations

_ENDINGS = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp", "image/gif": "gif"}


def path_of(digest: str, media_type: str | None) -> str:
    """The path, within the data folder, of a photo with this SHA-256 (in hex)."""
    return f"photos/{digest[:2]}/{digest}.{_ENDINGS.get(media_type or '', 'bin')}"
