"""Empty axes as large as a picture and saved as pictures are: what pictures are measured against."""

from __future__ import annotations

from matplotlib.figure import Figure

from bot.pictures.sheet import to_png
from bot.pictures.style import DOTS_PER_INCH, TALL, WIDTH


def empty() -> bytes:
    """One pair of empty axes as the bytes of a PNG."""
    figure = Figure(figsize=(WIDTH / DOTS_PER_INCH, TALL / DOTS_PER_INCH), dpi=DOTS_PER_INCH)
    figure.add_subplot()
    return to_png(figure)
