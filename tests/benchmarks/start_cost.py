"""Processor time of `rackside say` from start to exit, on a data folder that is there already."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import fixtures
from tests.benchmarks.measure import Measure

ROSTER = Path(fixtures.__file__).parent / "demo" / "roster.toml"


def run(folder: Path, *words: str) -> float:
    """Processor seconds, of the user and of the system, that one command takes from start to exit.

    Compiled modules are kept from run to run, in the same folder, as Python keeps them unless it is told not to.
    """
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": str(folder / "compiled")}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [sys.executable, "-m", "bot.cli", *words, "--data", str(folder)]
    subprocess.run(command, check=True, capture_output=True, env=environment)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def measure(*, small: bool) -> list[Measure]:
    """Median of several runs, those that make the data folder and compile the modules not counted."""
    with TemporaryDirectory() as folder:
        run(Path(folder), "roster", "import", str(ROSTER))
        run(Path(folder), "say", "misted everyone")
        costs = [run(Path(folder), "say", "misted everyone") for _ in range(1 if small else 9)]
    detail = f"{len(costs)} runs: {min(costs):.2f} to {max(costs):.2f} s"
    return [Measure("processor time of rackside say", median(costs), 0.6, at_least=False, unit="s", detail=detail)]
