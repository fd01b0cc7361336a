"""A sheet as a printer and a phone see it: rendered by PDFium, its codes decoded by ZXing. Lengths in mm from the lower left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pypdfium2
import zxingcpp

from bot.labels.label import Label
from bot.labels.layout import Box
from bot.labels.links import link

if TYPE_CHECKING:
    from PIL import Image

DPI = 200
POINTS = 72 / 25.4


@dataclass(frozen=True, slots=True)
class ReadCode:
    """A decoded code: what it holds, its error correction, and the rectangle of its modules without the quiet zone."""

    url: str
    correction: str
    box: Box


@dataclass(frozen=True, slots=True)
class ReadPage:
    """A page: width and height in points, its picture in grey, and PDFium's text page."""

    points: tuple[float, float]
    picture: Image.Image
    text: pypdfium2.PdfTextPage

    @property
    def codes(self) -> list[ReadCode]:
        """All codes on the page."""
        return [
            ReadCode(code.text, code.ec_level, self._box(code.position))
            for code in zxingcpp.read_barcodes(self.picture, formats=zxingcpp.BarcodeFormat.QRCodeModel2)
        ]

    def _box(self, position: zxingcpp.Position) -> Box:
        left, bottom = position.bottom_left.x, position.bottom_left.y
        width, height = position.top_right.x - left, bottom - position.top_right.y
        return Box(*(pixels / DPI * 25.4 for pixels in (left, self.picture.height - bottom, width, height)))

    def words(self, box: Box) -> str:
        """The text within a rectangle, its lines joined by spaces."""
        right, top = box.left + box.width, box.bottom + box.height
        found = self.text.get_text_bounded(*(length * POINTS for length in (box.left, box.bottom, right, top)))
        return " ".join(found.split())

    def letters(self) -> list[tuple[str, Box]]:
        """Every letter that has ink, with the rectangle of its ink."""
        found = [(self.text.get_text_range(i, 1), self.text.get_charbox(i)) for i in range(self.text.count_chars())]
        return [
            (letter, Box(left / POINTS, bottom / POINTS, (right - left) / POINTS, (top - bottom) / POINTS))
            for letter, (left, bottom, right, top) in found
            if letter.strip()
        ]

    def crop(self, box: Box) -> Image.Image:
        """The picture of a rectangle."""
        left, top = box.left, self.points[1] / POINTS - box.bottom - box.height
        upper_left, lower_right = (left, top), (left + box.width, top + box.height)
        return self.picture.crop((*map(_pixels, upper_left), *map(_pixels, lower_right)))


def _pixels(length: float) -> int:
    """Millimetres in pixels."""
    return round(length / 25.4 * DPI)


def read_pages(pdf: bytes) -> list[ReadPage]:
    """All pages of a PDF."""
    document = pypdfium2.PdfDocument(pdf)
    return [
        ReadPage(page.get_size(), page.render(scale=DPI / 72).to_pil().convert("L"), page.get_textpage())
        for page in document
    ]


def within(inner: Box, outer: Box, slack: float = 0.0) -> bool:
    """Whether a rectangle lies in another, give or take `slack` mm."""
    return (
        inner.left >= outer.left - slack
        and inner.bottom >= outer.bottom - slack
        and inner.left + inner.width <= outer.left + outer.width + slack
        and inner.bottom + inner.height <= outer.bottom + outer.height + slack
    )


def labels(count: int, names: Sequence[str] = ("Tub {}", "Shelf B, rack {}", "Vial {} & Söhne")) -> list[Label]:
    """Labels that differ in name, line and link; the links have 61 characters."""
    return [
        Label(
            names[number % len(names)].format(number),
            f"{number + 2} young" if number % 4 else "",
            link("rackside_demo_bot", f"e_{number:04d}_k3J9sQx7LmP2vB8Zt"),
        )
        for number in range(count)
    ]
