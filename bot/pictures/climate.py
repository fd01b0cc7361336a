"""Humidity and temperature over time, each against the band that is wanted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from math import inf
from typing import TYPE_CHECKING

from bot.pictures.lettering import printable
from bot.pictures.panel import Panel, add_panel, day_axis, days_across, number_axis, put, room_for
from bot.pictures.scales import Bucket, bucketed, day_number, number_ticks
from bot.pictures.sheet import GAP, Box, Key, Sheet, add_key, keyed, line_height, open_sheet, to_png, write
from bot.pictures.style import BAND, LOW, MARGIN, SMALL_POINTS, TALL, WIDTH, Look, Mark, PictureFault, Theme, colour

if TYPE_CHECKING:
    from matplotlib.figure import Figure

INSIDE = Mark("o", "main", 5.0)
ABOVE = Mark("^", "warm", 6.5)
BELOW = Mark("v", "warm", 6.5)
SIGNS = (("in the band", INSIDE), ("above it", ABOVE), ("below it", BELOW))

MOST_TICKS = 6
ROOM = 0.06
"""Part of the range kept free above and below it, so that no mark and no band's end lies on the edge."""

MOST, STRETCHES = 120, 80
"""Readings of a panel that are marks of their own at most, and into how many stretches of time more of them go."""

SPREAD = 0.5
MANY = 40
"""Marks from which they are drawn smaller."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A reading at a local time."""

    moment: datetime
    value: float


@dataclass(frozen=True, slots=True)
class Series:
    """What one panel shows: its name with the unit ("humidity, %"), the readings, and the band, None where it is open.

    `least` and `greatest` are the values beyond which the axis need not go (0 and 100 for humidity).
    """

    name: str
    readings: tuple[Measured, ...]
    low: float | None = None
    high: float | None = None
    least: float = -inf
    greatest: float = inf

    def __post_init__(self) -> None:
        if not all(self.least <= one.value <= self.greatest for one in self.readings):
            raise PictureFault(f"A reading of {self.name} lies beyond what it can be.")


@dataclass(frozen=True, slots=True)
class Climate:
    """What is drawn, one panel under the other; a series without readings is left out.

    The title says the finding, the basis what it rests on.
    """

    title: str
    basis: str
    panels: tuple[Series, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """A series with its readings as they are drawn: as they are, or as stretches of time."""

    series: Series
    found: list[Bucket]


def picture(told: Climate, theme: str = "light") -> bytes:
    """Draw a climate as a PNG, 1080 by 1350, of one panel alone 1080 by 810."""
    return to_png(drawn(told, theme))


def drawn(told: Climate, theme: str = "light") -> Figure:
    """Draw the figure of a climate; PictureFault if there is no reading."""
    shown = [Row(series, _gathered(series)) for series in told.panels if series.readings]
    if not shown:
        raise PictureFault("There is nothing to draw: no reading is written yet.")
    sheet = open_sheet(told.title, told.basis, TALL if len(shown) > 1 else LOW, theme)
    add_key(sheet, _keys(sheet.theme, shown))
    ranges = [_range(row.series) for row in shown]
    scales = [[tick for tick in number_ticks(*up, MOST_TICKS) if up[0] <= tick <= up[1]] for up in ranges]
    across = days_across(one.at for row in shown for one in row.found)
    left = max(room_for(ticks) for ticks in scales)
    for row, up, ticks, box in zip(shown, ranges, scales, _boxes(sheet, left, len(shown)), strict=True):
        write(sheet, (MARGIN, box[3] + GAP + line_height(SMALL_POINTS) * 0.7), printable(row.series.name), role="ink")
        panel = add_panel(sheet, box, across, up)
        number_axis(sheet, panel, ticks)
        _band(panel, row.series, sheet.theme)
        _readings(sheet, panel, row)
        day_axis(sheet, panel)
    return sheet.figure


def _boxes(sheet: Sheet, left: float, number: int) -> list[Box]:
    """Share the sheet out among panels, each with a line above for its name and two below for days."""
    line = line_height(SMALL_POINTS)
    share = (sheet.top - MARGIN) / number
    tops = [sheet.top - share * place for place in range(number)]
    return [(left, top - share + 2.5 * line, WIDTH - MARGIN, top - line - GAP) for top in tops]


def _gathered(series: Series) -> list[Bucket]:
    points = [(day_number(one.moment), one.value) for one in series.readings]
    return bucketed(points, MOST if len(points) <= MOST else STRETCHES)


def _range(series: Series) -> tuple[float, float]:
    """Ends of the panel: around what was read and the ends of the band."""
    values = [one.value for one in series.readings]
    values += [edge for edge in (series.low, series.high) if edge is not None]
    room = max((max(values) - min(values)) * ROOM, 0.5)
    return max(min(values) - room, series.least), min(max(values) + room, series.greatest)


def _keys(theme: Theme, shown: Sequence[Row]) -> list[Key]:
    banded = any(row.series.low is not None or row.series.high is not None for row in shown)
    many = any(len(row.series.readings) > MOST for row in shown)
    found = {_mark(row.series, one.middle) for row in shown for one in row.found}
    keys = (
        [Key("wanted", {"color": theme.faint, "linewidth": 0.9, "linestyle": "--"}, _ground(theme))] if banded else []
    )
    spread = {"color": theme.main, "linewidth": 2.5, "alpha": SPREAD}
    keys += [Key("least to greatest of a stretch, its median", spread)] if many else []
    words = SIGNS if banded else (("read", INSIDE),)
    return keys + [keyed(theme, word, mark) for word, mark in words if mark in found]


def _ground(theme: Theme) -> Look:
    return {"facecolor": (theme.faint, BAND), "linewidth": 0}


def _mark(series: Series, value: float) -> Mark:
    if series.low is not None and value < series.low:
        return BELOW
    return ABOVE if series.high is not None and value > series.high else INSIDE


def _band(panel: Panel, series: Series, theme: Theme) -> None:
    """Shade what is wanted, with a dashed line at each end it has; an open end reaches to the edge of the panel."""
    if series.low is None and series.high is None:
        return
    low = panel.up[0] if series.low is None else series.low
    high = panel.up[1] if series.high is None else series.high
    panel.axes.axhspan(low, high, zorder=1, **_ground(theme))
    ends = [edge for edge in (series.low, series.high) if edge is not None]
    panel.axes.hlines(ends, *panel.across, colors=theme.faint, linewidth=0.9, linestyles="--", zorder=2)


def _readings(sheet: Sheet, panel: Panel, row: Row) -> None:
    series, found = row.series, row.found
    _spread(panel, found, sheet.theme)
    points = {0: 1.0, 1: 0.75, 2: 0.55}[(len(found) > MANY) + (len(series.readings) > MOST)]
    for _words, mark in SIGNS:
        chosen = [(one.at, one.middle) for one in found if _mark(series, one.middle) == mark]
        put(sheet, panel, replace(mark, points=mark.points * points), chosen)


def _spread(panel: Panel, found: Sequence[Bucket], theme: Theme) -> None:
    """Draw the spread of each stretch of time and a thin line through the middles."""
    main = colour(theme, "main")
    panel.axes.plot(
        [one.at for one in found], [one.middle for one in found], color=main, linewidth=0.7, alpha=0.6, zorder=3
    )
    wide = [one for one in found if one.high > one.low]
    style: Look = {"colors": main, "linewidth": 1.4, "alpha": SPREAD, "zorder": 3}
    panel.axes.vlines([one.at for one in wide], [one.low for one in wide], [one.high for one in wide], **style)
