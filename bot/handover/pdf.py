"""A sheet as a PDF on A4: headings, tables that go on over pages, pictures three in a row, and the page's number on each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from io import BytesIO
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_CENTER
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import CondPageBreak, Image, KeepTogether, Paragraph, SimpleDocTemplate, Spacer
from reportlab.platypus import Table as Grid

from bot.handover.facts import Facts, Picture, Selection
from bot.handover.sections import Section, Table, heading, sections
from bot.handover.text import TITLE
from bot.labels.fonts import BOLD, PLAIN, printable, ready
from bot.wording import say_full_day

ITALIC = "DejaVuSans-Oblique"

MARGIN = 18 * mm
WIDTH = A4[0] - 2 * MARGIN
PADDING = 6
"""Points that the library leaves free within its frame, whatever is said."""

SHORT = 8
"""Rows of a table that is not parted over pages."""

ACROSS = 3
"""Pictures in a row."""

GAP = 4 * mm
PICTURE = (WIDTH - (ACROSS - 1) * GAP) / ACROSS

INK, GREY, RULE, SHADE = HexColor("#1b1b1b"), HexColor("#5f6368"), HexColor("#c9ccd1"), HexColor("#f1f3f4")

_COLUMNS = {
    2: (0.26 * WIDTH, 0.74 * WIDTH),
    3: (0.26 * WIDTH, 0.37 * WIDTH, 0.37 * WIDTH),
}
"""Widths by the number of columns: the first holds a day or a label."""

Piece = Any
"""A piece of the library's page, which has no types."""


def pdf(facts: Facts, selection: Selection) -> bytes:
    """The sheet; the same facts give the same bytes. Raises LabelFault where the fonts are missing."""
    for font in (PLAIN, BOLD, ITALIC):
        ready(font)
    file = BytesIO()
    document = SimpleDocTemplate(
        file,
        pagesize=A4,
        leftMargin=MARGIN - PADDING,
        rightMargin=MARGIN - PADDING,
        topMargin=MARGIN,
        bottomMargin=MARGIN + 4 * mm,
        title=f"{TITLE}: {facts.name}",
        author="Rackside",
        invariant=1,
        pageCompression=1,
    )
    pieces = [*_head(facts), *(piece for one in sections(facts, selection) for piece in _section(one))]
    document.build(pieces, canvasmaker=_numbered(facts))
    return file.getvalue()


def _style(name: str, font: str = PLAIN, size: float = 9.0, **more: object) -> ParagraphStyle:
    # Words too long for a line are broken, whatever they are.
    return ParagraphStyle(
        name,
        **{"fontName": font, "fontSize": size, "leading": size * 1.4, "textColor": INK, "splitLongWords": 1, **more},
    )


_KIND = _style("kind", size=9, textColor=GREY)
_NAME = _style("name", BOLD, 20, leading=25, spaceAfter=1 * mm)
_UNDER = _style("under", size=9.5, leading=14)
_TITLE = _style("title", BOLD, 11.5, spaceBefore=5 * mm, spaceAfter=1.5 * mm, keepWithNext=1)
_LINE = _style("line", spaceAfter=0.6 * mm)
_CELL = _style("cell", size=8.5, leading=11)
_HEADER = _style("header", BOLD, 8.5, leading=11)
_CAPTION = _style("caption", size=7.5, leading=10, textColor=GREY, alignment=TA_CENTER)


def _text(text: str, style: ParagraphStyle) -> Piece:
    return Paragraph(escape(printable(text, style.fontName)), style)


def _head(facts: Facts) -> Iterator[Piece]:
    first, *rest = heading(facts)
    yield _text(TITLE, _KIND)
    yield _text(facts.name, _NAME)
    yield _species(facts, first)
    yield from (_text(f"{line}.", _UNDER) for line in rest)


def _species(facts: Facts, line: str) -> Piece:
    """The line of the species, which stands in slanted letters, as scientific names do."""
    if facts.species is None:
        return _text(f"{line[:1].upper()}{line[1:]}.", _UNDER)
    rest = printable(f"x{line.removeprefix(facts.species)}", PLAIN)[1:]
    slanted = f'<font name="{ITALIC}">{escape(printable(facts.species, ITALIC))}</font>'
    return Paragraph(f"{slanted}{escape(rest)}.", _UNDER)


