"""Panels: parts of a sheet with two scales, their axes, and marks on them.

Axes are drawn here, line by line: those of matplotlib would cost more time than all the rest, and their labels could not be
kept out of each other's way.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bot.pictures.lettering import width_of
from bot.pictures.scales import Tick, date_ticks, number_ticks, widened
from bot.pictures.sheet import GAP, Box, Sheet, line_height, write, write_if_free
from bot.pictures.style import DOTS_PER_INCH, MARGIN, SMALL_POINTS, WIDTH, Look, Mark, mark_style

if TYPE_CHECKING:
    from matplotlib.axes import Axes

TICK_LENGTH = 10
DATE_WIDTH = 150
"""Pixels that a date under an axis takes with the room around it."""


@dataclass(frozen=True, slots=True)
class Panel:
    """A part of the sheet with two scales; `x` and `y` turn values into pixels."""

    axes: Axes
    box: Box
    across: tuple[float, float]
    up: tuple[float, float]

    def x(self, value: float) -> float:
        """Pixel of a value across."""
        left, _bottom, right, _top = self.box
        return left + (value - self.across[0]) / (self.across[1] - self.across[0]) * (right - left)

    def y(self, value: float) -> float:
        """Pixel of a value up."""
        _left, bottom, _right, top = self.box
        return bottom + (value - self.up[0]) / (self.up[1] - self.up[0]) * (top - bottom)

    def height(self, part: float) -> float:
        """Value at a part of the way down from the top, 0 to 1."""
        return self.up[1] + (self.up[0] - self.up[1]) * part


def add_panel(sheet: Sheet, box: Box, across: tuple[float, float], up: tuple[float, float]) -> Panel:
    """Make room for marks: a part of the sheet with plain scales, without any lines yet."""
    left, bottom, right, top = box
    height = sheet.figure.bbox.height
    axes = sheet.figure.add_axes((left / WIDTH, bottom / height, (right - left) / WIDTH, (top - bottom) / height))
    axes.set_axis_off()
    axes.set_xlim(*across)
    axes.set_ylim(*up)
    return Panel(axes, box, across, up)


def below(panel: Panel, height: float) -> Panel:
    """So many pixels under a panel, as a panel that goes on with its scales."""
    left, bottom, right, top = panel.box
    unit = (panel.up[1] - panel.up[0]) / (top - bottom)
    return Panel(
        panel.axes, (left, bottom - height, right, bottom), panel.across, (panel.up[0] - height * unit, panel.up[0])
    )


def day_axis(sheet: Sheet, panel: Panel) -> None:
    """Write days under a panel whose scale across is one of days."""
    left, _bottom, right, _top = panel.box
    ticks = date_ticks(*panel.across, most=int((right - left) // DATE_WIDTH))
    _axis_words(sheet, panel, ticks)


def plain_axis(sheet: Sheet, panel: Panel, values: Sequence[float], unit: float = 1.0) -> None:
    """Write numbers under a panel, as so many times a unit."""
    _axis_words(sheet, panel, [Tick(value, said(value / unit)) for value in values])


def number_axis(sheet: Sheet, panel: Panel, values: Sequence[float]) -> None:
    """Rule a panel at these values and write them at its left."""
    panel.axes.hlines(values, *panel.across, colors=sheet.theme.grid, linewidth=0.6, zorder=0)
    for value in values:
        write(sheet, (panel.box[0] - GAP, panel.y(value)), said(value), place="right")


def room_for(values: Iterable[float]) -> float:
    """Where a panel may begin so that these numbers stand at its left."""
    return MARGIN + max(width_of(said(value), SMALL_POINTS) for value in values) + GAP


def said(value: float) -> str:
    """A number on an axis, with a proper minus."""
    digits = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if digits == "-0" else digits.replace("-", "\N{MINUS SIGN}")


def put(sheet: Sheet, panel: Panel, mark: Mark, points: Iterable[tuple[float, float]], *, above: int = 5) -> None:
    """Set a mark at every point; `above` is the layer. Marks at the edge of a panel are not cut, and text keeps off them."""
    placed = list(points)
    if not placed:
        return
    style = mark_style(sheet.theme, mark)
    panel.axes.plot([x for x, _y in placed], [y for _x, y in placed], clip_on=False, zorder=above, **style)
    half = mark.points * DOTS_PER_INCH / 72 / 2
    for x, y in ((panel.x(x), panel.y(y)) for x, y in placed):
        sheet.taken.append((x - half, y - half, x + half, y + half))


def stairs(
    panel: Panel, heights: Sequence[float], ends: Sequence[float], floors: Sequence[float] | None, look: Look
) -> None:
    """Draw a line of stairs, one stair between each two ends, or with floors the ground between; nothing where a height is NaN."""
    from matplotlib.patches import StepPatch  # noqa: PLC0415 - loads slowly

    filled = floors is not None
    base: Any = floors  # the library's types know of one floor only
    # Added as it is: the usual way would measure every corner for scales that are settled already.
    panel.axes.add_artist(StepPatch(heights, ends, baseline=base, fill=filled, clip_on=filled, **look))


def days_across(values: Iterable[float]) -> tuple[float, float]:
    """Ends of an axis of days for these days."""
    days = list(values)
    return widened(min(days), max(days))


def nice_range(low: float, high: float, most: int, *, whole: bool = False) -> list[float]:
    """Ticks for a range; from 0 where that is not far below it."""
    return number_ticks(0.0 if 0 <= low <= 0.5 * high else low, high, most, whole=whole)


def _axis_words(sheet: Sheet, panel: Panel, ticks: Sequence[Tick]) -> None:
    """Write words under a panel, each with a short line to its place; what has no room is left out, line and all."""
    bottom = panel.box[1]
    height = line_height(SMALL_POINTS)
    shown = [
        tick
        for tick in ticks
        if write_if_free(sheet, (panel.x(tick.at), bottom - height * 0.7), tick.words, role="faint")
    ]
    for tick in shown:
        if tick.year:
            write_if_free(sheet, (panel.x(tick.at), bottom - height * 1.6), tick.year, role="faint")
    length = TICK_LENGTH * (panel.up[1] - panel.up[0]) / (panel.box[3] - bottom)
    style: Look = {"colors": sheet.theme.faint, "linewidth": 0.6, "clip_on": False, "zorder": 0}
    panel.axes.vlines([tick.at for tick in shown], panel.up[0] - length, panel.up[0], **style)
