"""What was acknowledged outlives `kill -9`, and nothing is half written."""

from __future__ import annotations

import random
import signal
import subprocess
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import text

from storage import inbox, journal, outbox
from storage.engines import SQLITE
from storage.store import Store
from tests import databases

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

ROUNDS = 6
ROOT = Path(__file__).parents[2]


def _write_until_killed(directory: Path, number: int, seconds: float) -> list[list[int]]:
    """Ids that the writer acknowledged, a list for each message; it is killed some time after its first one."""
    command = [sys.executable, "-m", "tests.storage.writer", str(directory), str(number)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT) as writer:
        assert writer.stdout is not None
        lines = [writer.stdout.readline()]
        killer = threading.Timer(seconds, writer.kill)
        killer.start()
        lines += writer.stdout.readlines()
        killer.join()
    assert writer.returncode == -signal.SIGKILL
    return [[int(word) for word in line.split()] for line in lines if line.endswith("\n")]


@pytest.mark.slow
def test_acknowledged_entries_outlive_a_kill(directory: Path) -> None:
    """A writer killed at six random moments: every acknowledged entry is there, and every message is whole or untouched."""
    chance = random.Random(7)  # noqa: S311 - moments of a test, not secrets
    told = [ids for number in range(ROUNDS) for ids in _write_until_killed(directory, number, chance.uniform(0, 0.4))]
    assert len(told) > ROUNDS
    store = Store.open(databases.of(directory))
    with store.read() as session:
        for message_id, *entry_ids in told:
            assert [row.id for row in journal.entries_of_message(session, message_id)] == entry_ids
        for (message_id,) in session.execute(text("SELECT id FROM inbox")).all():
            _assert_whole(session, message_id)
        if databases.engine() == SQLITE:
            assert session.scalar(text("PRAGMA integrity_check")) == "ok"
    store.close()


def _assert_whole(session: Session, message_id: int) -> None:
    """Either all three entries with both subjects, the reply and done, or nothing and still waiting."""
    message = inbox.row(session, message_id)
    entries = journal.entries_of_message(session, message_id)
    replies = outbox.answers_to(session, message_id)
    assert message is not None
    if message.state == "done":
        assert [len(entry.subjects) for entry in entries] == [2, 2, 2]
        assert len(replies) == 1
    else:
        assert (message.state, entries, replies) == ("waiting", [], [])
