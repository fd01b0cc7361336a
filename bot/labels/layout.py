"""Papers, label sizes, and where each sticker lies on its page. Lengths are in mm, from the page's lower left corner."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

MARGIN = 8.0
"""White on every side of a page, in mm: home printers reach no nearer to the edge (common practice: 3 to 7 mm)."""

_EDGE = 0.8
"""From the cut to the code's quiet zone, in mm, so that a cut that strays leaves the quiet zone whole."""

_TEXT_EDGE = 1.6
"""From the words to the cut, in mm."""

_TEXT_GAP = 0.4
"""From the code's quiet zone to the words, in mm: some letters reach a little to the left of where they begin."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper, upright; width and height in mm."""

    name: str
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Letters:
    """Sizes of letters in points: at best, the least in which one line is kept before it is wrapped, and the least of all."""

    largest: float
    shrunk: float
    smallest: float

    def up_to(self, points: float) -> Letters:
        """The same sizes, none larger than `points`."""
        return Letters(min(self.largest, points), min(self.shrunk, points), min(self.smallest, points))


@dataclass(frozen=True, slots=True)
class LabelSize:
    """A sticker: width and height, and the side of its code with the quiet zone, in mm; the letters of name and line."""

    name: str
    width: float
    height: float
    code: float
    name_letters: Letters
    line_letters: Letters


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the page: its lower left corner, width and height, in mm."""

    left: float
    bottom: float
    width: float
    height: float


PAPERS: Mapping[str, Paper] = MappingProxyType(
    {paper.name: paper for paper in (Paper("A4", 210.0, 297.0), Paper("Letter", 215.9, 279.4))}
)
"""Papers by name. A4 is that of ISO 216; Letter is size A of ANSI/ASME Y14.1, 8.5 by 11 inches of 25.4 mm."""

SIZES: Mapping[str, LabelSize] = MappingProxyType(
    {
        size.name: size
        for size in (
            LabelSize("small", 48.0, 23.0, 21.4, Letters(9.5, 7.5, 6.0), Letters(7.0, 6.0, 5.5)),
            LabelSize("medium", 64.0, 31.0, 27.0, Letters(13.0, 10.0, 7.5), Letters(9.0, 7.5, 6.5)),
            LabelSize("large", 96.0, 43.0, 40.0, Letters(20.0, 15.0, 10.0), Letters(13.0, 10.5, 8.5)),
        )
    }
)
"""Sizes of our own, from the smallest: for a vial, a tub, a tank. They fill 192 mm across on both papers.

The smallest code has room for the longest link that `bot.labels.links.link` makes.
"""


@dataclass(frozen=True, slots=True)
class Grid:
    """How stickers of a size lie on a paper: as many as fit between the margins, edge to edge, in the middle."""

    paper: Paper
    size: LabelSize

    @property
    def columns(self) -> int:
        """How many stickers lie side by side."""
        return int((self.paper.width - 2 * MARGIN) // self.size.width)

    @property
    def rows(self) -> int:
        """How many rows of stickers a page has."""
        return int((self.paper.height - 2 * MARGIN) // self.size.height)

    @property
    def per_page(self) -> int:
        """How many stickers a page has."""
        return self.columns * self.rows

    def sticker(self, place: int) -> Box:
        """The sticker at a place on its page: 0 is at the upper left, then along the row."""
        row, column = divmod(place, self.columns)
        left = (self.paper.width - self.columns * self.size.width) / 2
        top = (self.paper.height + self.rows * self.size.height) / 2
        return Box(
            left + column * self.size.width, top - (row + 1) * self.size.height, self.size.width, self.size.height
        )


def code_box(sticker: Box, size: LabelSize) -> Box:
    """Where the code with its quiet zone lies: at the left of the sticker, half-way up."""
    return Box(sticker.left + _EDGE, sticker.bottom + (sticker.height - size.code) / 2, size.code, size.code)


def words_box(sticker: Box, size: LabelSize) -> Box:
    """Where the words may stand: all that is right of the code and its quiet zone."""
    inset = _EDGE + size.code + _TEXT_GAP
    return Box(
        sticker.left + inset,
        sticker.bottom + _TEXT_EDGE,
        sticker.width - inset - _TEXT_EDGE,
        sticker.height - 2 * _TEXT_EDGE,
    )
