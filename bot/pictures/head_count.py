"""A group's head count over time: the range the records bear out, the counts on it, and what changed it below."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import nan
from typing import TYPE_CHECKING

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
    stairs,
)
from bot.pictures.scales import bucketed, day_number, spaced
from bot.pictures.sheet import GAP, Key, Sheet, add_key, keyed, line_height, open_sheet, to_png, write_if_free
from bot.pictures.style import BAND, MARGIN, SMALL_POINTS, TALL, WIDTH, Look, Mark, PictureFault, Theme, colour

if TYPE_CHECKING:
    from matplotlib.figure import Figure

COUNTED = Mark("o", "ink", 6.5)
AT_LEAST = Mark("^", "ink", 7.0, "none")
BETWEEN = Mark("_", "ink", 7.0)
DIED, CAME, LEFT = "died", "came", "left"
LANES = {
    DIED: ("died", Mark("x", "warm", 6.0)),
    CAME: ("came in", Mark("^", "fresh", 6.5)),
    LEFT: ("sold, given or moved away", Mark("D", "rare", 5.5)),
}
"""What changes a count, in words and with its mark; each has a lane of its own."""

LANE_HEIGHT = 58
MOST_TICKS = 8
HATCHED = 0.75
MOST_STEPS = 200
MOST_COUNTS = 24
APART, APART_MANY = 34, 130
"""Pixels within which several changes are one mark with their sum; the second where there would be many."""

MANY = 12
"""Marks from which they are drawn smaller, or gathered from farther apart."""


@dataclass(frozen=True, slots=True)
class Step:
    """The range of heads from a day on, until the next step; `high` None has no upper end."""

    on: date
    low: int
    high: int | None


EXACT = -1


@dataclass(frozen=True, slots=True)
class Counted:
    """A count on a day: the number, or from that to `high`; None for "at least". Left out, it is exact."""

    on: date
    number: int
    high: int | None = EXACT

    @property
    def exact(self) -> bool:
        """Whether one number was counted."""
        return self.high in {EXACT, self.number}

    @property
    def between(self) -> bool:
        """Whether the count is a range with two ends."""
        return self.high is not None and not self.exact


@dataclass(frozen=True, slots=True)
class Change:
    """Heads that came or went on a day: `what` is `DIED`, `CAME` or `LEFT`; None for a number not told."""

    on: date
    what: str
    number: int | None


@dataclass(frozen=True, slots=True)
class HeadCount:
    """What is drawn: the title says the finding, the basis what it rests on; the last step holds up to `until`."""

    title: str
    basis: str
    steps: tuple[Step, ...]
    until: date
    counts: tuple[Counted, ...] = ()
    changes: tuple[Change, ...] = ()


def picture(told: HeadCount, theme: str = "light") -> bytes:
    """Draw a head count as a PNG, 1080 by 1350."""
    return to_png(drawn(told, theme))


def drawn(told: HeadCount, theme: str = "light") -> Figure:
    """Draw the figure of a head count; PictureFault if there is neither a range nor a count."""
    if not told.steps and not told.counts:
        raise PictureFault("There is nothing to draw: no number of heads is written yet.")
    sheet = open_sheet(told.title, told.basis, TALL, theme)
    add_key(sheet, _keys(told, sheet.theme))
    lanes = [what for what in LANES if any(change.what == what for change in told.changes)]
    numbers = [float(one.low) for one in told.steps] + [float(one.number) for one in told.counts]
    numbers += [float(one.high) for one in told.steps if one.high is not None]
    numbers += [float(one.high or 0) for one in told.counts if one.between]
    ticks = nice_range(min(numbers), max(numbers) * (1.12 if _open(told) else 1), MOST_TICKS, whole=True)
    days = [one.on for one in told.steps] + [one.on for one in told.counts] + [one.on for one in told.changes]
    across = days_across([day_number(min(days)), day_number(max(told.until, *days))])
    floor = MARGIN + line_height(SMALL_POINTS) * 2 + len(lanes) * LANE_HEIGHT
    box = (room_for(ticks), floor, WIDTH - MARGIN, sheet.top - 2 * GAP)
    panel = add_panel(sheet, box, across, (ticks[0], ticks[-1]))
    number_axis(sheet, panel, ticks)
    if told.steps:
        _band(panel, told, sheet.theme)
    _counts(sheet, panel, told.counts)
    under = below(panel, len(lanes) * LANE_HEIGHT) if lanes else panel
    for number, what in enumerate(lanes):
        height = under.height((number + 0.55) / len(lanes))
        _lane(sheet, under, height, [one for one in told.changes if one.what == what])
    day_axis(sheet, under)
    return sheet.figure


def _open(told: HeadCount) -> bool:
    return any(step.high is None for step in told.steps)


def _keys(told: HeadCount, theme: Theme) -> list[Key]:
    keys = [keyed(theme, "counted", COUNTED)] if any(one.exact for one in told.counts) else []
    if any(one.high is None for one in told.counts):
        keys.append(keyed(theme, "counted, at least", AT_LEAST))
    if any(one.between for one in told.counts):
        keys.append(keyed(theme, "counted, from to", BETWEEN))
    if told.steps:
        keys.append(Key("range on the books", {"color": theme.main, "linewidth": 1.2}, _ground(theme)))
    if _open(told):
        keys.append(Key("no upper end", None, _open_ground(theme)))
    found = Counter(change.what for change in told.changes)
    keys += [keyed(theme, words, mark) for what, (words, mark) in LANES.items() if what in found]
    gathered = any(number > MANY for number in found.values())
    return [*keys, Key("near each other: one mark with their sum")] if gathered else keys


def _ground(theme: Theme) -> Look:
    return {"facecolor": (theme.main, BAND), "linewidth": 0}


def _open_ground(theme: Theme) -> Look:
    return {"facecolor": "none", "edgecolor": (theme.main, HATCHED), "hatch": "///", "linewidth": 0}


def _band(panel: Panel, told: HeadCount, theme: Theme) -> None:
    """Draw the range as stairs: shaded between its ends, hatched up to the top where there is no upper end."""
    steps = _fewer(sorted(told.steps, key=lambda step: step.on))
    ends = [day_number(step.on) for step in steps] + [max(day_number(told.until), day_number(steps[-1].on) + 0.5)]
    lows = [float(step.low) for step in steps]
    highs = [nan if step.high is None else float(step.high) for step in steps]  # where there is none nothing is drawn
    stairs(panel, highs, ends, lows, {"zorder": 1, **_ground(theme)})
    if _open(told):
        tops = [panel.up[1] if step.high is None else nan for step in steps]
        stairs(panel, tops, ends, lows, {"zorder": 1, **_open_ground(theme)})
    for row in (lows, highs):
        stairs(panel, row, ends, None, {"edgecolor": colour(theme, "main"), "linewidth": 1.2, "zorder": 3})


def _fewer(steps: Sequence[Step]) -> Sequence[Step]:
    """At most so many steps: of a stretch of time the widest range that it held, and no upper end if any had none."""
    if len(steps) <= MOST_STEPS:
        return steps
    first, last = steps[0].on.toordinal(), steps[-1].on.toordinal()
    stretches: dict[int, list[Step]] = {}
    for step in steps:
        at = int((step.on.toordinal() - first) / max(last - first, 1) * (MOST_STEPS - 1))
        stretches.setdefault(at, []).append(step)
    return [_widest(group) for group in stretches.values()]


def _widest(steps: Sequence[Step]) -> Step:
    highs = [step.high for step in steps if step.high is not None]
    return Step(steps[0].on, min(step.low for step in steps), max(highs) if len(highs) == len(steps) else None)


def _counts(sheet: Sheet, panel: Panel, counts: Sequence[Counted]) -> None:
    """Set the counts, and write as many of their numbers as have room, the last ones first."""
    least = [(day_number(one.on), float(one.number)) for one in counts if one.high is None]
    put(sheet, panel, AT_LEAST, least, above=5)
    _ranges(sheet, panel, [one for one in counts if one.between])
    points = [(day_number(one.on), float(one.number)) for one in counts if one.exact]
    few = bucketed(points, MOST_COUNTS)
    many = len(few) > MANY
    put(sheet, panel, replace(COUNTED, points=4.5) if many else COUNTED, [(one.at, one.middle) for one in few], above=6)
    alone = [one for one in few if one.number == 1]
    for one in alone[:: -3 if many else -1]:
        at, height, words = panel.x(one.at), panel.y(one.middle), f"{one.middle:g}"
        if not write_if_free(sheet, (at, height + 38), words, rim=True):
            write_if_free(sheet, (at, height - 38), words, rim=True)


def _ranges(sheet: Sheet, panel: Panel, counts: Sequence[Counted]) -> None:
    """Draw each count that is a range as a bar from its low to its high end."""
    days = [day_number(one.on) for one in counts]
    lows, highs = [float(one.number) for one in counts], [float(one.high or 0) for one in counts]
    panel.axes.vlines(days, lows, highs, colors=colour(sheet.theme, "ink"), linewidth=1.6, zorder=5)
    ends = [*zip(days, lows, strict=True), *zip(days, highs, strict=True)]
    put(sheet, panel, BETWEEN, ends, above=6)


def _lane(sheet: Sheet, panel: Panel, height: float, changes: Sequence[Change]) -> None:
    """Set the changes of one kind in their lane; those too near each other are one mark, with their sum where it has room."""
    mark = LANES[changes[0].what][1]
    ordered = sorted(changes, key=lambda one: one.on)
    places = [panel.x(day_number(one.on)) for one in ordered]
    groups = spaced(places, APART)
    gathered = [
        [ordered[index] for index in group] for group in (groups if len(groups) <= MANY else spaced(places, APART_MANY))
    ]
    middles = [day_number(members[0].on) for members in gathered]
    put(sheet, panel, mark, [(at, height) for at in middles])
    for at, members in zip(middles, gathered, strict=True):
        numbers = [one.number for one in members if one.number is not None]
        if len(numbers) == len(members):
            beside, level, words = panel.x(at), panel.y(height), str(sum(numbers))
            if not write_if_free(sheet, (beside + 22, level), words, place="left"):
                write_if_free(sheet, (beside - 22, level), words, place="right")
