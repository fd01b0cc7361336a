"""The picture of a place's air: its readings as they are shown, against the band of the care sheet or the keeper's own."""

from __future__ import annotations

from collections.abc import Sequence

from bot.answers.climate_trend import band_in, say_trend, sheet_of
from bot.answers.drawing import Drawing, stretch_of
from bot.answers.readings import Shown, book_of, middle_of, readings_of, rounded
from bot.answers.view import Target, View
from bot.care.days import shifted
from bot.care.sheet import CareSheet
from bot.care.trend import Reading, Trend, trend
from bot.language.meaning import Ask
from bot.pictures.climate import Climate, Measured, Series, picture
from bot.wording import say_count, say_humidity, say_range, say_temperature

_ALL = 1_000_000
DAMP, WARM = "humidity_pct", "temperature_c"


def draw(ask: Ask, view: View, target: Target) -> Drawing | str:
    """The picture of one place's humidity and temperature, or of the one that was asked; a sentence where none was read."""
    stretch = stretch_of(ask, view)
    every = readings_of(view, book_of(view), target, stretch.since, _ALL)
    found = [one for one in every if stretch.holds(one.entry.on)]
    wanted = [name for name in (DAMP, WARM) if ask.fields.get("panel") in {None, name}]
    values = {name: rows for name in wanted if (rows := values_of(found, name))}
    older = bool(view.history(target, ("reading",), until=shifted(stretch.since, -1), limit=1))
    first = min((rows[0].moment.date() for rows in values.values()), default=None)
    period = stretch.said(view, first, older=older)
    if not values:
        what = {DAMP: "humidity", WARM: "temperature"}.get(str(ask.fields.get("panel")), "reading")
        return f"No {what} of {target.name} is written {period}, so there is nothing to draw."
    sheet = sheet_of(view, target)
    trends = {name: trend(rows, band_in(sheet, name)[0]) for name, rows in values.items()}
    told = Climate(
        f"{target.name}: {'; '.join(_finding(view, name, values[name], trends[name], sheet) for name in values)}",
        " ".join([f"{_numbers(values)} {period}.", *_words(view, trends, sheet, found)]),
        tuple(_panel(view, name, rows, sheet) for name, rows in values.items()),
    )
    return Drawing(told.title, told.basis, f"{target.name}, air", lambda theme: picture(told, theme))


def values_of(found: Sequence[Shown], name: str) -> list[Reading]:
    """The middles of the readings of one sort, oldest first; what a meter shows past 0 or 100 % ends there."""
    rows = []
    for one in reversed(found):
        value = middle_of(one.humidity_pct if name == DAMP else one.temperature_c)
        if value is not None and one.entry.moment is not None:
            rows.append(Reading(one.entry.moment, min(max(value, 0.0), 100.0) if name == DAMP else value))
    return rows


def _finding(view: View, name: str, rows: Sequence[Reading], found: Trend | None, sheet: CareSheet | None) -> str:
    """What the readings show: how many lie in the band and where they go, or of few ones the last."""
    last = rows[-1].value
    said = say_humidity(rounded((last, last))) if name == DAMP else say_temperature((last, last), view.units)
    if found is None or (band_in(sheet, name)[0] == (None, None) and found.direction == "steady"):
        return f"{said}, {view.bare_day(rows[-1].moment.date())}"
    what = "humidity" if name == DAMP else "temperature"
    going = "" if found.direction == "steady" else f", {found.direction}"
    if band_in(sheet, name)[0] == (None, None):
        return f"{said}{going}"
    return f"{what} in the band {found.inside} of {found.observed} times{going}"


def _numbers(values: dict[str, list[Reading]]) -> str:
    words = {DAMP: "humidity", WARM: "temperature"}
    return " and ".join(say_count((len(rows), len(rows)), f"{words[name]} reading") for name, rows in values.items())


def _words(view: View, trends: dict[str, Trend | None], sheet: CareSheet | None, found: Sequence[Shown]) -> list[str]:
    """How the readings lie and where they go, in the words of the answer; the band alone where they are too few."""
    lines = []
    for name, one in trends.items():
        (low, high), source = band_in(sheet, name)
        if one is not None:
            lines.append(say_trend(view, name, one, sheet))
        elif source:
            wanted = (
                f"{say_range((low, high))} % humidity" if name == DAMP else say_temperature((low, high), view.units)
            )
            lines.append(f"Wanted: {wanted} ({source}).")
    corrected = [one for one in found if one.corrected is not None and one.corrected.changed]
    return [
        *lines,
        *([f"{len(corrected)} set right by the meter's salt check."] if corrected and DAMP in trends else []),
    ]


def _panel(view: View, name: str, rows: Sequence[Reading], sheet: CareSheet | None) -> Series:
    (low, high), _source = band_in(sheet, name)
    if name == DAMP:
        measured = tuple(Measured(one.moment, one.value) for one in rows)
        return Series("humidity, %", measured, low, high, 0, 100)
    imperial = view.units == "imperial"

    def degrees(value: float) -> float:
        return value * 1.8 + 32 if imperial else value

    measured = tuple(Measured(one.moment, degrees(one.value)) for one in rows)
    least, most = (None if edge is None else degrees(edge) for edge in (low, high))
    return Series(f"temperature, {'°F' if imperial else '°C'}", measured, least, most)
