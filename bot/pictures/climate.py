"""Humidity and temperature over time, each against the band that is wanted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from bot.pictures.lettering import printable
from bot.pictures.scales import Bucket, bucketed, day_number, number_ticks
from bot.pictures.sheet import (
    GAP,
    Box,
    Key,
    Panel,
    Sheet,
    add_key,
    add_panel,
    day_axis,
    days_across,
    keyed,
    line_height,
    number_axis,
    open_sheet,
    put,
    room_for,
    to_png,
    write,
)
from bot.pictures.style import BAND, LOW, MARGIN, SMALL_POINTS, TALL, WIDTH, Mark, PictureFault, Theme, colour

if TYPE_CHECKING:
    from matplotlib.figure import Figure

INSIDE = Mark("o", "main", 5.0)
ABOVE = Mark("^", "warm", 6.5)
BELOW = Mark("v", "warm", 6.5)
SIGNS = (("in the band", INSIDE), ("above it", ABOVE), ("below it", BELOW))

MOST_TICKS = 6
MOST = 120
"""Readings of a panel that are marks of their own; more become stretches of time with their spread."""

MANY = 40
"""Marks from which they are drawn smaller."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A reading at a local time."""

    moment: datetime
    value: float


@dataclass(frozen=True, slots=True)
class Series:
    """What one panel shows: its name with the unit ("humidity, %"), the readings, and the band, None where it is open."""

    name: str
    readings: tuple[Measured, ...]
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Climate:
    """What is drawn, one panel under the other; a series without readings is left out.

    The title says the finding, the basis what it rests on.
    """

    title: str
    basis: str
    panels: tuple[Series, ...]


def picture(told: Climate, theme: str = "light") -> bytes:
    """Draw a climate as a PNG, 1080 by 1350, of one panel alone 1080 by 810."""
    return to_png(drawn(told, theme))


def drawn(told: Climate, theme: str = "light") -> Figure:
    """Draw the figure of a climate; PictureFault if there is no reading."""
    shown = [series for series in told.panels if series.readings]
    if not shown:
        raise PictureFault("There is nothing to draw: no reading is written yet.")
    sheet = open_sheet(told.title, told.basis, TALL if len(shown) > 1 else LOW, theme)
    add_key(sheet, _keys(sheet.theme, shown))
    scales = [_ticks(series) for series in shown]
    across = days_across(day_number(one.moment) for series in shown for one in series.readings)
    left = max(room_for(ticks) for ticks in scales)
    for series, ticks, box in zip(shown, scales, _boxes(sheet, left, len(shown)), strict=True):
        write(sheet, (MARGIN, box[3] + GAP + line_height(SMALL_POINTS) * 0.7), printable(series.name), role="ink")
        panel = add_panel(sheet, box, across, (ticks[0], ticks[-1]))
        number_axis(sheet, panel, ticks)
        _band(panel, series, sheet.theme)
        _readings(sheet, panel, series)
        day_axis(sheet, panel)
    return sheet.figure


def _boxes(sheet: Sheet, left: float, number: int) -> list[Box]:
    """Share the sheet out among panels, each with a line above for its name and two below for days."""
    line = line_height(SMALL_POINTS)
    share = (sheet.top - MARGIN) / number
    tops = [sheet.top - share * place for place in range(number)]
    return [(left, top - share + 2.2 * line, WIDTH - MARGIN, top - line - GAP) for top in tops]


def _ticks(series: Series) -> list[float]:
    """Numbers up the panel: what was read, and the ends of the band."""
    values = [one.value for one in series.readings]
    values += [edge for edge in (series.low, series.high) if edge is not None]
    return number_ticks(min(values), max(values), MOST_TICKS)


def _keys(theme: Theme, shown: Sequence[Series]) -> list[Key]:
    banded = [series for series in shown if series.low is not None or series.high is not None]
    many = any(len(series.readings) > MOST for series in shown)
    keys = (
        [Key("wanted", {"color": theme.faint, "linewidth": 0.9, "linestyle": "--"}, _ground(theme))] if banded else []
    )
    spread = {"color": theme.main, "linewidth": 2.5, "alpha": 0.45}
    keys += [Key("median and spread of a stretch of time", spread)] if many else []
    found = {_mark(series, one.value) for series in shown for one in series.readings}
    words = SIGNS if banded else (("read", INSIDE),)
    return keys + [keyed(theme, word, mark) for word, mark in words if mark in found]


def _ground(theme: Theme) -> dict[str, object]:
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


def _readings(sheet: Sheet, panel: Panel, series: Series) -> None:
    found = bucketed([(day_number(one.moment), one.value) for one in series.readings], MOST)
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
    style = {"colors": main, "linewidth": 1.6, "alpha": 0.45, "zorder": 3}
    panel.axes.vlines([one.at for one in wide], [one.low for one in wide], [one.high for one in wide], **style)
