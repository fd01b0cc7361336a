"""How the readings of the last weeks lie in the band of the care sheet, or the keeper's own, and where they are going."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from bot.answers.readings import Shown, middle_of, readings_of
from bot.answers.view import Target, View
from bot.answers.wards import bare_wards, names_asked
from bot.care.days import shifted
from bot.care.rules import effective, rules_of
from bot.care.sheet import CareSheet, Sourced
from bot.care.trend import FEWEST, Reading, Trend, trend
from bot.conversation.meter_book import MeterBook
from bot.wording import say_count, say_number, say_range, say_temperature

WEEKS = timedelta(weeks=8)
MOST = 5_000

BY_WARD = ("humidity_pct", "temperature_c")


def trends(view: View, book: MeterBook, target: Target) -> list[str]:
    """A line for humidity and one for temperature, where enough readings of the last eight weeks tell anything."""
    readings = readings_of(view, book, target, shifted(view.today, -WEEKS.days), MOST)
    sheet = sheet_of(view, target)
    lines = []
    for name in BY_WARD:
        found = trend(_values(readings, name), band_in(sheet, name)[0])
        if found is not None:
            lines.append(say_trend(view, name, found, sheet))
    return lines


def too_few(view: View, target: Target) -> list[str]:
    """That the readings of these weeks show no direction yet."""
    number = len(view.history(target, ("reading",), since=shifted(view.today, -WEEKS.days), limit=FEWEST))
    said = say_count((number, number), "reading")
    return [f"Where it is going shows from {FEWEST} readings on; {said} in the last {WEEKS.days // 7} weeks."]


def _values(readings: Sequence[Shown], name: str) -> list[Reading]:
    """The middles of the readings at the moments they were taken; a day without an hour stands at its noon."""
    values = ((one, middle_of(one.humidity_pct if name == "humidity_pct" else one.temperature_c)) for one in readings)
    return [Reading(one.entry.moment, value) for one, value in values if value is not None and one.entry.moment]


def sheet_of(view: View, target: Target) -> CareSheet | None:
    """The sheet that holds for who lives there, with the keeper's own words put in."""
    asked = names_asked(view, [target.name])
    wards = [ward for ward in bare_wards(view, [target.name]) if ward.name in asked]
    ward = next((one for one in wards if one.kind != "place"), None)
    return None if ward is None else effective(ward.sheet, rules_of(ward.rules))


def band_in(sheet: CareSheet | None, name: str) -> tuple[tuple[float | None, float | None], str]:
    """The band that is wanted and where it comes from; open on both sides where none is laid down."""
    wanted: Sourced[tuple[float, float]] | None = getattr(sheet, name) if sheet is not None else None
    return ((None, None), "") if wanted is None else (wanted.value, wanted.source)


def say_trend(view: View, name: str, found: Trend, sheet: CareSheet | None) -> str:
    """Say how many readings lie in the band of `name` (humidity_pct or temperature_c), and where they are going."""
    band, source = band_in(sheet, name)
    damp = name == "humidity_pct"
    what = "Humidity" if damp else "Temperature"
    since = f"since {view.bare_day(found.first.date())}"
    if band == (None, None):
        inside = f"{found.observed} readings {since}, no band laid down"
    else:
        wanted = f"{say_range(band)} %" if damp else say_temperature(band, view.units)
        inside = f"{found.inside} of {found.observed} readings {since} in {wanted} ({source}){_outside(found)}"
    return (
        f"{what}: {inside}; {_direction(found, 'points' if damp else _degrees(view), 1.0 if damp else _factor(view))}."
    )


def _outside(found: Trend) -> str:
    said = [f"{number} {word}" for number, word in ((found.below, "below"), (found.above, "above")) if number]
    return f", {', '.join(said)}" if said else ""


def _direction(found: Trend, unit: str, factor: float) -> str:
    """Where the readings are going: "falling about 1.2 points a week (0.3 to 2.1)"."""
    low, high = (round(edge * factor, 1) for edge in found.interval)
    if found.direction == "steady":
        return f"no rise or fall shows ({low:+.1f} to {high:+.1f} {unit} a week)"
    ends = sorted(abs(edge) for edge in (low, high))
    about = say_number(round(abs(found.per_week * factor), 1))
    return f"{found.direction} about {about} {unit} a week ({say_number(ends[0])} to {say_number(ends[1])})"


def _degrees(view: View) -> str:
    return "°F" if view.units == "imperial" else "°C"


def _factor(view: View) -> float:
    return 1.8 if view.units == "imperial" else 1.0
