"""Takes in what a service delivers, without end, and says how far after each batch. Run to be killed.

Usage: python -m tests.taker DIRECTORY
"""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path

from bot.app import SetClock, build
from bot.channels.port import Carried
from bot.desk import Desk
from storage.store import Store
from tests import databases
from tests.front import ANA, CHANNEL

NOW = datetime(2026, 3, 3, 19, 5, tzinfo=UTC)
BATCH = 3


def main() -> None:
    """Ask for what comes after the position, two messages early as a service may deliver again, and take it."""
    folder = Path(sys.argv[1])
    desk = Desk(build(Store.open(databases.of(folder)), SetClock(NOW)), folder)
    while True:
        done = int(desk.position(CHANNEL) or 0)
        numbers = range(max(1, done - 1), done + BATCH + 1)
        messages = [
            Carried(address=ANA, name="Ana", chat=ANA, key=str(number), text=f"words {number}", sent_at=NOW)
            for number in numbers
        ]
        desk.take(CHANNEL, messages, str(done + BATCH))
        print(done + BATCH, flush=True)  # noqa: T201 - the service takes this as: do not deliver these again


if __name__ == "__main__":
    main()
