"""Sweeps a database once, and is stopped between claiming and sending: says so and waits to be killed, or sends.

Usage: python -m tests.reminders.sweeper FOLDER MOMENT hang|send
"""

from __future__ import annotations

import sys
import time
from datetime import datetime
from pathlib import Path

from bot.reminders import sweep as sweeping
from bot.reminders.agenda import agenda
from storage.store import Store
from tests import databases


def main() -> None:
    """Sweep at a moment; with "hang" only up to where the pushes are claimed."""
    folder, moment, how = sys.argv[1:]
    if how == "hang":
        setattr(sweeping, "compose", _hang)  # noqa: B010 - a name that the module imports
    store = Store.open(databases.of(Path(folder)))
    print(sweeping.sweep(store, datetime.fromisoformat(moment), agenda), flush=True)  # noqa: T201 - this is its answer
    store.close()


def _hang(*_given: object) -> None:
    print("claimed", flush=True)  # noqa: T201 - its answer too
    time.sleep(60)


if __name__ == "__main__":
    main()
