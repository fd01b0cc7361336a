"""Humid air: dew point, vapour pressure deficit, absolute humidity, and the same air at another temperature.

One formula for the saturation vapour pressure holds throughout: that of the ASHRAE Handbook, Fundamentals (2017),
chapter 1, equation 6, over liquid water, as the library PsychroLib carries it. Other formulas (WMO, Sonntag, Buck, FAO)
differ from it by under 0.3 % between 10 and 30 °C. Below 0 °C it is carried on over water, not ice, as the World
Meteorological Organization reckons relative humidity. Air is taken as an ideal gas.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log

COLDEST = -20.0
WARMEST = 60.0
"""The temperatures in °C that are reckoned with."""

KELVIN = 273.15  # 0 °C, exact by definition
GAS_CONSTANT_OF_VAPOUR = 461.52  # J/(kg K): 8.314463 J/(mol K) (SI, 2019) over 18.01527 g/mol (molar mass of water)

_EXACT_TO = 1e-7


@dataclass(frozen=True, slots=True)
class Air:
    """Air at one temperature (°C) with its relative humidity (per cent, 0 to 100).

    `condensation`: it was cooled below its dew point, so that it holds no more than it can and the rest is dew.
    """

    temperature_c: float
    humidity_pct: float
    condensation: bool = False

    def __post_init__(self) -> None:
        _check_temperature(self.temperature_c)
        if not 0 <= self.humidity_pct <= 100:
            raise ValueError(f"A relative humidity lies between 0 and 100 %; {self.humidity_pct:g} % does not.")


def saturation_pressure(temperature_c: float) -> float:
    """Pressure of water vapour over water, in hPa, at a temperature from -20 to 60 °C (ASHRAE Fundamentals 2017, 1.6)."""
    _check_temperature(temperature_c)
    kelvin = temperature_c + KELVIN
    pascal = exp(
        -5.8002206e3 / kelvin
        + 1.3914993
        - 4.8640239e-2 * kelvin
        + 4.1764768e-5 * kelvin**2
        - 1.4452093e-8 * kelvin**3
        + 6.5459673 * log(kelvin)
    )
    return pascal / 100


def vapour_pressure(air: Air) -> float:
    """Pressure of the vapour that the air holds, in hPa."""
    return saturation_pressure(air.temperature_c) * air.humidity_pct / 100


def dew_point(air: Air) -> float | None:
    """Temperature in °C at which dew falls, to 1e-6; None where it lies below -20 °C, so that no room would see dew."""
    pressure = vapour_pressure(air)
    low, high = COLDEST, air.temperature_c
    if pressure < saturation_pressure(low):
        return None
    while high - low > _EXACT_TO:
        middle = (low + high) / 2
        low, high = (middle, high) if saturation_pressure(middle) < pressure else (low, middle)
    return (low + high) / 2


def vapour_pressure_deficit(air: Air) -> float:
    """How much more vapour the air could take up, as a pressure in kPa: the pull with which it dries."""
    return (saturation_pressure(air.temperature_c) - vapour_pressure(air)) / 10


def absolute_humidity(air: Air) -> float:
    """Water in the air, in g/m³ (the ideal gas law with the gas constant of water vapour)."""
    return vapour_pressure(air) * 100 / (GAS_CONSTANT_OF_VAPOUR * (air.temperature_c + KELVIN)) * 1000


def same_air_at(air: Air, temperature_c: float) -> Air:
    """The same air, no water added or taken, at another temperature (°C) and the same pressure.

    Its vapour pressure stays. Where that is more than the colder air can hold, it is saturated and `condensation` is set.
    """
    humidity = vapour_pressure(air) / saturation_pressure(temperature_c) * 100
    # A rounding error is no dew: saturated air that keeps its temperature comes out at 100.00000000000001 %.
    return Air(temperature_c, min(humidity, 100.0), condensation=humidity > 100 + 1e-9)


def _check_temperature(temperature_c: float) -> None:
    if not COLDEST <= temperature_c <= WARMEST:
        raise ValueError(
            f"Air is reckoned from {COLDEST:g} to {WARMEST:g} °C; {temperature_c:g} °C is no temperature of an animal room."
        )
