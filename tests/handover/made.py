"""Facts for sheets, made up: a group with a long history, and one of which nothing was ever written."""

from __future__ import annotations

import io
from datetime import date, timedelta

from PIL import Image

from bot.handover import (
    Enclosure,
    Facts,
    Feeding,
    Happening,
    HeadCount,
    HeadEvent,
    Moult,
    Parent,
    Picture,
    Reading,
    Size,
)
from bot.handover.photos import printable_photo

TODAY = date(2026, 3, 12)  # a Thursday

EMPTY = Facts("Mabel", "animal", None, TODAY, TODAY)


def photo(width: int, height: int, form: str = "JPEG", **saved: object) -> bytes:
    """The bytes of a picture in two colours: blue above, yellow below."""
    drawn = Image.new("RGB", (width, height), "yellow")
    drawn.paste("blue", (0, 0, width, height // 2))
    out = io.BytesIO()
    drawn.save(out, form, **saved)
    return out.getvalue()


def picture(width: int, height: int, back: int = 0) -> Picture:
    ready = printable_photo(photo(width, height))
    assert ready is not None
    return Picture(TODAY - timedelta(days=back), ready.content, ready.width, ready.height)


def long_history(name: str = "group B", rows: int = 120) -> Facts:
    """A group with so many moults, four pictures, and something of all else."""
    return Facts(
        name,
        "group",
        "Neoholothele incei",
        TODAY,
        TODAY,
        told_on=date(2024, 1, 2),
        parents=(
            Parent(
                "brood", "group", "Neoholothele incei", date(2024, 1, 2), (Happening("hatched", date(2023, 12, 20)),)
            ),
        ),
        heads=HeadCount(41, 44, known=True, basis=HeadEvent("count", date(2026, 2, 1), (41, 44))),
        moults=tuple(Moult(TODAY - timedelta(days=6 * back), (back % 4 + 1,) * 2) for back in range(rows, 0, -1)),
        sizes=tuple(
            Size(TODAY - timedelta(days=30 * back), "legspan", "legspan", (30 - back,) * 2) for back in (3, 2, 1)
        ),
        feedings=tuple(
            Feeding(TODAY - timedelta(days=5 * back), "cricket", "pre-killed", (8, 8)) for back in range(60, 0, -1)
        ),
        enclosure=Enclosure((45, 30, 18), date(2024, 1, 2), humidity_pct=(55, 65)),
        readings=(Reading(TODAY, (24, 25), (61, 61)),),
        pictures=(picture(1600, 1200, 9), picture(600, 1400, 6), picture(500, 500, 3), picture(2400, 800)),
        cautions=("Caution: it bites.",),
    )
