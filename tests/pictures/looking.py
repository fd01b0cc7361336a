"""Asking a figure what stands on it."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from matplotlib.text import Text

if TYPE_CHECKING:
    from matplotlib.figure import Figure

Point = tuple[float, float]


def marks(figure: Figure, shape: str, fill: str = "full") -> list[Point]:
    """Places of all marks of a shape within the panels, in the panels' own scales."""
    return [
        (float(x), float(y))
        for axes in figure.axes
        for line in axes.lines
        if line.get_marker() == shape and line.get_fillstyle() == fill
        for x, y in zip(line.get_xdata(), line.get_ydata(), strict=True)
    ]


def words(figure: Figure) -> list[str]:
    """Every text, in the order in which it was written."""
    return [text.get_text() for text in figure.findobj(Text) if isinstance(text, Text) and text.get_text()]


def spoken(figure: Figure) -> str:
    """Every text in a row."""
    return " ".join(words(figure))


def on(day: date) -> float:
    return float(day.toordinal())