def _section(section: Section) -> Iterator[Piece]:
    """The title stays with what comes first under it."""
    opening: list[Piece] = [_text(section.title, _TITLE), *(_text(line, _LINE) for line in section.lines)]
    following: list[Piece] = list(_rows_of(section.pictures))
    if section.table is not None:
        opening.append(Spacer(0, 1.5 * mm))
        following.append(_table(section.table))
    if section.table is not None and len(section.table.rows) > SHORT:
        yield CondPageBreak((25 + 5 * len(section.lines)) * mm)  # the title, its lines, and the first rows
        yield from opening
    else:
        yield KeepTogether([*opening, *following[:1]])
        following = following[1:]
    yield from following


def _table(table: Table) -> Piece:
    """A table whose header stands again on each page."""
    header = [_text(cell, _HEADER) for cell in table.header]
    rows = [[_text(cell, _CELL) for cell in row] for row in table.rows]
    style = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("BACKGROUND", (0, 0), (-1, 0), SHADE),
        ("LINEBELOW", (0, 0), (-1, -1), 0.4, RULE),
        ("LEFTPADDING", (0, 0), (-1, -1), 1.5 * mm),
        ("RIGHTPADDING", (0, 0), (-1, -1), 1.5 * mm),
        ("TOPPADDING", (0, 0), (-1, -1), 0.9 * mm),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.1 * mm),
    ]
    return Grid([header, *rows], colWidths=_COLUMNS[len(table.header)], repeatRows=1, style=style, hAlign="LEFT")


def _rows_of(pictures: Sequence[Picture]) -> Iterator[Piece]:
    """Rows of pictures, each with its day beneath."""
    for start in range(0, len(pictures), ACROSS):
        row = pictures[start : start + ACROSS]
        cells = [[_image(one), *_captions(one)] for one in row]
        cells += [[] for _ in range(ACROSS - len(row))]
        style = [
            ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
            ("ALIGN", (0, 0), (-1, -1), "CENTER"),
            ("LEFTPADDING", (0, 0), (-1, -1), GAP / 2),
            ("RIGHTPADDING", (0, 0), (-1, -1), GAP / 2),
            ("TOPPADDING", (0, 0), (-1, -1), 1.5 * mm),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5 * mm),
        ]
        yield Grid([cells], colWidths=[WIDTH / ACROSS] * ACROSS, style=style, hAlign="LEFT")


def _image(picture: Picture) -> Piece:
    share = min(PICTURE / picture.width, PICTURE / picture.height)
    return Image(BytesIO(picture.content), width=picture.width * share, height=picture.height * share)


def _captions(picture: Picture) -> Iterator[Piece]:
    yield Spacer(0, 1 * mm)
    yield _text(say_full_day(picture.on), _CAPTION)
    if picture.words:
        yield _text(f"“{picture.words}”", _CAPTION)


def _numbered(facts: Facts) -> type:
    """A canvas that writes on each page how many there are, once it knows."""
    name, made = printable(facts.name, PLAIN), say_full_day(facts.made_on)

    class Numbered(Canvas):  # type: ignore[misc]  # the library has no types
        def __init__(self, *args: object, **more: object) -> None:
            super().__init__(*args, **more)
            self._kept: list[dict[str, object]] = []

        def showPage(self) -> None:  # noqa: N802 - the library's own name
            self._kept.append(dict(self.__dict__))
            self._startPage()

        def save(self) -> None:
            for number, page in enumerate(self._kept, 1):
                self.__dict__.update(page)
                _foot(self, name, f"Made {made} with Rackside", f"Page {number} of {len(self._kept)}")
                super().showPage()
            super().save()

    return Numbered


def _foot(canvas: Piece, name: str, made: str, page: str) -> None:
    low = MARGIN - 3 * mm
    canvas.setStrokeColor(RULE)
    canvas.setLineWidth(0.4)
    canvas.line(MARGIN, low + 4 * mm, A4[0] - MARGIN, low + 4 * mm)
    canvas.setFont(PLAIN, 7.5)
    canvas.setFillColor(GREY)
    canvas.drawString(MARGIN, low, _cut(name))
    canvas.drawCentredString(A4[0] / 2, low, made)
    canvas.drawRightString(A4[0] - MARGIN, low, page)


def _cut(name: str, most: int = 36) -> str:
    return name if len(name) <= most else f"{name[: most - 1].rstrip()}…"
