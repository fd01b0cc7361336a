"""What a picture costs, from the call to the bytes of the PNG: against empty axes of the same size, saved the same way."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from statistics import median
from tempfile import TemporaryDirectory

from bot.pictures import climate, feeding_calendar, growth, head_count, survival
from tests.benchmarks.empty_axes import empty
from tests.benchmarks.measure import Measure, interleaved
from tests.pictures import samples

OF_TEN_YEARS: dict[str, Callable[[], bytes]] = {
    "head count": lambda: head_count.picture(samples.HEADS_YEARS),
    "feeding calendar": lambda: feeding_calendar.picture(samples.FOOD_YEARS),
    "growth": lambda: growth.picture(samples.GROWN_YEARS),
    "climate": lambda: climate.picture(samples.AIR_YEARS),
    "survival": lambda: survival.picture(samples.ALIVE_YEARS),
}

FRESH = "from time import process_time as now; start = now(); {act}; print(now() - start)"
"""A program that does one thing and prints the processor seconds that it took, its imports among them."""

OURS = "from tests.pictures import samples; from bot.pictures import climate; climate.picture(samples.AIR)"
EMPTY = "from tests.benchmarks.empty_axes import empty; empty()"


def measure(*, small: bool) -> list[Measure]:
    """Cost of the slowest picture of ten years of days, and of a picture in a process that has drawn none before."""
    rounds = 1 if small else 9
    costs = {name: interleaved(draw, empty, rounds) for name, draw in OF_TEN_YEARS.items()}
    ratios = {name: ours / plain for name, (ours, plain) in costs.items()}
    slowest = max(ratios, key=ratios.__getitem__)
    ours, plain = costs[slowest]
    warm = f"{slowest}, ten years: {ours * 1000:.0f} ms against {plain * 1000:.0f} ms; others {min(ratios.values()):.2f} and up"
    with TemporaryDirectory() as compiled:
        fresh(OURS, compiled), fresh(EMPTY, compiled)
        pairs = [(fresh(OURS, compiled), fresh(EMPTY, compiled)) for _ in range(1 if small else 5)]
    first, bare = (median(each) for each in zip(*pairs, strict=True))
    cold = f"climate, processor time with imports: {first:.2f} s against {bare:.2f} s"
    return [
        Measure("slowest picture against empty axes", ours / plain, 2, at_least=False, unit="times", detail=warm),
        Measure("first picture against first empty axes", first / bare, 2, at_least=False, unit="times", detail=cold),
    ]


def fresh(act: str, compiled: str) -> float:
    """Processor seconds that an act takes in a process of its own, with compiled modules kept in a folder."""
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": compiled}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    command = [sys.executable, "-c", FRESH.format(act=act)]
    done = subprocess.run(command, check=True, capture_output=True, text=True, env=environment)
    return float(done.stdout)
