"""How warm and how humid it is: the last readings, what that air holds, and how they lie in the band: "how humid is tub 4"."""

from __future__ import annotations

from bot.answers.air_words import say_air
from bot.answers.climate_trend import too_few, trends
from bot.answers.readings import Shown, book_of, readings_of, say_corrected
from bot.answers.view import Target, View
from bot.conversation.meter_book import MeterBook
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import say_temperature


def answer(ask: Ask, view: View) -> Reply:
    """Tell the last temperature and humidity of each place asked about, each with its date; of places named, also the rest."""
    book, named = book_of(view), bool(ask.subjects)
    lines: list[str] = []
    for target in view.targets(ask.subjects):
        readings = readings_of(view, book, target)
        lines += _lines(view, target, readings, always=named)
        if named and any(one.temperature_c or one.humidity_pct for one in readings):
            going = trends(view, book, target)
            lines += [*_air(view, readings), *(going or (too_few(view, target) if ask.fields.get("trend") else []))]
    return Reply("\n".join(lines) or "No reading is written yet.")


def last_line(view: View, book: MeterBook, target: Target) -> list[str]:
    """The last readings of one place in one line."""
    return _lines(view, target, readings_of(view, book, target), always=True)


def _lines(view: View, target: Target, readings: list[Shown], *, always: bool) -> list[str]:
    warm = next((one for one in readings if one.temperature_c), None)
    damp = next((one for one in readings if one.humidity_pct), None)
    said = []
    if warm is not None and warm.temperature_c is not None:
        temperature = say_temperature(warm.temperature_c, view.units)
        said.append(temperature if warm is damp else f"{temperature}, {_when(view, warm)}")
    if damp is not None:
        said.append(f"{say_corrected(view, damp)}, {_when(view, damp)}")
    if said:
        return [f"{target.name}: {(', ' if warm is damp else '; ').join(said)}."]
    return [f"No reading of {target.name} is written."] if always else []


def _when(view: View, reading: Shown) -> str:
    entry = reading.entry
    return view.day(entry.on) + ("" if entry.at is None else f", {entry.at:%H:%M}")


def _air(view: View, readings: list[Shown]) -> list[str]:
    """What the air of the last reading holds, where that told both temperature and humidity."""
    newest = next(one for one in readings if one.temperature_c or one.humidity_pct)
    said = say_air(newest, view.units) if newest.whole else None
    return [] if said is None else [said]
