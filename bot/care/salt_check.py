"""Hygrometers checked over wet salt: how far one is off, and its later readings set right.

Over a slurry of salt and a little water in a closed bag the air comes to a humidity that depends on the salt and hardly
on the temperature. Only table salt and magnesium chloride are reckoned with: L. Greenspan, "Humidity fixed points of
binary saturated aqueous solutions", J. Res. Natl. Bur. Stand. 81A (1977) 89-96. A second source, the CRC Handbook's
"constant humidity solutions", is held against it in the tests. Older measurements (Wexler and Hasegawa 1954) differ by
up to 0.5 points, and the salt must have stood 8 to 24 hours at a steady temperature (common practice).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from bot.care.words import full_day

NACL = "NaCl"
MGCL2 = "MgCl2"

COEFFICIENTS = {
    NACL: (75.5164, 0.0398321, -2.65459e-3, 2.848e-5),
    MGCL2: (33.6686, -7.97397e-3, -1.08988e-3, 0.0),
}
"""Relative humidity in per cent as a polynomial in °C (Greenspan 1977), lowest power first."""

COLDEST, WARMEST = 5.0, 40.0
"""The temperatures in °C at which a household checks a meter; the source's own range is wider."""

ROOM = 23.0
"""Taken where no temperature was told: from 15 to 30 °C table salt moves by 0.5 points, magnesium chloride by 0.9."""

LEAST_OFFSET = 2.0
"""Points. Household meters are specified to about ±5 %, so that a smaller offset is within what one check can show."""

DOUBTFUL_OFFSET = 10.0
"""Points from which the check itself is the more likely fault: salt too dry, too wet, or not left long enough."""

LOWEST, HIGHEST = 20.0, 95.0
"""Readings between which a correction is made: beyond, the two salts tell nothing of the meter."""

PAIRED_WITHIN = 90
"""Days between two checks that still make one line; meters drift (common practice)."""

KEPT = 365
"""Days after which a check should be done again (common practice)."""


@dataclass(frozen=True, slots=True)
class Check:
    """A meter read over a salt: the day, the salt (`NACL` or `MGCL2`), what it showed (%), and the temperature (°C) if told."""

    on: date
    salt: str
    reading_pct: float
    temperature_c: float | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.reading_pct <= 100:
            raise ValueError(f"A hygrometer shows between 0 and 100 %; {self.reading_pct:g} % is no reading.")
        fixed_point(self.salt, self.temperature)

    @property
    def temperature(self) -> float:
        """The temperature told, else that of a room."""
        return ROOM if self.temperature_c is None else self.temperature_c

    @property
    def true_pct(self) -> float:
        """What it should have shown, in per cent."""
        return fixed_point(self.salt, self.temperature)

    @property
    def offset(self) -> float:
        """Points to add to what it showed."""
        return self.true_pct - self.reading_pct


@dataclass(frozen=True, slots=True)
class Correction:
    """What is done to the readings of one meter: raw * `slope` + `shift`, the checks it rests on, and the reason in words.

    `active` False: readings stay as they are. `age_days` counts from the newest check, None where there is none.
    """

    slope: float
    shift: float
    active: bool
    checks: tuple[Check, ...]
    basis: str
    age_days: int | None = None

    @property
    def stale(self) -> bool:
        """Whether the newest check is so old that another is wanted."""
        return self.age_days is not None and self.age_days > KEPT

    def applies_to(self, raw_pct: float) -> bool:
        """Whether a reading is corrected: only between 20 and 95 %."""
        return self.active and LOWEST <= raw_pct <= HIGHEST

    def corrected(self, raw_pct: float) -> float:
        """A reading set right, in per cent, from 0 to 100; unchanged where it is not corrected."""
        return min(100.0, max(0.0, raw_pct * self.slope + self.shift)) if self.applies_to(raw_pct) else raw_pct


def fixed_point(salt: str, temperature_c: float) -> float:
    """Relative humidity in per cent over a salt, from 5 to 40 °C (Greenspan 1977)."""
    if salt not in COEFFICIENTS:
        raise ValueError(
            f"A hygrometer is checked over {NACL} (table salt) or {MGCL2} (magnesium chloride), not {salt}."
        )
    if not COLDEST <= temperature_c <= WARMEST:
        raise ValueError(
            f"A hygrometer is checked between {COLDEST:g} and {WARMEST:g} °C; {temperature_c:g} °C is outside."
        )
    return sum(number * temperature_c**power for power, number in enumerate(COEFFICIENTS[salt]))


def correction(checks: Iterable[Check], today: date) -> Correction:
    """How a meter's readings are set right, from all its checks up to today.

    The newest check decides: with one of the other salt at most 90 days older a straight line through both, alone its
    offset. Offsets under 2 points are not corrected.
    """
    newest = _newest(checks, today)
    if not newest:
        return Correction(1.0, 0.0, active=False, checks=(), basis="never checked over salt")
    age = (today - newest[0].on).days
    told = ", ".join(_said(check) for check in newest)
    if all(abs(check.offset) < LEAST_OFFSET for check in newest):
        why = f"{told}: under {LEAST_OFFSET:g} points off, left as it reads (household meters are specified to ±5)"
        return Correction(1.0, 0.0, active=False, checks=newest, basis=why, age_days=age)
    if len(newest) == 1:
        (check,) = newest
        return Correction(1.0, check.offset, active=True, checks=newest, basis=_doubted(told, newest), age_days=age)
    return _line(newest, told, age)


def _line(pair: tuple[Check, ...], told: str, age: int) -> Correction:
    """The straight line through two checks; a meter that hardly tells the two salts apart cannot be set right."""
    dry, wet = sorted(pair, key=lambda check: check.true_pct)
    apart = wet.reading_pct - dry.reading_pct
    if apart < (wet.true_pct - dry.true_pct) / 2:
        why = f"{told}: it hardly tells the two salts apart, so it cannot be set right"
        return Correction(1.0, 0.0, active=False, checks=pair, basis=why, age_days=age)
    slope = (wet.true_pct - dry.true_pct) / apart
    shift = dry.true_pct - slope * dry.reading_pct
    return Correction(slope, shift, active=True, checks=pair, basis=_doubted(told, pair), age_days=age)


def _newest(checks: Iterable[Check], today: date) -> tuple[Check, ...]:
    """The newest check, and after it the newest of the other salt if that is not much older; of one day, the last told."""
    by_salt: dict[str, Check] = {}
    for check in sorted((one for one in checks if one.on <= today), key=lambda one: one.on):
        by_salt[check.salt] = check
    ordered = sorted(by_salt.values(), key=lambda check: check.on, reverse=True)
    return tuple(check for check in ordered if (ordered[0].on - check.on).days <= PAIRED_WITHIN)


def _said(check: Check) -> str:
    told = f"{check.temperature:g} °C" + ("" if check.temperature_c is not None else ", taken as none was told")
    shown = f"read {check.reading_pct:g} for {check.true_pct:.1f} over {check.salt} ({told})"
    return f"{shown} on {full_day(check.on)}: {check.offset:+.1f}"


def _doubted(told: str, checks: tuple[Check, ...]) -> str:
    if all(abs(check.offset) <= DOUBTFUL_OFFSET for check in checks):
        return told
    return f"{told}; so far off, make sure that the salt was wet and stood 8 to 24 hours"
