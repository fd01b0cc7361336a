"""Humid air against PsychroLib (ASHRAE) and other formulas, and what it refuses."""

from __future__ import annotations

from math import exp

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.care.humid_air import (
    Air,
    absolute_humidity,
    dew_point,
    same_air_at,
    saturation_pressure,
    vapour_pressure,
    vapour_pressure_deficit,
)

psychrolib.SetUnitSystem(psychrolib.SI)

SEA_LEVEL = 101_325.0  # Pa, the standard atmosphere

ROOM = st.floats(5, 40)
HUMIDITY = st.floats(1, 100)

WARMED = [
    (18, 60, 24, 41.492, 10.128, 0.8257, 1.7466, 9.218),
    (20, 50, 26, 34.771, 9.272, 1.1694, 2.1937, 8.644),
    (20, 60, 28, 37.102, 12.007, 0.9355, 2.3789, 10.372),
    (22, 70, 26, 55.048, 16.281, 0.7934, 1.5118, 13.591),
    (10, 80, 24, 32.91, 6.713, 0.2456, 2.0027, 7.518),
    (5, 90, 22, 29.69, 3.498, 0.0872, 1.8595, 6.117),
    (15, 75, 25, 40.36, 10.61, 0.4264, 1.8901, 9.618),
    (26, 70, 22, 89.014, 20.106, 1.0089, 0.2906, 17.052),
    (21, 40, 30, 23.435, 6.899, 1.4926, 3.251, 7.33),
]
"""From °C and %, to °C: %, dew point °C, deficits kPa before and after, g/m³ before; reckoned with PsychroLib 2.5.0."""


def magnus(temperature_c: float) -> float:
    """Saturation vapour pressure in hPa by the formula of the World Meteorological Organization (WMO-No. 8; from memory)."""
    return 6.112 * exp(17.62 * temperature_c / (243.12 + temperature_c))


@given(temperature=ROOM, humidity=HUMIDITY, other=ROOM)
def test_the_same_air_elsewhere_is_as_psychrolib_has_it(temperature: float, humidity: float, other: float) -> None:
    """Air of fixed water content at another temperature: within 0.1 point of PsychroLib by way of the mixing ratio."""
    ratio = psychrolib.GetHumRatioFromRelHum(temperature, humidity / 100, SEA_LEVEL)
    pressure = psychrolib.GetVapPresFromHumRatio(ratio, SEA_LEVEL)
    wanted = pressure / psychrolib.GetSatVapPres(other) * 100
    found = same_air_at(Air(temperature, humidity), other)
    assert found.humidity_pct == pytest.approx(min(wanted, 100), abs=0.1)
    assert not found.condensation or wanted > 99.99
    assert found.condensation or wanted < 100.01


@given(temperature=ROOM, humidity=HUMIDITY)
def test_the_dew_point_is_as_psychrolib_has_it(temperature: float, humidity: float) -> None:
    """Above freezing within 0.01 °C (PsychroLib stops its own search at 0.001); below, PsychroLib gives frost instead."""
    wanted = psychrolib.GetTDewPointFromRelHum(temperature, humidity / 100)
    found = dew_point(Air(temperature, humidity))
    if wanted > 0.1:
        assert found == pytest.approx(wanted, abs=0.01)
    else:
        assert found is None or found < 0.2


@given(temperature=st.floats(-20, 60), humidity=st.floats(0, 100))
def test_at_its_dew_point_air_is_saturated(temperature: float, humidity: float) -> None:
    """Cooled to its dew point the same air has 100 %, to the precision of 1e-6 °C; the dew point is never above the air."""
    air = Air(temperature, humidity)
    found = dew_point(air)
    if found is None:
        assert vapour_pressure(air) < saturation_pressure(-20)
    else:
        assert found <= temperature
        assert same_air_at(air, found).humidity_pct == pytest.approx(100, abs=1e-4)


