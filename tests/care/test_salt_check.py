"""Meters over salt: the fixed points against two sources, and what becomes of later readings."""

from __future__ import annotations

from datetime import date
from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.care.salt_check import MGCL2, NACL, Check, correction, fixed_point

TODAY = date(2026, 3, 10)
MONDAY = date(2026, 3, 2)
CRC = {NACL: (69.20, 25), MGCL2: (29.26, 34)}
"""CRC Handbook of Chemistry and Physics, "Constant humidity solutions": RH = A exp(B/T), T in kelvin, "accurate to 2 %"."""


@pytest.mark.parametrize(
    ("salt", "temperature", "printed"),
    [
        (NACL, 20, 75.47),
        (NACL, 25, 75.29),
        (NACL, 30, 75.09),
        (MGCL2, 20, 33.07),
        (MGCL2, 25, 32.78),
        (MGCL2, 30, 32.44),
    ],
)
def test_the_fixed_points_are_greenspans(salt: str, temperature: float, printed: float) -> None:
    """Within 0.02 of Greenspan's printed table (values from memory; 75.09 and 33.07 from his equation)."""
    assert fixed_point(salt, temperature) == pytest.approx(printed, abs=0.02)


@given(salt=st.sampled_from((NACL, MGCL2)), temperature=st.floats(10, 35))
def test_the_second_source_agrees(salt: str, temperature: float) -> None:
    """The CRC Handbook's formula, stated to be accurate to 2 %, lies within that of Greenspan's."""
    factor, slope = CRC[salt]
    assert factor * exp(slope / (temperature + 273.15)) == pytest.approx(fixed_point(salt, temperature), rel=0.02)


def test_one_check_gives_an_offset() -> None:
    """71 in the salt bag at 24 °C is 4.34 too low; a later 60 is 64.34, and the basis says from when."""
    found = correction([Check(MONDAY, NACL, 71, 24)], TODAY)
    assert found.active
    assert found.corrected(60) == pytest.approx(64.34, abs=0.005)
    assert found.basis == "read 71 for 75.3 over NaCl (24 °C) on 2 Mar 2026: +4.3"
    assert (found.age_days, found.stale) == (8, False)


def test_two_checks_give_a_line() -> None:
    """37 over MgCl2 and 72 over NaCl at 24 °C: a raw 60 becomes 60.77, and the salts themselves come out true."""
    found = correction([Check(MONDAY, NACL, 72, 24), Check(MONDAY, MGCL2, 37, 24)], TODAY)
    assert found.corrected(60) == pytest.approx(60.77, abs=0.005)
    assert found.corrected(72) == pytest.approx(75.34, abs=0.005)
    assert found.corrected(37) == pytest.approx(32.85, abs=0.005)
    assert len(found.checks) == 2


@pytest.mark.parametrize("reading", [74, 75.3, 77.2])
def test_small_offsets_are_left(reading: float) -> None:
    """Under 2 points off nothing is corrected, and the reason is said."""
    found = correction([Check(MONDAY, NACL, reading, 24)], TODAY)
    assert not found.active
    assert found.corrected(60) == 60
    assert "household meters are specified to ±5" in found.basis


def test_one_small_and_one_large_offset_make_a_line() -> None:
    """True over table salt but 5 too high over the dry one: the line holds for both."""
    found = correction([Check(MONDAY, NACL, 75, 24), Check(MONDAY, MGCL2, 38, 24)], TODAY)
    assert found.active
    assert found.corrected(38) == pytest.approx(32.85, abs=0.005)


def test_correction_keeps_to_its_range() -> None:
    """Below 20 and above 95 % a reading stays; in between nothing passes 100."""
    found = correction([Check(MONDAY, NACL, 66, 24)], TODAY)
    assert [found.corrected(raw) for raw in (15, 19.9, 95.1, 99)] == [15, 19.9, 95.1, 99]
    assert found.corrected(94) == 100
    assert not found.applies_to(15)


