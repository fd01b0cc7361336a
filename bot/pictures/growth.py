"""Sizes over time with the moults between them, and the window in which the next moult is to be looked for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby
from operator import itemgetter
from statistics import median
from typing import TYPE_CHECKING

from bot.pictures.lettering import printable
from bot.pictures.panel import (
    Panel,
    add_panel,
    below,
    day_axis,
    days_across,
    nice_range,
    number_axis,
    put,
    room_for,
    said,
)
from bot.pictures.scales import bucketed, day_number, full_day
from bot.pictures.sheet import GAP, Key, Sheet, add_key, keyed, line_height, open_sheet, to_png, write, write_if_free
from bot.pictures.style import BAND, MARGIN, SMALL_POINTS, TALL, WIDTH, Look, Mark, PictureFault, Theme, colour

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SIZE = Mark("o", "main", 6.5)
AT_LEAST = Mark("^", "main", 6.5, "none")
MOULT = Mark("d", "rare", 8.0)
LANE_HEIGHT = 64
MOST_TICKS = 7
MANY = 60
"""Sizes from which they become stretches of time with their spread."""

MANY_MOULTS = 24


@dataclass(frozen=True, slots=True)
class Size:
    """A size on a day as a range, in the picture's unit; `high` None for "at least"."""

    on: date
    low: float
    high: float | None


@dataclass(frozen=True, slots=True)
class Growth:
    """What is drawn: the title says the finding, the basis what it rests on, `unit` what is measured ("legspan, mm").

    `next_moult` are the first and the last day of its window; the last None for an open end.
    """

    title: str
    basis: str
    unit: str
    sizes: tuple[Size, ...]
    moults: tuple[date, ...] = ()
    next_moult: tuple[date, date | None] | None = None


def picture(told: Growth, theme: str = "light") -> bytes:
    """Draw growth as a PNG, 1080 by 1350."""
    return to_png(drawn(told, theme))


def drawn(told: Growth, theme: str = "light") -> Figure:
    """Draw the figure of growth; PictureFault if there is no size."""
    if not told.sizes:
        raise PictureFault("There is nothing to draw: no size is written yet.")
    sheet = open_sheet(told.title, told.basis, TALL, theme)
    add_key(sheet, _keys(sheet.theme, told))
    values = [one.low for one in told.sizes] + [one.high for one in told.sizes if one.high is not None]
    ticks = nice_range(min(values), max(values), MOST_TICKS)
    floor = MARGIN + line_height(SMALL_POINTS) * 2 + LANE_HEIGHT * bool(told.moults)
    top = sheet.top - line_height(SMALL_POINTS) - 2 * GAP
    write(sheet, (MARGIN, sheet.top - line_height(SMALL_POINTS) / 2), printable(told.unit), role="ink")
    box = (room_for(ticks), floor, WIDTH - MARGIN, top)
    across = days_across(_days(told))
    panel = add_panel(sheet, box, across, (ticks[0], ticks[-1]))
    number_axis(sheet, panel, ticks)
    lane = below(panel, LANE_HEIGHT) if told.moults else panel
    few = bucketed([(day_number(on), lane.height(0.55)) for on in told.moults], MANY_MOULTS)
    put(sheet, lane, MOULT, [(one.at, one.middle) for one in few])
    _window(panel, lane, told, sheet.theme)
    _sizes(sheet, panel, told.sizes)
    day_axis(sheet, lane)
    return sheet.figure


def _days(told: Growth) -> list[float]:
    """All the days that the picture takes in; a window without an end reaches as far as a sixth of the time before it."""
    days = [day_number(one.on) for one in told.sizes] + [day_number(on) for on in told.moults]
    if told.next_moult is not None:
        first, last = told.next_moult
        open_end = day_number(first) + max(30.0, (day_number(first) - min(days)) / 6)
        days += [day_number(first), open_end if last is None else day_number(last)]
    return days


