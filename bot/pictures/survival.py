"""How many of a brood are still alive, by its age: the curve with its interval, and where animals left the reckoning."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

from bot.pictures.panel import Panel, add_panel, number_axis, plain_axis, put, room_for, stairs
from bot.pictures.scales import bucketed, number_ticks
from bot.pictures.sheet import (
    GAP,
    Key,
    Sheet,
    add_key,
    keyed,
    line_height,
    open_sheet,
    sign,
    to_png,
    write,
    write_if_free,
)
from bot.pictures.style import MARGIN, SMALL_POINTS, TALL, WIDTH, Look, Mark, PictureFault, Theme, colour

if TYPE_CHECKING:
    from matplotlib.figure import Figure

CENSORED = (Mark("|", "main", 7.0), Mark("+", "warm", 7.0))
"""Where animals were sold, given away or are simply alive today, for the first curve and the second."""

LINES = ("-", (0, (2.2, 1.1)))
HATCHES = (None, "\\\\\\")
SHADES = (0.10, 0.08)
PER_CENT = (0, 20, 40, 60, 80, 100)
UNITS = (("days", 1.0, 120.0), ("weeks", 7.0, 730.0), ("years", 365.25, inf))
"""What ages are told in, its length in days, and up to how many days."""

MOST_CURVES = 2
MOST_MARKS = 60
MOST_TICKS = 7


@dataclass(frozen=True, slots=True)
class Drop:
    """The share alive, 0 to 1, with its interval, from an age in days on until the next drop."""

    age: float
    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Curve:
    """One group's survival from a share of 1 at age 0 up to the age `until`.

    `censored` are the ages at which animals left the reckoning alive, `at_risk` how many were still in it at some ages.
    """

    name: str
    drops: tuple[Drop, ...]
    until: float
    censored: tuple[float, ...] = ()
    at_risk: tuple[tuple[float, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Survival:
    """What is drawn: one curve or two; the title says the finding, the basis what it rests on."""

    title: str
    basis: str
    curves: tuple[Curve, ...]


def picture(told: Survival, theme: str = "light") -> bytes:
    """Draw survival as a PNG, 1080 by 1350."""
    return to_png(drawn(told, theme))


def drawn(told: Survival, theme: str = "light") -> Figure:
    """Draw the figure of survival; PictureFault if there is no curve, or more than two."""
    if not told.curves:
        raise PictureFault("There is nothing to draw: no brood with its losses is written yet.")
    if len(told.curves) > MOST_CURVES:
        raise PictureFault("At most two broods can be drawn in one picture.")
    sheet = open_sheet(told.title, told.basis, TALL, theme)
    add_key(sheet, _keys(sheet.theme, told.curves))
    line = line_height(SMALL_POINTS)
    longest = max([curve.until for curve in told.curves] + [drop.age for curve in told.curves for drop in curve.drops])
    unit, length = next((unit, length) for unit, length, most in UNITS if longest <= most)
    ages = [age * length for age in number_ticks(0, max(longest / length, 1), MOST_TICKS, whole=True)]
    rows = sum(bool(curve.at_risk) for curve in told.curves)
    top = sheet.top - line - 2 * GAP
    write(sheet, (MARGIN, sheet.top - line / 2), "alive, %", role="ink")
    left = room_for(PER_CENT) + (GAP if rows > 1 else 0)  # signs stand before the rows of numbers
    box = (left, MARGIN + line * (2.2 + rows + bool(rows)), WIDTH - MARGIN - 2 * GAP, top)
    panel = add_panel(sheet, box, (0, ages[-1]), (0, 100))
    number_axis(sheet, panel, PER_CENT)
    plain_axis(sheet, panel, ages, length)
    write(sheet, ((box[0] + box[2]) / 2, box[1] - line * 1.7), f"{unit} since the start", place="center")
    for number, curve in enumerate(told.curves):
        _curve(sheet, panel, curve, number)
    _at_risk(sheet, panel, told.curves)
    return sheet.figure


def _keys(theme: Theme, curves: Sequence[Curve]) -> list[Key]:
    keys = [Key(curve.name, _line(theme, number), _ground(theme, number)) for number, curve in enumerate(curves)]
    for number, curve in enumerate(curves):
        if curve.censored:
            words = "sold, given away or alive so far" + (f" ({curve.name})" if len(curves) > 1 else "")
            keys.append(keyed(theme, words, CENSORED[number]))
    return keys


def _line(theme: Theme, number: int) -> Look:
    return {"color": colour(theme, CENSORED[number].role), "linewidth": 1.7, "linestyle": LINES[number]}


def _ground(theme: Theme, number: int) -> Look:
    """The shade of an interval; the second is hatched too."""
    own = colour(theme, CENSORED[number].role)
    return {
        "facecolor": (own, SHADES[number]),
        "edgecolor": (own, 0.5),
        "hatch": HATCHES[number],
        "linewidth": 0,
    }


def _curve(sheet: Sheet, panel: Panel, curve: Curve, number: int) -> None:
    """Draw the stairs, the interval about them, and the marks of those that left."""
    drops = [Drop(0, 1, 1, 1), *sorted(curve.drops, key=lambda drop: drop.age)]
    drops.append(Drop(max(curve.until, drops[-1].age), *(drops[-1].share, drops[-1].low, drops[-1].high)))
    ages = [drop.age for drop in drops]
    own = _line(sheet.theme, number)
    lows, highs = [drop.low * 100 for drop in drops[:-1]], [drop.high * 100 for drop in drops[:-1]]
    stairs(panel, highs, ages, lows, {"zorder": 1 + number, **_ground(sheet.theme, number)})
    for edge in (lows, highs):
        stairs(panel, edge, ages, None, {"edgecolor": own["color"], "linewidth": 0.5, "zorder": 3})
    shares = [drop.share * 100 for drop in drops]
    panel.axes.plot(ages, shares, drawstyle="steps-post", zorder=4, clip_on=False, **own)
    few = bucketed([(age, 0.0) for age in curve.censored], MOST_MARKS)
    put(sheet, panel, CENSORED[number], [(one.at, shares[_last(ages, one.at)]) for one in few])


def _last(ages: Sequence[float], age: float) -> int:
    """Which drop came last by an age, one of that very day among them."""
    return max(bisect_right(ages, age) - 1, 0)


def _at_risk(sheet: Sheet, panel: Panel, curves: Sequence[Curve]) -> None:
    """Write under the ages how many animals the curve still rests on there."""
    shown = [(number, curve) for number, curve in enumerate(curves) if curve.at_risk]
    line = line_height(SMALL_POINTS)
    level = panel.box[1] - line * 2.8
    if shown:
        write(sheet, (MARGIN, level), "animals still in the reckoning")
    for row, (number, curve) in enumerate(shown, start=1):
        if len(curves) > 1:
            sign(sheet, Key("", _line(sheet.theme, number)), MARGIN, level - line * row)
        for age, left in curve.at_risk:
            write_if_free(sheet, (panel.x(age), level - line * row), str(left))
