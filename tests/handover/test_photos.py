"""Photos made ready for a sheet: upright, small, and without what a camera writes beside them."""

from __future__ import annotations

import io
import struct
import zlib

import pytest
from PIL import Image

from bot.handover.photos import LONGEST, printable_photo
from tests.handover.made import photo

GPS, ORIENTATION, MAKER = 0x8825, 0x0112, 0x010F
"""Tags of Exif 2.3 (JEITA CP-3451C): where it was taken, which way up, whose camera."""


def opened(content: bytes) -> Image.Image:
    return Image.open(io.BytesIO(content))


def test_nothing_of_where_it_was_taken_goes_along() -> None:
    """A camera writes place, day and maker into a photo; the print holds none of that."""
    exif = Image.Exif()
    exif[MAKER] = "Somebody's camera"
    exif.get_ifd(GPS)[1] = "N"
    exif.get_ifd(GPS)[2] = (38.0, 43.0, 12.0)
    taken = photo(800, 600, exif=exif, comment=b"at home")
    assert opened(taken).getexif().get_ifd(GPS)
    ready = printable_photo(taken)
    assert ready is not None
    assert b"Exif" not in ready.content
    assert b"at home" not in ready.content
    with opened(ready.content) as back:
        assert not back.getexif()
        assert not {"exif", "comment", "icc_profile", "xmp"} & back.info.keys()


def test_a_photo_taken_sideways_stands_upright() -> None:
    """Orientation 6 is to be turned by a quarter (Exif 2.3, 4.6.4): the blue upper half comes to the right."""
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    ready = printable_photo(photo(400, 300, exif=exif))
    assert ready is not None
    assert (ready.width, ready.height) == (300, 400)
    with opened(ready.content) as back:
        right, left = (back.getpixel((x, 200)) for x in (280, 20))
    assert isinstance(right, tuple)
    assert isinstance(left, tuple)
    assert right[2] > 200 > left[2]


@pytest.mark.parametrize(("width", "height"), [(4000, 3000), (300, 2000), (120, 90)])
def test_a_large_photo_is_made_small_and_a_small_one_is_left(width: int, height: int) -> None:
    """In its own proportions."""
    ready = printable_photo(photo(width, height))
    assert ready is not None
    assert max(ready.width, ready.height) == min(LONGEST, max(width, height))
    assert ready.width / ready.height == pytest.approx(width / height, rel=0.02)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP", "GIF"])
def test_the_forms_that_services_send_are_read(form: str) -> None:
    """And printed as JPEG."""
    ready = printable_photo(photo(64, 48, form))
    assert ready is not None
    with opened(ready.content) as back:
        assert (back.format, back.mode, back.size) == ("JPEG", "RGB", (64, 48))


def test_see_through_parts_are_white_like_paper() -> None:
    """Not black."""
    out = io.BytesIO()
    Image.new("RGBA", (10, 10), (0, 0, 0, 0)).save(out, "PNG")
    ready = printable_photo(out.getvalue())
    assert ready is not None
    with opened(ready.content) as back:
        assert back.getpixel((5, 5)) == (255, 255, 255)


def _bomb() -> bytes:
    """A PNG that says it is 50,000 pixels wide and high, in a few bytes."""
    head = struct.pack(">IIBBBBB", 50_000, 50_000, 8, 0, 0, 0, 0)
    chunk = struct.pack(">I", len(head)) + b"IHDR" + head + struct.pack(">I", zlib.crc32(b"IHDR" + head))
    return b"\x89PNG\r\n\x1a\n" + chunk


@pytest.mark.parametrize("content", [b"", b"no picture", photo(90, 60)[:200], photo(90, 60, "PNG")[:60], _bomb()])
def test_what_is_no_picture_gives_none(content: bytes) -> None:
    """Empty, something else, cut off, or far too large."""
    assert printable_photo(content) is None
