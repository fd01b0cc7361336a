"""Text for pictures: measured, wrapped, and freed of what the font cannot show. The font is DejaVu Sans, which comes with matplotlib.

The files are named to matplotlib by their path, so that no search through the machine's fonts is made for them.
"""

from __future__ import annotations

import unicodedata
from bisect import bisect_left
from collections.abc import Callable, Iterable
from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from bot.pictures.style import DOTS_PER_INCH

if TYPE_CHECKING:
    from matplotlib.font_manager import FontProperties
    from matplotlib.ft2font import FT2Font

BOX = "□"
"""Stands for a character that the font lacks."""

MORE = "…"

Fits = Callable[[str], bool]


@cache
def font(points: float, *, bold: bool = False) -> FontProperties:
    """The font in one size, in points."""
    from matplotlib.font_manager import FontProperties  # noqa: PLC0415 - loads slowly

    return FontProperties(family="DejaVu Sans", fname=_file(bold=bold), size=points)


def printable(text: str) -> str:
    """A text on one line as the font can show it: composed, a box for what it lacks, nothing for what has no form."""
    composed = unicodedata.normalize("NFC", " ".join(text.split()))
    return "".join(_shown(letter) for letter in composed)


@lru_cache(maxsize=4096)
def width_of(text: str, points: float, *, bold: bool = False) -> float:
    """How wide a printable text runs, in pixels."""
    from matplotlib.ft2font import LoadFlags  # noqa: PLC0415 - loads slowly

    shape = _loaded(bold=bold)
    shape.set_size(points, DOTS_PER_INCH)
    shape.set_text(text, 0.0, flags=LoadFlags.NO_HINTING)
    return float(shape.get_width_height()[0]) / 64


def wrapped(text: str, points: float, width: float, lines: int, *, bold: bool = False) -> list[str]:
    """A text in lines no wider than so many pixels, broken between words and in a word only where it is too long by itself.

    What goes beyond so many lines is cut, and the last line then ends in "…".
    """

    def fits(line: str) -> bool:
        return width_of(line, points, bold=bold) <= width

    made: list[str] = [""]
    for word in _pieces(printable(text).split(), fits):
        joined = f"{made[-1]} {word}".strip()
        if fits(joined):
            made[-1] = joined
        else:
            made.append(word)
        if len(made) > lines:
            break
    if len(made) <= lines:
        return made
    last = made[lines - 1]
    while last and not fits(f"{last}{MORE}"):
        last = last[:-1].rstrip()
    return [*made[: lines - 1], f"{last}{MORE}"]


def _pieces(words: Iterable[str], fits: Fits) -> Iterable[str]:
    """Words, those too long for a line in pieces that fit."""
    for word in words:
        rest = word
        while not fits(rest):
            length = _longest(rest, fits)
            yield rest[:length]
            rest = rest[length:]
        if rest:
            yield rest


def _longest(text: str, fits: Fits) -> int:
    """How many letters from the start fit on a line, one at least; more are never narrower, so halving finds it."""

    def too_long(size: int) -> bool:
        return not fits(text[:size])

    return max(1, bisect_left(range(1, len(text)), x=True, key=too_long))


def _shown(letter: str) -> str:
    if unicodedata.category(letter) in {"Cc", "Cf", "Cs"} or "\ufe00" <= letter <= "\ufe0f":
        return ""
    if ord(letter) in _known():
        return letter
    return "" if unicodedata.category(letter) == "Mn" else BOX


@cache
def _known() -> frozenset[int]:
    return frozenset(_loaded(bold=False).get_charmap()) & frozenset(_loaded(bold=True).get_charmap())


def _loaded(*, bold: bool) -> FT2Font:
    """The font of this thread: matplotlib keeps one for each, since a font remembers the text it was last set."""
    from matplotlib.font_manager import get_font  # noqa: PLC0415 - loads slowly

    return get_font(_file(bold=bold))


@cache
def _file(*, bold: bool) -> Path:
    from matplotlib import get_data_path  # noqa: PLC0415 - loads slowly

    return Path(get_data_path(), "fonts", "ttf", "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf")
