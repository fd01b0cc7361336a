"""`rackside health`: whether the process that serves this data folder goes on. For a container's health check: cheap, and quiet."""

from __future__ import annotations

import os
from argparse import Namespace
from collections.abc import Sequence

from bot.heartbeat import LATE_SECONDS, ages
from bot.settings import data_folder

UNWELL = 1


def health(options: Namespace) -> int:
    """Say in a line how the serving processes are; 0 where all of them go on, else 1. Raises RacksideError."""
    found = ages(data_folder(options.data, os.environ))
    print(said(found))
    return 0 if goes_on(found) else UNWELL


def goes_on(found: Sequence[float | None]) -> bool:
    """Whether there is a process, and every one gave a sign of life (seconds ago; None for none yet) of late."""
    return bool(found) and all(age is not None and age <= LATE_SECONDS for age in found)


def said(found: Sequence[float | None]) -> str:
    """The same in words, of the process that is worst off."""
    if not found:
        return "Nothing serves this data folder: `rackside run` is not running here."
    if None in found:
        return "Starting: no sign of life yet."
    worst = max(age for age in found if age is not None)
    if goes_on(found):
        return f"Running: last sign of life {worst:.0f} seconds ago."
    return f"Running, but with no sign of life for {worst:.0f} seconds. Look at its log, or start it anew."
