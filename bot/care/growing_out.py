"""How long a culture of feeders takes to grow, by degree-days: development is as fast as it is warmer than a threshold.

days = K / (T - T0), K in degree-days above T0. Only species with published numbers are here; none was found for roaches.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from bot.care.days import shifted


@dataclass(frozen=True, slots=True)
class Stage:
    """A stage of development: it takes `degree_days` (°C * days) above `threshold_c`.

    `tested_c` is the range of temperatures the numbers come from, None where the source seen does not say; `basis` how
    many temperatures they rest on, None likewise.
    """

    name: str
    threshold_c: float
    degree_days: float
    source: str
    tested_c: tuple[float, float] | None = None
    basis: int | None = None


_BANDED = "doi:10.1371/journal.pone.0300438 (abstract)"
_HOUSE = "European Journal of Entomology, article 834 (abstract): 200.5 days at 18 °C, 66.26 at 30; the line through both is ours"

STAGES: Mapping[str, tuple[Stage, ...]] = MappingProxyType(
    {
        "Acheta domesticus": (Stage("egg to adult", 12.077, 1187.6, _HOUSE, (18, 30), 2),),
        "Gryllus bimaculatus": (Stage("egg", 15.9, 108.7, _BANDED), Stage("nymph", 16.2, 555.6, _BANDED)),
    }
)
"""Feeders by scientific name, their stages in order from the egg."""


def days_at(stage: Stage, temperature_c: float) -> float | None:
    """Return the days a stage takes at a steady temperature: K / (T - T0); None at or below the threshold, where it stops."""
    above = temperature_c - stage.threshold_c
    return stage.degree_days / above if above > 0 else None


def within(stage: Stage, temperature_c: float) -> bool | None:
    """Whether a temperature lies in the range the numbers come from; None where that range is not known."""
    return None if stage.tested_c is None else stage.tested_c[0] <= temperature_c <= stage.tested_c[1]


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a culture has come: the stage it is in (None: grown) and the share of that stage done, 0 to 1.

    `basis` are the days of temperature reckoned.
    """

    stage: Stage | None
    done: float
    basis: int


def progress(stages: Sequence[Stage], daily_means_c: Iterable[float]) -> Progress:
    """Return how far eggs laid before the first day have come after days of these mean temperatures (°C)."""
    place, done, days = 0, 0.0, 0
    for mean in daily_means_c:
        days += 1
        rest = 1.0
        while place < len(stages) and rest > 0:
            above = max(0.0, mean - stages[place].threshold_c)
            gain = rest * above / stages[place].degree_days
            if done + gain < 1:
                done, rest = done + gain, 0.0
            else:
                rest -= (1 - done) * stages[place].degree_days / above
                place, done = place + 1, 0.0
    return Progress(stages[place], done, days) if place < len(stages) else Progress(None, 0.0, days)


@dataclass(frozen=True, slots=True)
class GrowingOut:
    """When a culture may be grown: at the warm end `since`, at the cool end `until`; None: at that end it never gets there.

    `days` the same as days from today. `basis` are the days of measured temperature behind it, `sources` of the numbers;
    `untested`: a temperature lies out of the range that the numbers come from.
    """

    days: tuple[float | None, float | None]
    since: date | None
    until: date | None
    basis: int
    sources: tuple[str, ...]
    untested: bool


def growing_out(stages: Sequence[Stage], so_far: Progress, ahead_c: tuple[float, float], today: date) -> GrowingOut:
    """Return when a culture will be grown if it stays between two temperatures (°C) from today on.

    ValueError on a range upside down.
    """
    low, high = ahead_c
    if high < low:
        raise ValueError(f"{low} to {high} °C is no range.")
    left = [] if so_far.stage is None else list(stages[stages.index(so_far.stage) :])
    days = _left(left, so_far.done, high), _left(left, so_far.done, low)
    since = None if days[0] is None else shifted(today, math.floor(days[0]))
    until = None if days[1] is None else shifted(today, math.ceil(days[1]))
    untested = any(within(stage, one) is False for stage in left for one in ahead_c)
    sources = tuple(dict.fromkeys(stage.source for stage in left))
    return GrowingOut(days, since, until, so_far.basis, sources, untested)


def _left(stages: Sequence[Stage], done: float, temperature_c: float) -> float | None:
    times = [days_at(stage, temperature_c) for stage in stages]
    known = [one for one in times if one is not None]
    return None if len(known) < len(times) else sum(known) - (done * known[0] if known else 0.0)