@pytest.mark.parametrize("row", WARMED)
def test_the_table_of_warmed_air(row: tuple[float, ...]) -> None:
    """Every row to the last digit it gives; by the WMO's formula the humidity differs by at most 0.06 points."""
    temperature, humidity, other, *wanted = row
    air = Air(temperature, humidity)
    after = same_air_at(air, other)
    assert after.humidity_pct == pytest.approx(wanted[0], abs=6e-4)
    assert dew_point(air) == pytest.approx(wanted[1], abs=1.5e-3)
    assert vapour_pressure_deficit(air) == pytest.approx(wanted[2], abs=6e-5)
    assert vapour_pressure_deficit(after) == pytest.approx(wanted[3], abs=6e-5)
    assert absolute_humidity(air) == pytest.approx(wanted[4], abs=1e-3)
    assert magnus(temperature) * humidity / magnus(other) == pytest.approx(after.humidity_pct, abs=0.06)


def test_below_the_dew_point_there_is_condensation() -> None:
    """24 °C and 80 % cooled to 20 °C: saturated at 100 %, dew falls, no deficit is left; its dew point is 20.337 °C."""
    air = Air(24, 80)
    cooled = same_air_at(air, 20)
    assert (cooled.humidity_pct, cooled.condensation) == (100, True)
    assert vapour_pressure_deficit(cooled) == pytest.approx(0, abs=1e-12)
    assert dew_point(air) == pytest.approx(20.337, abs=1.5e-3)
    assert not same_air_at(air, 20.4).condensation


@given(temperature=st.floats(-20, 60))
def test_saturated_air_that_stays_is_not_condensing(temperature: float) -> None:
    """Rounding makes no dew."""
    assert not same_air_at(Air(temperature, 100), temperature).condensation


@given(temperature=st.floats(10, 30))
def test_other_formulas_lie_close(temperature: float) -> None:
    """From 10 to 30 °C the WMO's Magnus formula gives 0.15 to 0.30 % less."""
    assert 0.0015 < 1 - magnus(temperature) / saturation_pressure(temperature) < 0.0030


@given(temperature=st.floats(0.02, 60))
def test_over_water_it_is_psychrolibs_formula(temperature: float) -> None:
    """Above the triple point the pressures are PsychroLib's own to 1e-9."""
    assert saturation_pressure(temperature) * 100 == pytest.approx(psychrolib.GetSatVapPres(temperature), rel=1e-9)


@given(temperature=st.floats(-20, 0))
def test_below_freezing_it_stays_over_water(temperature: float) -> None:
    """Down to -20 °C within 0.5 % of the WMO's formula, which holds over supercooled water from -45 °C on."""
    assert saturation_pressure(temperature) == pytest.approx(magnus(temperature), rel=0.005)


def test_very_dry_air_has_no_dew_point() -> None:
    """Where dew would need less than -20 °C none is given; air without any water has none either."""
    assert dew_point(Air(20, 1)) is None
    assert dew_point(Air(20, 0)) is None
    assert dew_point(Air(-20, 100)) == pytest.approx(-20, abs=1e-6)


@pytest.mark.parametrize(
    ("temperature", "humidity", "said"),
    [
        (20, 100.1, "between 0 and 100 %; 100.1 % does not"),
        (20, -1, "between 0 and 100 %"),
        (20, float("nan"), "between 0 and 100 %"),
        (61, 50, "from -20 to 60 °C; 61 °C is no temperature"),
        (-21, 50, "from -20 to 60 °C"),
        (float("nan"), 50, "from -20 to 60 °C"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(temperature: float, humidity: float, said: str) -> None:
    """Humidities outside 0 to 100 % and temperatures outside -20 to 60 °C are refused."""
    with pytest.raises(ValueError, match=said):
        Air(temperature, humidity)


def test_the_other_temperature_is_held_to_the_same_range() -> None:
    """The same air cannot be asked for at 75 °C."""
    with pytest.raises(ValueError, match="75 °C is no temperature"):
        same_air_at(Air(20, 50), 75)
