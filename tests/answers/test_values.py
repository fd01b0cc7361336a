"""Sizes and climate are told from the last values on record."""

from __future__ import annotations

from datetime import time

from storage import households
from tests.answers.conftest import Keeper, day


def test_size_tells_the_last_and_the_one_before(keeper: Keeper) -> None:
    """Each measure has a line with its last value and the one before."""
    keeper.write(day(3, 1), "measurement", ["Duchess"], measure="legspan", value=[36, 44])
    keeper.write(day(5, 1), "measurement", ["Duchess"], measure="legspan", value=[45, 45])
    keeper.write(day(4, 1), "measurement", ["Duchess"], measure="weight", value=[8.5, 8.5])
    assert keeper.text("size", "Duchess").splitlines() == [
        "Duchess: legspan 45 mm, Fri 1 May, 6 days ago; before that 36 to 44 mm, Sun 1 Mar, 9 weeks ago.",
        "Duchess: weight 8.5 g, Wed 1 Apr, 36 days ago; no earlier one is written.",
    ]


def test_size_in_inches_beside(keeper: Keeper) -> None:
    """A household with imperial units reads inches beside millimetres."""
    households.set_units(keeper.session, keeper.collection_id, "imperial")
    keeper.write(day(5, 1), "measurement", ["Duchess"], measure="legspan", value=[76.2, 76.2])
    assert "legspan 76.2 mm (3 in)" in keeper.text("size", "Duchess")


def test_no_size_is_said(keeper: Keeper) -> None:
    """Without a measurement the answer says so, for each that was asked about."""
    assert keeper.text("size", "tub 1").splitlines() == [
        "No measurement of Ada is written.",
        "No measurement of Dot is written.",
    ]
    assert keeper.text("size") == "No measurement is written yet."


def test_climate_tells_each_value_with_its_own_date(keeper: Keeper) -> None:
    """A later reading of the temperature alone does not hide the last humidity."""
    keeper.write(day(5, 1), "reading", ["tub 4"], temperature_c=[24, 24], humidity_pct=[61, 61])
    keeper.write(day(5, 6), "reading", ["tub 4"], at=time(8, 30), temperature_c=[25.6, 25.6])
    assert keeper.text("climate", "group B") == (
        "group B: 25.6 °C, Wed 6 May, yesterday, 08:30; 61 % humidity, Fri 1 May, 6 days ago."
    )
    assert keeper.text("climate").startswith("group B: 25.6 °C")


def test_no_reading_is_said(keeper: Keeper) -> None:
    """Without a reading the answer says so."""
    assert keeper.text("climate", "pot 7") == "No reading of pot 7 is written."
    assert keeper.text("climate") == "No reading is written yet."