@given(
    wet=st.floats(0, 100),
    dry=st.floats(0, 100),
    temperature=st.floats(5, 40),
    raw=st.floats(0, 100),
    both=st.booleans(),
)
def test_whatever_the_checks_a_reading_stays_a_humidity(
    wet: float, dry: float, temperature: float, raw: float, *, both: bool
) -> None:
    """0 to 100 always."""
    checks = [Check(MONDAY, NACL, wet, temperature)] + ([Check(MONDAY, MGCL2, dry, temperature)] if both else [])
    assert 0 <= correction(checks, TODAY).corrected(raw) <= 100


@given(wet=st.floats(60, 90), dry=st.floats(20, 45))
def test_a_wetter_reading_stays_wetter(wet: float, dry: float) -> None:
    """Inside the range the order of readings is kept."""
    found = correction([Check(MONDAY, NACL, wet, 24), Check(MONDAY, MGCL2, dry, 24)], TODAY)
    assert found.corrected(30) < found.corrected(50) < found.corrected(70)


def test_a_meter_that_cannot_tell_the_salts_apart_is_left() -> None:
    """60 over the one and 58 over the other: no line is drawn, and the reason says so."""
    found = correction([Check(MONDAY, NACL, 60, 24), Check(MONDAY, MGCL2, 58, 24)], TODAY)
    assert not found.active
    assert "hardly tells the two salts apart" in found.basis


def test_the_newest_check_decides() -> None:
    """Of one salt the later check holds, of one day the one told last, none from the future."""
    told = [
        Check(date(2025, 12, 1), NACL, 60, 24),
        Check(MONDAY, NACL, 65, 24),
        Check(MONDAY, NACL, 71, 24),
        Check(date(2026, 4, 1), NACL, 50, 24),
    ]
    assert correction(told, TODAY).checks == (told[2],)


def test_checks_far_apart_make_no_line() -> None:
    """A check of the other salt more than 90 days older is left out, since meters drift."""
    old, new = Check(date(2025, 11, 20), MGCL2, 37, 24), Check(MONDAY, NACL, 72, 24)
    assert correction([old, new], TODAY).checks == (new,)
    nearer = Check(date(2025, 12, 10), MGCL2, 37, 24)
    assert correction([nearer, new], TODAY).checks == (new, nearer)


def test_an_old_check_is_called_stale() -> None:
    """After a year another check is wanted; the correction still holds until then and after."""
    found = correction([Check(date(2025, 3, 1), NACL, 71, 24)], TODAY)
    assert (found.age_days, found.stale, found.active) == (374, True, True)
    never = correction([], TODAY)
    assert (never.active, never.age_days, never.stale, never.basis) == (False, None, False, "never checked over salt")


def test_a_check_far_off_is_doubted() -> None:
    """More than 10 points off, the salt is to be looked at first."""
    found = correction([Check(MONDAY, NACL, 60, 24)], TODAY)
    assert found.basis.endswith("make sure that the salt was wet and stood 8 to 24 hours")


def test_without_a_temperature_that_of_a_room_is_taken() -> None:
    """23 °C, and the basis says that nobody told it."""
    check = Check(MONDAY, NACL, 71)
    assert check.true_pct == fixed_point(NACL, 23)
    assert "23 °C, taken as none was told" in correction([check], TODAY).basis
    assert abs(fixed_point(NACL, 15) - fixed_point(NACL, 30)) < 0.55
    assert abs(fixed_point(MGCL2, 15) - fixed_point(MGCL2, 30)) < 0.9


@pytest.mark.parametrize(
    ("salt", "reading", "temperature", "said"),
    [
        (NACL, 101, 24, "shows between 0 and 100 %"),
        (NACL, 71, 50, "between 5 and 40 °C; 50 °C is outside"),
        ("KCl", 71, 24, "not KCl"),
    ],
)
def test_what_is_no_check_is_refused(salt: str, reading: float, temperature: float, said: str) -> None:
    """A reading past 100 %, a hot cupboard, a salt not reckoned with: a sentence each."""
    with pytest.raises(ValueError, match=said):
        Check(MONDAY, salt, reading, temperature)