def _keys(theme: Theme, told: Growth) -> list[Key]:
    many = len(told.sizes) > MANY
    keys = [keyed(theme, "median of a stretch, with its least and greatest" if many else "measured", SIZE)]
    if not many and any(one.high is None for one in told.sizes):
        keys.append(keyed(theme, "at least", AT_LEAST))
    if told.moults:
        keys.append(keyed(theme, "moult" if len(told.moults) <= MANY_MOULTS else "moults, near ones as one", MOULT))
    if told.next_moult is not None:
        first, last = told.next_moult
        until = "on" if last is None else f"to {full_day(last)}"
        start = full_day(first) if last is None or first.year != last.year else full_day(first).rsplit(" ", 1)[0]
        keys.append(Key(f"next moult: {'from ' if last is None else ''}{start} {until}", None, _ground(theme)))
    return keys


def _ground(theme: Theme) -> Look:
    return {"facecolor": (theme.rare, 2 * BAND), "edgecolor": theme.rare, "linewidth": 0.8, "linestyle": "--"}


def _window(panel: Panel, lane: Panel, told: Growth, theme: Theme) -> None:
    """Shade the window of the next moult, a day at least, through panel and lane; an open one up to the edge."""
    from matplotlib.patches import Rectangle  # noqa: PLC0415 - loads slowly

    if told.next_moult is None:
        return
    start, last = day_number(told.next_moult[0]), told.next_moult[1]
    end = panel.across[1] if last is None else max(day_number(last), start + 1)
    low, high = lane.up[0], panel.up[1]
    style: Look = {"facecolor": (theme.rare, 2 * BAND), "linewidth": 0, "clip_on": False, "zorder": 1}
    panel.axes.add_patch(Rectangle((start, low), end - start, high - low, **style))
    edges = [start] if last is None else [start, end]
    panel.axes.vlines(edges, low, high, colors=theme.rare, linewidth=0.9, linestyles="--", zorder=2, clip_on=False)


def _sizes(sheet: Sheet, panel: Panel, sizes: tuple[Size, ...]) -> None:
    """Set the sizes with their ranges, a thin line through the median of each day; many sizes become stretches of time."""
    ordered = sorted(sizes, key=lambda one: one.on)
    ends = [(day_number(one.on), value) for one in ordered for value in (one.low, _high(one))]
    middles = [(day_number(one.on), (one.low + _high(one)) / 2) for one in ordered]
    main = colour(sheet.theme, "main")
    if len(sizes) > MANY:
        found = bucketed(ends, MANY)
        line = [(one.at, one.middle) for one in found]
        bars = [(one.at, one.low, one.high) for one in found]
        put(sheet, panel, replace(SIZE, points=4.0), line)
    else:
        line = [(on, median(value for _on, value in each)) for on, each in groupby(middles, key=itemgetter(0))]
        bars = [(day_number(one.on), one.low, _high(one)) for one in ordered]
        shut = [one.high is not None for one in ordered]
        for mark, wanted in ((SIZE, True), (AT_LEAST, False)):
            put(sheet, panel, mark, [point for point, state in zip(middles, shut, strict=True) if state is wanted])
    panel.axes.plot(
        [on for on, _ in line], [value for _, value in line], color=main, linewidth=0.8, alpha=0.6, zorder=3
    )
    style: Look = {"colors": main, "linewidth": 1.6, "zorder": 4}
    panel.axes.vlines([on for on, _, _ in bars], [low for _, low, _ in bars], [high for _, _, high in bars], **style)
    for at, value in (line[-1], line[0]):
        _value(sheet, panel, (at, value), [high for on, _low, high in bars if on == at])


def _value(sheet: Sheet, panel: Panel, point: tuple[float, float], tops: list[float]) -> None:
    """Write a value over its one mark, or right beside it where it is the median of several."""
    across, up, words = panel.x(point[0]), panel.y(point[1]), said(round(point[1], 1))
    if len(tops) == 1:
        write_if_free(sheet, (across, panel.y(tops[0]) + 40), words, rim=True)
    else:
        write_if_free(sheet, (across + 26, up), words, place="left", rim=True)


def _high(size: Size) -> float:
    return size.low if size.high is None else size.high
