"""How much an animal grows with each moult, by its own sizes and moults, or by what is usual while these are few.

Hard parts grow at a moult and by a nearly constant factor (Dyar 1890, Psyche 5:420, doi:10.1155/1890/23871, heads of
caterpillars, about 1.4 [from memory]; for spiders Dyar's line fits 14 species of 8 families, doi:10.1093/aesa/64.4.757; a
theraphosid, Grammostola vachoni, 38 % a stage, doi:10.1016/j.jcz.2021.05.005). The factor tends to fall with age
(doi:10.1098/rstb.1997.0007), so it is a guess to begin with and no law. Instar words are never made into numbers here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import geometric_mean, median
from types import MappingProxyType

Span = tuple[float, float]
"""From low to high."""

MASS = frozenset({"weight"})
"""Measures that grow with the cube of a length; all others are lengths."""

BEFORE_ITS_MOULT = frozenset({"exuvia"})
"""Measures taken from a cast skin: they tell the size before the moult of that day, all others that after it."""

YOUNG: Span = (1.25, 1.40)
NEAR_ADULT: Span = (1.05, 1.20)
USUAL: Mapping[str, Span] = MappingProxyType({"subadult": NEAR_ADULT, "adult": NEAR_ADULT})
"""The usual factor of a length by stage, YOUNG for all other stages: common practice, about Dyar's and Przibram's factors."""

OWN_FROM = 3
"""Own moults from which the own factor stands instead of the usual one. A plain switch, since each can be told as what it
is; a weighted mean of both could not. One or two moults of a live animal are worth little, see MEASURED_WITHIN."""

MEASURED_WITHIN = 0.05
"""A live spider is measured to 5 to 10 % [common practice]; the lower end, so that own ranges are not blown up."""


@dataclass(frozen=True, slots=True)
class Size:
    """One measured size (mm or g) of an animal; for a group the mean of a sample, or one animal of it."""

    on: date
    value: float


@dataclass(frozen=True, slots=True)
class Moult:
    """A day of moulting; `share` is the share of the group that moulted, 1 for an animal."""

    on: date
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """Growth between two sizes with `moults` between them (broken in a group): `factor` is that of one moult."""

    since: date
    until: date
    moults: float
    factor: float


@dataclass(frozen=True, slots=True)
class Factor:
    """By how much a size grows with each moult: the middle and a range.

    `source` is own or usual. `basis` are the own moults on record that lie between sizes, `stretches` how many stretches
    these are measured in. With source usual they are too few and do not bear on the numbers; `own` is what they say so far.
    """

    middle: float
    low: float
    high: float
    source: str
    basis: float
    stretches: int
    own: float | None


def stretches(sizes: Iterable[Size], moults: Iterable[Moult], measure: str) -> tuple[Stretch, ...]:
    """Return the growth between sizes of different instars; sizes of one measure only, since none is turned into another.

    Sizes between the same two moults are one, by their geometric mean. The factor of one moult is (late/early)^(1/moults).
    A stretch of less than half a moult of a group is joined to the next. ValueError on a size of 0 or less.
    """
    told = list(moults)
    by_instar: dict[float, list[Size]] = {}
    for size in sorted(sizes, key=lambda one: one.on):
        if size.value <= 0:
            raise ValueError(f"{size.value} is no size.")
        by_instar.setdefault(round(_moults_before(size.on, told, measure), 9), []).append(size)
    found: list[Stretch] = []
    early, *later = sorted(by_instar.items()) or [(0.0, [])]
    for late in later:
        if late[0] - early[0] >= 0.5:
            found.append(_stretch(early, late))
            early = late
    return tuple(found)


def _moults_before(day: date, moults: Sequence[Moult], measure: str) -> float:
    skin = measure in BEFORE_ITS_MOULT
    return math.fsum(moult.share for moult in moults if moult.on < day or (moult.on == day and not skin))


def _stretch(early: tuple[float, list[Size]], late: tuple[float, list[Size]]) -> Stretch:
    count = late[0] - early[0]
    before, after = (geometric_mean([size.value for size in sizes]) for _instar, sizes in (early, late))
    return Stretch(early[1][-1].on, late[1][0].on, count, (after / before) ** (1 / count))


def usual_factor(measure: str, stage: str | None = None) -> Span:
    """Return the usual factor of a measure; of a weight the cube of that of a length (1.95 to 2.74 for the young).

    Przibram's rule, mass doubles and length grows by the cube root of 2 at each moult, lies within: mantids 2.09 and 1.29
    (abstract, doi:10.1111/j.1469-7998.1994.tb01568.x).
    """
    low, high = USUAL.get(stage or "", YOUNG)
    return (low**3, high**3) if measure in MASS else (low, high)


def growth_factor(found: Sequence[Stretch], measure: str, stage: str | None = None) -> Factor:
    """Return the factor of one moult from an animal's stretches, or those of several animals of a group together.

    From three own moults on: the median over the stretches, each counted once for each of its moults; the range from
    the least to the greatest, and never narrower than measuring leaves it: middle * or / (1.05/0.95)^(1/moults of the
    middling stretch), its cube for a weight. Before: the usual factor of the stage, its middle the geometric mean of its ends.
    """
    basis = math.fsum(one.moults for one in found)
    own = _weighted_median(found)
    if own is None or basis < OWN_FROM - 0.01:
        low, high = usual_factor(measure, stage)
        return Factor(math.sqrt(low * high), low, high, "usual", basis, len(found), own)
    factors = [one.factor for one in found]
    exact = 3 if measure in MASS else 1
    doubt = ((1 + MEASURED_WITHIN) / (1 - MEASURED_WITHIN)) ** (exact / median(one.moults for one in found))
    return Factor(own, min(*factors, own / doubt), max(*factors, own * doubt), "own", basis, len(found), own)


def _weighted_median(found: Sequence[Stretch]) -> float | None:
    counted = [one.factor for one in found for _moult in range(max(1, round(one.moults)))]
    return median(counted) if counted else None


def size_after(size: float, factor: Factor, moults: int = 1) -> tuple[float, float, float]:
    """Return the size after so many moults as low, middle and high, in the unit of `size`: size * factor^moults."""
    return size * factor.low**moults, size * factor.middle**moults, size * factor.high**moults


def all_stretches(animals: Iterable[tuple[Iterable[Size], Iterable[Moult]]], measure: str) -> tuple[Stretch, ...]:
    """Return the stretches of several animals, each with its own sizes and moults, for one factor of the group."""
    return tuple(one for sizes, moults in animals for one in stretches(sizes, moults, measure))
