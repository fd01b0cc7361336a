"""Measures and readings in the units of the contract, checked against pint's definitions."""

from __future__ import annotations

import pint
import pytest

from tests.language.house import entries, entry, fields

REGISTRY = pint.UnitRegistry(cache_folder=None)
LENGTHS = {
    "mm": "millimetre",
    "cm": "centimetre",
    "inch": "inch",
    "inches": "inch",
    '"': "inch",
    "centimetres": "centimetre",
    "millimeters": "millimetre",
}
WEIGHTS = {
    "g": "gram",
    "grams": "gram",
    "kg": "kilogram",
    "oz": "ounce",
    "ounces": "ounce",
    "mg": "milligram",
    "lb": "pound",
}


def converted(value: float, unit: str, to: str) -> float:
    """What pint makes of a value."""
    return float(REGISTRY.Quantity(value, unit).to(to).magnitude)


@pytest.mark.parametrize("unit", LENGTHS)
@pytest.mark.parametrize("value", [1, 2.5, 3, 7])
def test_a_length_in_millimetres(value: float, unit: str) -> None:
    """A leg span in any unit of length is what pint makes of it in millimetres."""
    low, high = fields(f"Mabel legspan {value}{'' if unit == chr(34) else ' '}{unit}")["value"]
    assert low == high == pytest.approx(converted(value, LENGTHS[unit], "millimetre"), rel=1e-4)


@pytest.mark.parametrize("unit", WEIGHTS)
@pytest.mark.parametrize("value", [2, 3.5, 11])
def test_a_weight_in_grams(value: float, unit: str) -> None:
    """A weight in any unit is what pint makes of it in grams."""
    low, high = fields(f"Mabel weighs {value} {unit}")["value"]
    assert low == high == pytest.approx(converted(value, WEIGHTS[unit], "gram"), rel=1e-4, abs=1e-3)


@pytest.mark.parametrize("value", [50, 68, 72.5, 78, 82, 90])
@pytest.mark.parametrize(
    "wording", ["tub 2 {}F", "tub 2 is at {} F", "it is {} fahrenheit in tub 2", "tub 2 {} degrees fahrenheit"]
)
def test_fahrenheit_in_celsius(value: float, wording: str) -> None:
    """A temperature in Fahrenheit is what pint makes of it in Celsius, to a tenth."""
    low, high = fields(wording.format(value))["temperature_c"]
    assert low == high == pytest.approx(converted(value, "degree_Fahrenheit", "degree_Celsius"), abs=0.06)


@pytest.mark.parametrize(
    ("want", "texts"),
    [
        ({"measure": "legspan", "value": [76.2, 76.2]}, ["Mabel legspan 3 inches", "Mabel's leg span is three inches", "Mabel ls 3in", 'Mabel DLS 3"', "Mabel has a leg span of 3 inches"]),
        ({"measure": "legspan", "value": [40, 40]}, ["Mabel legspan 4cm", "Mabel is 4cm legspan", "measured Mabel, 4 cm leg span", "leg span of Mabel 4 cm"]),
        ({"measure": "legspan", "value": [36, 44]}, ["Mabel legspan about 4cm", "Mabel about 4 cm leg span", "Mabel's leg span is roughly 4cm"]),
        ({"measure": "body", "value": [15, 15]}, ["Mabel body 15mm", "Mabel body length 1.5cm", "Mabel's body is 15 mm", "Mabel bl 15mm", "Mabel's body length is 1,5 cm"]),
        ({"measure": "weight", "value": [27.8, 27.8]}, ["Mabel weighs 27.8g", "Mabel 27.8 g", "Mabel weighs 27,8 g", "weighed Mabel, 27.8 grams", "weighed Mabel: 27.8g", "Mabel weighed in at 27.8g", "Mabel's weight is 27.8 g"]),
    ],
)  # fmt: skip
def test_a_measurement(want: dict[str, object], texts: list[str]) -> None:
    """Leg span, body or weight, with the value in millimetres or grams; "about" widens by a tenth each way."""
    for text in texts:
        found = entry(text)
        assert found["kind"] == "measurement", text
        assert found["subjects"] in (["Mabel"], ["tub 5"])
        assert fields(text) == want, text


@pytest.mark.parametrize(
    ("want", "texts"),
    [
        ({"temperature_c": [24.5, 24.5], "humidity_pct": [61, 61]}, ["tub 2 24.5C 61%", "tub 2: 24.5 °C and 61 %", "tub 2 is 24.5 degrees and 61 percent", "24.5C 61% in tub 2", "tub 2 24,5C / 61%", "temp 24.5 hum 61 in tub 2", "tub 2 is at 24.5 degrees and 61 per cent", "tub 2 temperature 24.5 humidity 61"]),
        ({"temperature_c": [24, 26]}, ["tub 2 24-26C", "tub 2 is between 24 and 26 degrees"]),
        ({"humidity_pct": [70, 70]}, ["tub 2 humidity 70", "tub 2 70%", "hygrometer in tub 2 says 70%", "humidity in tub 2 is 70%", "tub 2 rh 70"]),
        ({"temperature_c": [24.5, 24.5]}, ["tub 2 24.5C", "thermometer in tub 2 reads 24.5", "it's 24.5 degrees in tub 2", "tub 2 is twenty four point five degrees"]),
    ],
)  # fmt: skip
def test_a_reading(want: dict[str, object], texts: list[str]) -> None:
    """A bare subject with a temperature or a humidity is a reading, whatever the order."""
    for text in texts:
        assert entry(text)["kind"] == "reading", text
        assert fields(text) == want, text


def test_readings_of_several_places() -> None:
    """Each place has the reading that follows its name."""
    found = entries("tub 1 24C 60%, tub 2 23C 65%")
    assert [(each["subjects"], each["temperature_c"], each["humidity_pct"]) for each in found] == [
        (["tub 1"], [24, 24], [60, 60]),
        (["tub 2"], [23, 23], [65, 65]),
    ]


def test_two_measures_of_one_animal() -> None:
    """A leg span and a weight told together are two measurements."""
    found = entries("Mabel 14cm legspan, 31g")
    assert [(each["measure"], each["value"]) for each in found] == [("legspan", [140, 140]), ("weight", [31, 31])]


def test_weights_of_two_animals() -> None:
    """Each animal has the weight that follows its name."""
    found = entries("Mabel 31g, Clove 42 g")
    assert [(each["subjects"], each["value"]) for each in found] == [(["Mabel"], [31, 31]), (["Clove"], [42, 42])]
