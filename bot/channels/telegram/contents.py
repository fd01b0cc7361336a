"""What came with a message besides words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bot.channels.port import DOCUMENT, OTHER, PHOTO, STICKER, VOICE

if TYPE_CHECKING:
    from telegram import Message

LARGEST_DOWNLOAD = 20_000_000
"""Bytes; the Bot API's getFile hands over files of up to 20 MB."""

_KINDS = (
    ("photo", PHOTO),
    ("animation", OTHER),  # comes with a `document` as well, so it stands before
    ("document", DOCUMENT),
    *((name, VOICE) for name in ("voice", "audio", "video_note")),
    ("sticker", STICKER),
    *(
        (name, OTHER)
        for name in ("video", "location", "venue", "contact", "poll", "dice", "game", "story", "checklist")
    ),
    *((name, OTHER) for name in ("paid_media", "invoice")),
)


def kind_of(message: Message) -> str | None:
    """What a message carries, in a word of the port; None for nothing but words."""
    return next((kind for name, kind in _KINDS if getattr(message, name, None)), None)


def photo_of(message: Message) -> dict[str, Any] | None:
    """What the service wants to hear to hand the photo of a message over: of its sizes the largest that can be had."""
    sizes = [size for size in message.photo if (size.file_size or 0) <= LARGEST_DOWNLOAD]
    if not sizes:
        return None
    largest = max(sizes, key=lambda size: size.width * size.height)
    return {"file_id": largest.file_id, "file_unique_id": largest.file_unique_id}
