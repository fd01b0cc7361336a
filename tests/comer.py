"""Somebody at the door: shows each code that is written to it, as another person each time, and prints how what it is told begins.

Usage: python -m tests.comer DIRECTORY NUMBER
"""

from __future__ import annotations

import re
import sys
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

from bot.app import SetClock, build
from bot.channels.port import Carried
from bot.desk import Desk
from storage import outbox
from storage.store import Store
from tests import databases

NOW = datetime(2026, 3, 3, 19, 5, tzinfo=UTC)


def main() -> None:
    """Say "ready"; then a line for each line."""
    folder = Path(sys.argv[1])
    desk = Desk(build(Store.open(databases.of(folder)), SetClock(NOW)), folder)
    print("ready", flush=True)  # noqa: T201 - this is what the test reads
    for number, line in zip(count(), sys.stdin, strict=False):
        address = f"{sys.argv[2]}{number}"
        message = Carried(
            address=address, name="Racer", chat=address, key="1", text=line.strip(), sent_at=NOW, private=True
        )
        (taken,) = desk.take("telegram", [message])
        print(re.split("[.;]", taken.line or _welcome(desk, address))[0], flush=True)  # noqa: T201 - as above


def _welcome(desk: Desk, chat: str) -> str:
    with desk.app.store.read() as session:
        return next(str(row.body["text"]) for row in outbox.waiting(session, "telegram") if row.chat == chat)


if __name__ == "__main__":
    main()
