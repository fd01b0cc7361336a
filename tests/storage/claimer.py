"""Claims what waits in the outbox and marks it sent, until nothing waits; says what it claimed and when.

To be run several at once: each says "ready", and begins when it is written a line.

Usage: python -m tests.storage.claimer DIRECTORY HOLDER
"""

from __future__ import annotations

import sys
import time
from datetime import timedelta
from pathlib import Path

from storage import outbox
from storage.store import Store
from tests import databases
from tests.storage.keeper import NOW

LEASE = timedelta(minutes=1)


def main() -> None:
    """Claim, say, mark sent, one message at a time."""
    store = Store.open(databases.of(Path(sys.argv[1])))
    print("ready", flush=True)  # noqa: T201 - as below
    sys.stdin.readline()
    while True:
        with store.write() as session:
            rows = outbox.claim(session, "telegram", sys.argv[2], NOW, LEASE)
            at = time.monotonic_ns()
        for row in rows:
            print(at, row.id, row.chat, flush=True)  # noqa: T201 - this is what the test reads
            with store.write() as session:
                outbox.mark_sent(session, row.id, str(row.id))
        with store.read() as session:
            if not outbox.waiting(session):
                return


if __name__ == "__main__":
    main()
