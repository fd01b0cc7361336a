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
from storage import journal

DAMP, WARM = "humidity_pct", "temperature_c"


def draw(ask: Ask, view: View, target: Target) -> Drawing | str:
    """The picture of one place's humidity and temperature, or of the one that was asked; a sentence where none was read."""
    stretch = stretch_of(ask, view)
    every = readings_of(view, book_of(view), target, stretch.since, journal.WHOLE)
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
    wanted_air = [_wanted(view, name, sheet) for name in values if band_in(sheet, name)[1]]
    told = Climate(
        f"{target.name}: {_findings(view, values, trends, sheet)}",
        "; ".join([f"{_numbers(values)} {period}", *([f"wanted {', '.join(wanted_air)}"] if wanted_air else [])]) + ".",
        tuple(_panel(view, name, rows, sheet) for name, rows in values.items()),
    )
    more = tuple(_words(view, trends, sheet, found))
    return Drawing(told.title, told.basis, f"{target.name}, air", lambda theme: picture(told, theme), more)


def values_of(found: Sequence[Shown], name: str) -> list[Reading]:
    """The middles of the readings of one sort, oldest first; what a meter shows past 0 or 100 % ends there."""
    rows = []
    for one in reversed(found):
        value = middle_of(one.humidity_pct if name == DAMP else one.temperature_c)
        if value is not None and one.entry.moment is not None:
            rows.append(Reading(one.entry.moment, min(max(value, 0.0), 100.0) if name == DAMP else value))
    return rows


def _findings(
    view: View, values: dict[str, list[Reading]], trends: dict[str, Trend | None], sheet: CareSheet | None
) -> str:
    """What the readings show: how many lie in the band and where they go; of few ones the last, with its day."""
    said: list[tuple[str, str]] = []
    for name, rows in values.items():
        found, banded = trends[name], band_in(sheet, name)[0] != (None, None)
        last, on = _last(view, name, rows, sheet), view.bare_day(rows[-1].moment.date())
        if found is not None and banded:
            word = "humidity" if name == DAMP else "temperature"
            where, times = ("", "") if said and not said[0][1] else (" in the band", " times")
            last, on = f"{word}{where} {found.inside} of {found.observed}{times}", ""
        going = "" if found is None or found.direction == "steady" else f", {found.direction}"
        said.append((f"{last}{going}", on))
    days = {on for _words, on in said}
    if len(days) == 1 and "" not in days:
        return f"{' and '.join(words for words, _on in said)}, {days.pop()}"
    return "; ".join(f"{words}, {on}" if on else words for words, on in said)


def _last(view: View, name: str, rows: Sequence[Reading], sheet: CareSheet | None) -> str:
    """The last reading, and whether it lies out of the band."""
    value = rows[-1].value
    low, high = band_in(sheet, name)[0]
    said = say_humidity(rounded((value, value))) if name == DAMP else say_temperature((value, value), view.units)
    where = (
        " (too low)" if low is not None and value < low else " (too high)" if high is not None and value > high else ""
    )
    return f"{said}{where}"


def _wanted(view: View, name: str, sheet: CareSheet | None) -> str:
    band = band_in(sheet, name)[0]
    return f"{say_range(band)} %" if name == DAMP else say_temperature(band, view.units)


def _numbers(values: dict[str, list[Reading]]) -> str:
    words = {DAMP: "humidity", WARM: "temperature"}
    return " and ".join(say_count((len(rows), len(rows)), f"{words[name]} reading") for name, rows in values.items())


def _words(view: View, trends: dict[str, Trend | None], sheet: CareSheet | None, found: Sequence[Shown]) -> list[str]:
    """How the readings lie and where they go, in the words of the answer; the band alone where they are too few."""
    lines = []
    for name, one in trends.items():
        source = band_in(sheet, name)[1]
        if one is not None:
            lines.append(say_trend(view, name, one, sheet))
        elif source:
            lines.append(f"Wanted {_wanted(view, name, sheet)}: {source}.")
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
