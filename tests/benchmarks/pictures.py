"""What a picture costs, from the call, and from the question, to the bytes: against empty axes as large, saved the same way."""

from __future__ import annotations

import gc
import os
import subprocess
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from bot import demo
from bot.app import SetClock
from bot.household import opened
from bot.pictures import climate, feeding_calendar, growth, head_count, survival
from bot.settings import Settings
from tests.benchmarks import picture_asked
from tests.benchmarks.empty_axes import empty
from tests.benchmarks.measure import Measure, interleaved
from tests.benchmarks.picture_asked import QUESTIONS
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
        *_asked(small=small),
    ]


def _asked(*, small: bool) -> list[Measure]:
    """From the question in words to the bytes: the slowest of one of each sort, and the first one of a new process."""
    rounds = 1 if small else 9
    with TemporaryDirectory() as folder, TemporaryDirectory() as compiled:
        demo.load(Path(folder), SetClock(picture_asked.NOW))
        with opened(Path(folder), Settings(), SetClock(picture_asked.NOW)) as house:
            gc.freeze()  # as the command does once its modules are there
            pairs = [interleaved(partial(picture_asked.draw, house, words), empty, rounds) for words in QUESTIONS]
        ours, plain = max(pairs, key=lambda pair: pair[0] / pair[1])
        act = (
            f"from tests.benchmarks.picture_asked import from_the_folder; from_the_folder({folder!r}, {QUESTIONS[3]!r})"
        )
        fresh(act, compiled), fresh(EMPTY, compiled)
        cold = [(fresh(act, compiled), fresh(EMPTY, compiled)) for _ in range(1 if small else 5)]
    first, bare = (median(each) for each in zip(*cold, strict=True))
    others = ", ".join(f"{ours / plain:.2f}" for ours, plain in pairs)
    warm = f"{ours * 1000:.0f} ms against {plain * 1000:.0f} ms; heads, food, growth, air, survival: {others}"
    from_cold = f"against {bare:.2f} s for the first empty axes, {first / bare:.2f} times"
    return [
        Measure("question to bytes against empty axes", ours / plain, 2, at_least=False, unit="times", detail=warm),
        Measure("question to bytes, warm", ours, 0.3, at_least=False, unit="s", detail="the slowest of five sorts"),
        Measure("first question, opening the folder", first, 1.5, at_least=False, unit="s", detail=from_cold),
    ]


def fresh(act: str, compiled: str) -> float:
    """Processor seconds that an act takes in a process of its own, with compiled modules kept in a folder."""
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": compiled}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    command = [sys.executable, "-c", FRESH.format(act=act)]
    done = subprocess.run(command, check=True, capture_output=True, text=True, env=environment)
    return float(done.stdout)
