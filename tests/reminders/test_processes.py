"""Several processes on one database, and processes that are killed: each push goes out once."""

from __future__ import annotations

import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from bot.reminders.sweep import LEASE
from tests.reminders.house import House, at

ROOT = Path(__file__).parents[2]


def sweeper(house: House, moment: datetime, how: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "tests.reminders.sweeper", str(house.folder), moment.isoformat(), how]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT)


@pytest.mark.slow
def test_a_kill_between_claiming_and_sending_loses_and_doubles_nothing(house: House) -> None:
    """The lease of the killed one runs out, and then the push goes out, once."""
    house.say("remind me to pull the sac of D on the 5th at 7pm")
    house.wait("03-05 12:00")
    due = at("03-05 19:00")
    with sweeper(house, due, "hang") as killed:
        assert killed.stdout is not None
        assert killed.stdout.readline() == "claimed\n"
        killed.kill()
    house.clock.moment = due + LEASE / 2
    assert house.sweep() == []
    house.clock.moment = due + LEASE
    assert ["see to the egg sac" in reply.text for reply in house.sweep()] == [True]
    house.clock.moment = due + LEASE * 3
    assert house.sweep() == []


@pytest.mark.slow
def test_four_processes_send_one_message(house: House) -> None:
    """All sweep the same moment at the same time; one of them sends."""
    house.say("remind me to pull the sac of D on the 5th at 7pm")
    house.wait("03-05 12:00")
    due = at("03-05 19:00")
    racing = [sweeper(house, due, "send") for _ in range(4)]
    said = [process.communicate(timeout=60)[0].strip() for process in racing]
    assert sorted(said) == ["0", "0", "0", "1"]
    house.clock.moment = due
    assert len(house.sweep()) == 1
