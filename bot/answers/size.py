"""How big it is: the last sizes, what a moult adds, when the next may come; of a group how far apart its sizes are."""

from __future__ import annotations

from bot.answers.growing import Series, growth_of, moults_of, series_of, stage_of, window_of
from bot.answers.growth_words import say_growth, say_instar, say_samples, say_window
from bot.answers.view import Target, View
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import say_measure, sentence
from storage.journal import EntryRow


def answer(ask: Ask, view: View) -> Reply:
    """Tell the last value with its date, and the one before, for each animal asked about; growth too where one is named."""
    targets = [one for target in view.targets(ask.subjects) for one in view.animals(target)]
    lines = [line for target in dict.fromkeys(targets) for line in _lines(view, target, always=bool(ask.subjects))]
    return Reply("\n".join(lines) or "No measurement is written yet.")


def _lines(view: View, target: Target, *, always: bool) -> list[str]:
    """One line for each sort of size, then growth; where nothing was measured a line that says so, if `always`."""
    series = series_of(view, target)
    lines = [line for one in series for line in _of_series(view, target, one)]
    if not always:
        return lines
    if not series:
        lines = [f"No measurement of {target.name} is written."]
    moults = moults_of(view, target)
    return [*lines, *say_instar(view, target, moults), *_growth(view, target, series, moults)]


def _of_series(view: View, target: Target, series: Series) -> list[str]:
    group = target.occupant is not None and target.occupant.kind == "group"
    sampled = say_samples(view, target, series) if group else []
    return sampled or [_line(view, target, series)]


def _line(view: View, target: Target, series: Series) -> str:
    newest = series.entries[:2]
    values = [
        f"{say_measure(entry.fields['value'], series.unit_of, view.units)}, {view.day(entry.on)}" for entry in newest
    ]
    before = f"; before that {values[1]}" if len(values) > 1 else "; no earlier one is written"
    return f"{target.name}: {series.name} {values[0]}{before}."


def _growth(view: View, target: Target, series: list[Series], moults: list[EntryRow]) -> list[str]:
    """What a moult adds and when the next may come, as far as the moults on record tell."""
    growth = growth_of(view, target, moults, series)
    window = window_of(target, moults, series)
    said = [] if window is None else [sentence(say_window(view, window, stage_of(target, series)))]
    return [*([] if growth is None else say_growth(view, growth)), *said]
