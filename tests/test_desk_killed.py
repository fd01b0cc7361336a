"""What was taken in outlives `kill -9`: messages and position are there together or not at all."""

from __future__ import annotations

import random
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from tests.front import CHANNEL, Front

ROUNDS = 8
ROOT = Path(__file__).parents[1]


def take_until_killed(folder: Path, seconds: float) -> int:
    """How far the taker said that it was; it is killed some time after it first said so."""
    command = [sys.executable, "-m", "tests.taker", str(folder)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT) as taker:
        assert taker.stdout is not None
        lines = [taker.stdout.readline()]
        killer = threading.Timer(seconds, taker.kill)
        killer.start()
        lines += taker.stdout.readlines()
        killer.join()
    return int([line for line in lines if line.endswith("\n")][-1])


@pytest.mark.slow
def test_messages_and_position_are_committed_together(front: Front) -> None:
    """Killed at eight random moments: whatever was acknowledged is in the inbox, each message once, and none beyond the position."""
    chance = random.Random(11)  # noqa: S311 - moments of a test, not secrets
    for _ in range(ROUNDS):
        said = take_until_killed(front.folder, chance.uniform(0, 0.3))
        position = int(front.desk.position(CHANNEL) or 0)
        assert position >= said
        with front.desk.app.store.read() as session:
            kept = session.connection().exec_driver_sql("SELECT key, text FROM inbox ORDER BY id").all()
        assert [tuple(row) for row in kept] == [(str(number), f"words {number}") for number in range(1, position + 1)]
    assert position > ROUNDS
