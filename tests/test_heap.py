"""The garbage collector of a `rackside` command."""

from __future__ import annotations

import subprocess
import sys

from bot.heap import NEW_OBJECTS

ASKED = (
    "import gc; from bot.cli import main; main(['version'])"
    "; print(gc.isenabled(), gc.get_threshold()[0], gc.get_freeze_count() > 1000)"
)


def test_a_command_collects_seldom_and_never_looks_through_what_is_loaded() -> None:
    """In a process of its own, since the collector is the whole process's: at work, with our threshold, the modules frozen."""
    said = subprocess.run([sys.executable, "-c", ASKED], capture_output=True, text=True, check=True).stdout
    assert said.splitlines()[-1] == f"True {NEW_OBJECTS} True"
