"""What kind of picture some bytes are, by how they begin: what the sender says of them is not believed."""

from __future__ import annotations

_BEGINNINGS = (
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"GIF87a", "image/gif"),
    (b"GIF89a", "image/gif"),
    (b"%PDF-", "application/pdf"),
)
_BOXED = {
    b"heic": "image/heic",
    b"heix": "image/heic",
    b"mif1": "image/heif",
    b"msf1": "image/heif",
    b"avif": "image/avif",
}


def media_type(content: bytes) -> str | None:
    """The media type of a picture or PDF, None for what is neither."""
    for beginning, found in _BEGINNINGS:
        if content.startswith(beginning):
            return found
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return "image/webp"
    if content[4:8] == b"ftyp":
        return _BOXED.get(content[8:12])
    return None
