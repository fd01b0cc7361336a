"""What a benchmark hands back, and how two things are timed against each other in one run."""

from __future__ import annotations

import gc
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median
from time import perf_counter

from bot.heap import settle


@dataclass(frozen=True, slots=True)
class Measure:
    """One number against its limit (0: none, only to be known): at least or at most so much of `unit`; `detail` says what it was made of."""

    name: str
    value: float
    limit: float
    at_least: bool
    unit: str
    detail: str

    @property
    def met(self) -> bool:
        """True if the number keeps its limit."""
        return self.value >= self.limit if self.at_least else self.value <= self.limit

    @property
    def wanted(self) -> str:
        """The limit in words."""
        return f"{'at least' if self.at_least else 'at most'} {self.limit:g} {self.unit}" if self.limit else "no limit"


def seconds(act: Callable[[], object]) -> float:
    """How long an act takes by the clock on the wall."""
    gc.collect()  # what was before is not to be paid for here
    start = perf_counter()
    act()
    return perf_counter() - start


def interleaved(first: Callable[[], object], second: Callable[[], object], rounds: int) -> tuple[float, float]:
    """Median seconds of two acts, done by turns so that whatever slows the machine slows both; one round warms up.

    The garbage collector goes about its work as in `rackside`: else a pass through all that the benchmarks have loaded falls on
    the one or the other.
    """
    gc.collect()
    settle()
    pairs = [(seconds(first), seconds(second)) for _ in range(rounds + 1)][1:]
    return median(pair[0] for pair in pairs), median(pair[1] for pair in pairs)
