"""The picture of growth: the sizes of one series with the moults, and the window of the next, as the answer on size has it."""

from __future__ import annotations

from collections.abc import Sequence

from bot.answers.drawing import Drawing, stretch_of
from bot.answers.growing import Series, growth_of, moults_of, series_of, stage_of, window_of
from bot.answers.growth_words import say_growth, say_window
from bot.answers.samples import size_of
from bot.answers.view import Target, View
from bot.care.growth import MASS
from bot.language.meaning import Ask
from bot.pictures.growth import Growth, Size, picture
from bot.wording import say_count, say_measure, sentence
from bot.wording.numbers import INCH_IN_MM, OUNCE_IN_GRAMS
from storage.journal import EntryRow

ALL_DAYS = 36_525
"""Growth is slow: without a time in the question all of it is shown, however long."""


def draw(ask: Ask, view: View, target: Target) -> Drawing | str:
    """The picture of one occupant's growth; a sentence where no size is written of those days."""
    stretch = stretch_of(ask, view, ALL_DAYS)
    every, moults = series_of(view, target), moults_of(view, target)
    wanted = ask.fields.get("measure")
    series = [one for one in every if wanted is None or one.unit_of == wanted]
    if not series:
        return f"No {'measurement' if wanted is None else wanted} of {target.name} is written, so there is nothing to draw."
    growth = growth_of(view, target, moults, series)
    chosen = growth.series if growth is not None else max(series, key=lambda one: len(one.entries))
    shown = [entry for entry in chosen.entries if stretch.holds(entry.on)]
    moulted = [entry for entry in moults if stretch.holds(entry.on)]
    if not shown:
        return f"No {chosen.name} of {target.name} is written {stretch.said(view, None, older=True)}."
    window = window_of(target, moults, every)
    ahead = window if window is not None and stretch.until == view.today else None
    period = stretch.said(view, shown[-1].on, older=False)
    counted = f"{say_count((len(shown),) * 2, 'size')} and {say_count((len(moulted),) * 2, 'moult')} {period}"
    told = Growth(
        _title(view, target, chosen, shown),
        sentence(counted),
        f"{chosen.name}, {_unit(view, chosen)}",
        tuple(_sizes(view, chosen, shown)),
        tuple(entry.on for entry in moulted if entry.on is not None),
        None if ahead is None else (ahead.since, ahead.until),
    )
    more = [] if growth is None else say_growth(view, growth)
    more += [] if ahead is None else [sentence(say_window(view, ahead, stage_of(target, every)))]
    return Drawing(told.title, told.basis, f"{target.name}, growth", lambda theme: picture(told, theme), tuple(more))


def _title(view: View, target: Target, series: Series, shown: Sequence[EntryRow]) -> str:
    """From the first size shown to the last; of a group, whose sizes are of any of them, the last alone."""
    values = [say_measure(entry.fields["value"], series.unit_of, view.units) for entry in (shown[-1], shown[0])]
    group = target.occupant is not None and target.occupant.kind == "group"
    grown = values[1] if group or len(shown) == 1 or values[0] == values[1] else f"{values[0]}, now {values[1]}"
    return f"{target.name}: {series.name} {grown}, {view.bare_day(shown[0].on or view.today)}"


def _unit(view: View, series: Series) -> str:
    heavy, imperial = series.unit_of in MASS, view.units == "imperial"
    return ("oz" if imperial else "g") if heavy else ("in" if imperial else "mm")


def _sizes(view: View, series: Series, shown: Sequence[EntryRow]) -> list[Size]:
    of_unit = OUNCE_IN_GRAMS if series.unit_of in MASS else INCH_IN_MM
    factor = 1 / of_unit if view.units == "imperial" else 1.0
    found = [(entry.on, size_of(entry)) for entry in reversed(shown)]
    return [Size(on, size[0] * factor, size[1] * factor) for on, size in found if on is not None and size is not None]
