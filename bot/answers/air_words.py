"""What humid air holds, in words; ranges of a reading give ranges."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from bot.answers.readings import Shown
from bot.care.humid_air import (
    COLDEST,
    WARMEST,
    Air,
    absolute_humidity,
    dew_point,
    same_air_at,
    vapour_pressure_deficit,
)
from bot.wording import say_temperature

FORMULA = "ASHRAE Fundamentals 2017"


def airs(reading: Shown) -> list[Air]:
    """The air at the corners of a reading's ranges; none where it lies beyond what is reckoned."""
    if reading.temperature_c is None or reading.humidity_pct is None or not reading.whole:
        return []
    warm = [float(edge) for edge in reading.temperature_c if edge is not None]
    damp = [float(edge) for edge in reading.humidity_pct if edge is not None]
    if not all(COLDEST <= edge <= WARMEST for edge in warm):
        return []
    return [Air(temperature, humidity) for temperature in dict.fromkeys(warm) for humidity in dict.fromkeys(damp)]


def say_air(reading: Shown, units: str) -> str | None:
    """One line on a reading with both: dew point, vapour pressure deficit, absolute humidity."""
    corners = airs(reading)
    if not corners:
        return None
    dew = [dew_point(air) for air in corners]
    dews = [round(one, 1) for one in dew if one is not None]
    said = f"dew point {say_temperature([min(dews), max(dews)], units)}, " if len(dews) == len(dew) else ""
    deficit = _span(corners, vapour_pressure_deficit, 2)
    return f"That air: {said}vapour pressure deficit {deficit} kPa, {_span(corners, absolute_humidity, 1)} g of water in a m³."


def say_same_air(reading: Shown, wanted_c: tuple[float, float], units: str) -> str | None:
    """The same air at another temperature: "35 % at 26 °C"; None where it cannot be reckoned."""
    corners = airs(reading)
    if not corners or not all(COLDEST <= edge <= WARMEST for edge in wanted_c):
        return None
    then = [same_air_at(air, edge) for air in corners for edge in dict.fromkeys(wanted_c)]
    at = say_temperature(wanted_c, units)
    wet = [air.condensation for air in then]
    if all(wet):
        return f"100 % at {at}, with condensation: that is below its dew point{_dew(corners, units)}"
    said = f"{_span(then, lambda air: air.humidity_pct, 0)} % at {at}"
    if any(wet):
        return f"{said}; at the damp end condensation, below the dew point{_dew(corners, units)}"
    return f"{said}, vapour pressure deficit {_span(then, vapour_pressure_deficit, 2)} kPa"


def _dew(corners: Iterable[Air], units: str) -> str:
    dews = [round(one, 1) for air in corners if (one := dew_point(air)) is not None]
    return f" ({say_temperature([min(dews), max(dews)], units)})" if dews else ""


def _span(corners: Iterable[Air], value: Callable[[Air], float], decimals: int) -> str:
    numbers = [round(value(air), decimals) for air in corners]
    low, high = f"{min(numbers):.{decimals}f}", f"{max(numbers):.{decimals}f}"
    return low if low == high else f"{low} to {high}"
