"""A kept photo made ready for a sheet: upright, no larger than print needs, and without what a camera writes beside it."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass

from PIL import Image, ImageOps, UnidentifiedImageError

LONGEST = 900
"""Pixels of the longer edge: 55 mm wide in print, that is some 400 to an inch."""

QUALITY = 82
MOST_PIXELS = 120_000_000
"""A larger one is no photo from a telephone, and would take more memory than a small machine has."""


@dataclass(frozen=True, slots=True)
class Print:
    """A photo as JPEG bytes, with its size in pixels. It holds nothing but the picture: no place, no day, no camera."""

    content: bytes
    width: int
    height: int


def printable_photo(content: bytes) -> Print | None:
    """A photo ready to be printed; None where its bytes are no picture that can be read, or far too large a one."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # an odd file is a matter for the sheet, not for the log
            with Image.open(io.BytesIO(content)) as opened:
                if opened.width * opened.height > MOST_PIXELS:
                    return None
                opened.draft(
                    "RGB", (LONGEST, LONGEST)
                )  # a JPEG is read small to begin with, which saves most of the work
                upright = ImageOps.exif_transpose(opened)
                upright.thumbnail((LONGEST, LONGEST))
                return _saved(_on_white(upright))
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError, ValueError, SyntaxError):
        return None


def _on_white(picture: Image.Image) -> Image.Image:
    """A picture without see-through parts: paper is white."""
    if picture.mode == "RGB":
        return picture
    see_through = picture.convert("RGBA")
    white = Image.new("RGBA", see_through.size, "white")
    white.alpha_composite(see_through)
    return white.convert("RGB")


def _saved(picture: Image.Image) -> Print:
    bare = Image.new("RGB", picture.size)
    bare.paste(picture)  # a new one, so that nothing of the old one's beside-data goes along
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, optimize=True)
    return Print(out.getvalue(), bare.width, bare.height)
