"""The feeding calendar: a row for each week, a column for each day of it, a mark for what became of food that day."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.pictures.lettering import width_of
from bot.pictures.panel import Panel, add_panel, put
from bot.pictures.scales import MONTHS
from bot.pictures.sheet import GAP, Box, Key, Sheet, add_key, keyed, line_height, open_sheet, to_png, write
from bot.pictures.style import LOW, MARGIN, SMALL_POINTS, TALL, WIDTH, Look, Mark, PictureFault

if TYPE_CHECKING:
    from matplotlib.figure import Figure

TAKEN, PARTLY, GIVEN, REFUSED = "taken", "partly", "given", "refused"
NOT_OFFERED, HELD, MOULT = "not offered", "held", "moult"
SIGNS = {
    TAKEN: ("taken", Mark("o", "main", 9.5)),
    PARTLY: ("partly taken", Mark("o", "main", 8.5, "left")),
    GIVEN: ("fed, take not told", Mark("o", "main", 8.5, "none")),
    REFUSED: ("refused", Mark("x", "warm", 7.0)),
    HELD: ("held, not to be fed", Mark("s", "faint", 7.0, "none")),
    NOT_OFFERED: ("not offered", Mark("_", "faint", 5.0)),
}
"""What became of food on a day, in words and with its mark. Of several on one day the first in this order is shown."""

MOULTED = ("moult", Mark("d", "rare", 9.0))
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
ASIDE = 0.2
"""Part of a cell by which food and a moult of one day stand aside of its middle."""

MOST_WEEKS = 16
FEW_WEEKS = 5
"""Up to so many weeks the picture is low."""


@dataclass(frozen=True, slots=True)
class FoodDay:
    """What happened on a day: `TAKEN`, `PARTLY`, `GIVEN`, `REFUSED`, `NOT_OFFERED`, `HELD` or `MOULT`."""

    on: date
    what: str


@dataclass(frozen=True, slots=True)
class FeedingCalendar:
    """What is drawn, in any order, up to a day: the last sixteen weeks of it. The title says the finding, the basis what it rests on."""

    title: str
    basis: str
    days: tuple[FoodDay, ...]
    until: date


def picture(told: FeedingCalendar, theme: str = "light") -> bytes:
    """Draw a calendar as a PNG, 1080 by 1350, for few weeks 1080 by 810."""
    return to_png(drawn(told, theme))


def drawn(told: FeedingCalendar, theme: str = "light") -> Figure:
    """Draw the figure of a calendar; PictureFault if no day up to `until` is told of."""
    days = [day for day in told.days if day.on <= told.until]
    if not days:
        raise PictureFault("There is nothing to draw: no feeding is written yet.")
    last = _monday(told.until)
    weeks = min((last - _monday(min(day.on for day in days))).days // 7 + 1, MOST_WEEKS)
    first = last - timedelta(weeks=weeks - 1)
    shown = [day for day in days if day.on >= first]
    sheet = open_sheet(
        told.title, _basis(told, weeks, len(shown) < len(days)), TALL if weeks > FEW_WEEKS else LOW, theme
    )
    add_key(sheet, _keys(sheet, shown))
    panel = _grid(sheet, first, weeks, told.until)
    best = _best(shown)
    moults = {day.on for day in shown if day.what == MOULT}
    for what, (_words, mark) in SIGNS.items():
        days_of_it = sorted(on for on, found in best.items() if found == what)
        put(sheet, panel, mark, [_cell(first, on, -ASIDE * (on in moults)) for on in days_of_it])
    put(sheet, panel, MOULTED[1], [_cell(first, on, ASIDE * (on in best)) for on in sorted(moults)])
    return sheet.figure


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _basis(told: FeedingCalendar, weeks: int, cut: bool) -> str:  # noqa: FBT001 - said of what is shown, by one caller
    return f"{told.basis} (the last {weeks} weeks are shown)" if cut else told.basis


def _keys(sheet: Sheet, shown: Iterable[FoodDay]) -> list[Key]:
    found = {day.what for day in shown}
    signs = {**SIGNS, MOULT: MOULTED}
    return [keyed(sheet.theme, words, mark) for what, (words, mark) in signs.items() if what in found]


def _best(shown: Iterable[FoodDay]) -> dict[date, str]:
    """For each day with food, or held from it, what is shown."""
    order = list(SIGNS)
    best: dict[date, str] = {}
    for day in shown:
        if day.what in SIGNS:
            best[day.on] = min(best.get(day.on, day.what), day.what, key=order.index)
    return best


def _cell(first: date, on: date, aside: float) -> tuple[float, float]:
    """The middle of a day's cell, days to the right and weeks down, or so far aside of it."""
    weeks, weekday = divmod((on - first).days, 7)
    return weekday + 0.5 + aside, -weeks - 0.5


def _grid(sheet: Sheet, first: date, weeks: int, until: date) -> Panel:
    """Draw the empty cells up to the last day, with the weekdays above and each week's Monday at its left."""
    labels = [_week(first + timedelta(weeks=number), number) for number in range(weeks)]
    left = MARGIN + max(width_of(label, SMALL_POINTS) for label in labels) + GAP
    top = sheet.top - line_height(SMALL_POINTS)
    box: Box = (left, MARGIN, WIDTH - MARGIN, top)
    height = (top - MARGIN) / max(weeks, FEW_WEEKS if sheet.figure.bbox.height < TALL else 8)
    box = (left, top - height * weeks, WIDTH - MARGIN, top)
    panel = add_panel(sheet, box, (0, 7), (-weeks, 0))
    for number, label in enumerate(labels):
        write(sheet, (MARGIN, panel.y(-number - 0.5)), label)
    for number, letter in enumerate(WEEKDAYS):
        write(sheet, (panel.x(number + 0.5), sheet.top - line_height(SMALL_POINTS) / 2), letter, place="center")
    _cells(sheet, panel, (until - first).days + 1)
    return panel


def _week(monday: date, number: int) -> str:
    """The label of a week: its Monday, with the year where it is the first shown or the year's first."""
    words = f"{monday.day} {MONTHS[monday.month - 1]}"
    return f"{words} {monday.year}" if number == 0 or (monday.month == 1 and monday.day <= 7) else words


def _cells(sheet: Sheet, panel: Panel, days: int) -> None:
    from matplotlib.collections import PolyCollection  # noqa: PLC0415 - loads slowly

    cells = [_square(number % 7 + 0.03, -(number // 7) - 0.96) for number in range(days)]
    style: Look = {"facecolor": "none", "edgecolor": sheet.theme.grid, "linewidth": 0.7, "zorder": 1}
    panel.axes.add_collection(PolyCollection(cells, **style), autolim=False)
    today: Look = {"facecolor": "none", "edgecolor": sheet.theme.ink, "linewidth": 1.1, "zorder": 2}
    panel.axes.add_collection(PolyCollection(cells[-1:], **today), autolim=False)


def _square(left: float, bottom: float) -> list[tuple[float, float]]:
    """The corners of a cell."""
    right, top = left + 0.94, bottom + 0.92
    return [(left, bottom), (right, bottom), (right, top), (left, top)]
