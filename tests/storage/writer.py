"""Writes entries without end, and says the ids of each transaction once it is committed. Run to be killed.

Usage: python -m tests.storage.writer DIRECTORY ROUND
"""

from __future__ import annotations

import sys
from itertools import count
from pathlib import Path

from storage import households, inbox, journal, outbox
from storage.journal import NewEntry, Subject
from storage.store import Store
from tests import databases
from tests.storage.keeper import NOW, TODAY, ZONE, Keeper


def main() -> None:
    """Take in one message after another, and write its entries, the reply and that it is done in one transaction."""
    store = Store.open(databases.of(Path(sys.argv[1])))
    with store.write() as session:
        if not households.collections(session):
            Keeper(session)
    subjects = (Subject(1), Subject(enclosure_id=1))
    for number in count():
        with store.write() as session:
            message_id = inbox.receive(session, _incoming(f"{sys.argv[2]}-{number}"))
        with store.write() as session:
            new = [NewEntry("note", "log", TODAY, None, None, ZONE, {"part": part}, subjects) for part in range(3)]
            ids = journal.append(session, 1, 1, message_id, NOW, new)
            outbox.put(session, 1, "console", "terminal", message_id, {"text": "Written"})
            inbox.mark_done(session, message_id or 0)
        print(message_id, *ids, flush=True)  # noqa: T201 - this is the acknowledgement


def _incoming(key: str) -> inbox.Incoming:
    return inbox.Incoming(
        collection_id=1,
        member_id=1,
        channel="console",
        chat="terminal",
        key=key,
        text="note",
        sent_at=NOW,
    )


if __name__ == "__main__":
    main()
