"""The sheet of labels as a PDF."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any

from reportlab.pdfgen.canvas import Canvas

from bot.labels.codes import Code, code_of
from bot.labels.fonts import BOLD, PLAIN, ready
from bot.labels.label import Label, LabelFault
from bot.labels.layout import Box, Grid, LabelSize, Paper, code_box, words_box
from bot.labels.lettering import LEADING, Lettering, Room, fitted

_POINTS = 72 / 25.4
"""Points in a mm: a point is 1/72 inch (ISO 32000-1, 8.3.2.3), an inch 25.4 mm."""

_CUT_WIDTH = 0.1 * _POINTS
_CUT_GREY = 0.7
_BASELINE = 0.93
"""From the top of a line down to its baseline, in parts of the letters' size: the ascent of DejaVu Sans."""

_NAME_SHARE = 0.65
"""The share of the words' height that a name may take where a line stands beneath it."""

Drawing = Any
"""The library's canvas, which has no types."""


def sheet(labels: Sequence[Label], paper: Paper, size: LabelSize) -> bytes:
    """A PDF of the labels, row by row from the upper left, on as many pages as they need; the same labels, the same bytes.

    Raises LabelFault where there are no labels, none fits on the paper, or one has no name, no address, or too long an address for its size.
    """
    if not labels:
        raise LabelFault("There is nothing to make labels of.")
    grid = Grid(paper, size)
    if not grid.per_page:
        raise LabelFault(f"A {size.name} label does not fit on {paper.name} paper.")
    file = BytesIO()
    drawing = Canvas(file, pagesize=(paper.width * _POINTS, paper.height * _POINTS), pageCompression=1, invariant=1)
    drawing.setTitle("Labels")
    drawing.setAuthor("Rackside")
    for start in range(0, len(labels), grid.per_page):
        for place, label in enumerate(labels[start : start + grid.per_page]):
            _draw_label(drawing, label, grid.sticker(place), size)
        drawing.showPage()
    drawing.save()
    return file.getvalue()


def _draw_label(drawing: Drawing, label: Label, sticker: Box, size: LabelSize) -> None:
    _draw_cuts(drawing, sticker)
    _draw_code(drawing, code_of(label, size), code_box(sticker, size))
    _draw_words(drawing, label, words_box(sticker, size), size)


def _draw_cuts(drawing: Drawing, sticker: Box) -> None:
    """A hair line around the sticker. Neighbours share theirs, so that one cut parts them."""
    drawing.setLineWidth(_CUT_WIDTH)
    drawing.setStrokeGray(_CUT_GREY)
    drawing.rect(*(length * _POINTS for length in (sticker.left, sticker.bottom, sticker.width, sticker.height)))


def _draw_code(drawing: Drawing, code: Code, box: Box) -> None:
    """The dark modules as one black path, in a grid of modules that hangs from the box's upper left corner."""
    drawing.saveState()
    drawing.translate(box.left * _POINTS, (box.bottom + box.height) * _POINTS)
    drawing.scale(box.width * _POINTS / code.modules, -box.height * _POINTS / code.modules)
    drawing.setFillGray(0)
    path = drawing.beginPath()
    for run in code.runs:
        path.rect(run.column, run.row, run.length, 1)
    drawing.drawPath(path, stroke=0, fill=1)
    drawing.restoreState()


def _draw_words(drawing: Drawing, label: Label, box: Box, size: LabelSize) -> None:
    """Name and line, as one block half-way up the box."""
    name, line = _words(label, Room(box.width * _POINTS, box.height * _POINTS), size)
    gap = _gap(size) if line.lines else 0.0
    top = (box.bottom + box.height / 2) * _POINTS + (name.height + gap + line.height) / 2
    _draw_lettering(drawing, name, box.left * _POINTS, top)
    _draw_lettering(drawing, line, box.left * _POINTS, top - name.height - gap)


def _words(label: Label, room: Room, size: LabelSize) -> tuple[Lettering, Lettering]:
    """Name and line, fitted to the room that they share; the line no larger than the name."""
    share = _NAME_SHARE if label.line.strip() else 1.0
    name = fitted(label.name, BOLD, size.name_letters, Room(room.width, room.height * share))
    if not name.lines:
        raise LabelFault("A label has no name.")
    rest = Room(room.width, room.height - name.height - _gap(size))
    return name, fitted(label.line, PLAIN, size.line_letters.up_to(name.points), rest)


def _gap(size: LabelSize) -> float:
    """Between name and line, in points."""
    return size.line_letters.largest / 4


def _draw_lettering(drawing: Drawing, lettering: Lettering, left: float, top: float) -> None:
    drawing.setFillGray(0)
    drawing.setFont(ready(lettering.font), lettering.points)
    for number, line in enumerate(lettering.lines):
        drawing.drawString(left, top - (number * LEADING + _BASELINE) * lettering.points, line)
