"""What is reckoned for a sheet: how it was fed, how far apart, what it refused, and what the air was."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from statistics import median

from bot.handover.facts import Feeding, Range, Reading

LATELY = timedelta(days=90)
"""What is told of lately is of these days, the last one included."""

MOST_PREY = 3


@dataclass(frozen=True, slots=True)
class Gaps:
    """Days between days with food that was not refused: the middle one, the shortest, the longest, and how many gaps."""

    middle: float
    shortest: int
    longest: int
    number: int


@dataclass(frozen=True, slots=True)
class Diet:
    """Feedings of some days. `prey` is the most usual with how often, out of `named` feedings that name prey; `states` likewise.

    `taken` were eaten whole or in part, `unwritten` have no outcome on record.
    """

    offered: int
    refused: int
    partly: int
    taken: int
    unwritten: int
    prey: tuple[tuple[str, int], ...]
    named: int
    states: tuple[tuple[str, int], ...]
    gaps: Gaps | None


def lately(until: date) -> date:
    """The first day of what is told of lately."""
    return until - LATELY + timedelta(days=1)


def diet(feedings: Iterable[Feeding]) -> Diet:
    """Reckon some feedings together."""
    told = list(feedings)
    outcomes = Counter(one.outcome for one in told)
    prey = Counter(one.prey for one in told if one.prey)
    states = Counter(one.state for one in told if one.state)
    known = sum(outcomes[word] for word in ("refused", "partly", "ate"))
    return Diet(
        offered=len(told),
        refused=outcomes["refused"],
        partly=outcomes["partly"],
        taken=outcomes["ate"] + outcomes["partly"],
        unwritten=len(told) - known,
        prey=_most(prey, MOST_PREY),
        named=prey.total(),
        states=_most(states, len(states)),
        gaps=gaps(one.on for one in told if one.outcome != "refused"),
    )


def gaps(days: Iterable[date]) -> Gaps | None:
    """Reckon the days between one day with food and the next; None with fewer than two."""
    found = [(late - early).days for early, late in pairwise(sorted(set(days)))]
    return Gaps(median(found), min(found), max(found), len(found)) if found else None


def refused_since(feedings: Sequence[Feeding]) -> int:
    """How many feedings on end were refused last."""
    number = 0
    for one in reversed(feedings):
        if one.outcome != "refused":
            break
        number += 1
    return number


@dataclass(frozen=True, slots=True)
class Air:
    """One measure of the air over some days: lowest, middle and highest of `number` readings."""

    lowest: float
    middle: float
    highest: float
    number: int


def air(readings: Iterable[Reading], measure: str) -> Air | None:
    """Reckon `temperature_c` or `humidity_pct` of some readings; None where none tells it. A range counts with its middle."""
    spans: list[Range] = [span for one in readings if (span := getattr(one, measure)) is not None]
    ends = [[edge for edge in span if edge is not None] for span in spans]
    told = [edges for edges in ends if edges]
    if not told:
        return None
    middles = [sum(edges) / len(edges) for edges in told]
    return Air(min(map(min, told)), median(middles), max(map(max, told)), len(told))


def _most(counted: Counter[str], most: int) -> tuple[tuple[str, int], ...]:
    """The most frequent first; those as frequent by name, so that the same records give the same sheet."""
    return tuple(sorted(counted.items(), key=lambda one: (-one[1], one[0]))[:most])
