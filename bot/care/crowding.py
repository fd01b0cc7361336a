"""How many animals share a floor, a volume and the hides; beside this keeper's other groups, against no norm of ours.

No published density for groups of spiders was found, so none is given here: a keeper's own groups are the only measure.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

Heads = tuple[int, int | None]
"""[low, high]; high None is "at least"."""
Range = tuple[float, float | None]


@dataclass(frozen=True, slots=True)
class Enclosure:
    """The inside of an enclosure in cm, and its hides where told; `height_cm` None: not told."""

    width_cm: float
    depth_cm: float
    height_cm: float | None = None
    hides: int | None = None


@dataclass(frozen=True, slots=True)
class Crowding:
    """Heads and room. Ranges follow those of the heads; high None where the heads have no upper end.

    `floor_dm2` and `volume_l` of the enclosure; `per_dm2` and `per_l` are heads per dm² of floor and per litre, `dm2_each`
    the floor for each head (None: no head), `hides_each` hides for each head. None where height or hides are not told.
    `basis` is the range of heads.
    """

    floor_dm2: float
    volume_l: float | None
    per_dm2: Range
    per_l: Range | None
    dm2_each: Range | None
    hides_each: Range | None
    basis: Heads


def crowding(heads: Heads, enclosure: Enclosure) -> Crowding:
    """Return how crowded an enclosure is: dm² = width * depth / 100, litres = width * depth * height / 1000 (cm).

    Room that decoration takes, and bark that adds floor, are not known and not counted. ValueError on no size or a range
    upside down.
    """
    low, high = heads
    sides = [enclosure.width_cm, enclosure.depth_cm, *([] if enclosure.height_cm is None else [enclosure.height_cm])]
    if low < 0 or (high is not None and high < low) or min(sides) <= 0 or (enclosure.hides or 0) < 0:
        raise ValueError(f"{heads} heads in {enclosure} cannot be.")
    floor = enclosure.width_cm * enclosure.depth_cm / 100
    volume = None if enclosure.height_cm is None else floor * enclosure.height_cm / 10
    return Crowding(
        floor,
        volume,
        _by(heads, floor),
        None if volume is None else _by(heads, volume),
        _for_each(heads, floor),
        None if enclosure.hides is None else _for_each(heads, enclosure.hides),
        heads,
    )


def _by(heads: Heads, room: float) -> Range:
    low, high = heads
    return low / room, None if high is None else high / room


def _for_each(heads: Heads, room: float) -> Range | None:
    """Room for each head: the least at the most heads; None if there may be none or are none."""
    low, high = heads
    if high == 0:
        return None
    return 0.0 if high is None else room / high, room / low if low else None


@dataclass(frozen=True, slots=True)
class Beside:
    """A group beside this keeper's others, by heads per dm².

    `denser` others are surely more crowded than it, `sparser` surely less, `alike` overlap with it; together they are
    `basis`. `median` and `times_median` go by the middles of the ranges (the low end where there is no upper).
    """

    denser: int
    sparser: int
    alike: int
    median: float
    times_median: float | None
    basis: int


def beside(own: Range, others: Sequence[Range]) -> Beside | None:
    """Place a group's heads per dm² (or per litre) among those of the keeper's other groups; None without any other."""
    if not others:
        return None
    denser = sum(own[1] is not None and other[0] > own[1] for other in others)
    sparser = sum(other[1] is not None and other[1] < own[0] for other in others)
    middle = median(_middle(other) for other in others)
    alike = len(others) - denser - sparser
    return Beside(denser, sparser, alike, middle, _middle(own) / middle if middle else None, len(others))


def _middle(density: Range) -> float:
    low, high = density
    return low if high is None else (low + high) / 2
