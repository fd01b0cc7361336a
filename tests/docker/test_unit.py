"""The systemd unit: what systemd itself says of it, and that it fits the program."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from bot.cli_tree import build_parser
from bot.heartbeat import LATE_SECONDS
from bot.reminders.ticker import TICK_SECONDS
from tests.docker.dockerfile import TOP

UNIT = TOP / "docker" / "rackside.service"
ANALYZE = shutil.which("systemd-analyze")

needs_systemd = pytest.mark.skipif(ANALYZE is None, reason="systemd-analyze is not on this machine")


def settings() -> list[tuple[str, str, str]]:
    """Section, name and value of every line, in order; a name may come more than once."""
    found, section = [], ""
    for line in UNIT.read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            section = line.strip("[]")
        elif line and not line.startswith("#"):
            name, value = line.split("=", 1)
            found.append((section, name, value))
    return found


def value(name: str) -> str:
    (found,) = [value for _, one, value in settings() if one == name]
    return found


def seconds(span: str) -> int:
    """A span of time as systemd writes it: 5min, 15s."""
    number, unit = re.fullmatch(r"(\d+)(min|s)", span).groups()  # type: ignore[union-attr]
    return int(number) * {"s": 1, "min": 60}[unit]


def verified(text: str, folder: Path) -> str:
    """What `systemd-analyze verify` complains of, in a unit whose program is there."""
    program = folder / "rackside"
    program.write_text("#!/bin/sh\n")
    program.chmod(0o755)
    (folder / UNIT.name).write_text(re.sub(r"^ExecStart=\S+", f"ExecStart={program}", text, flags=re.MULTILINE))
    done = subprocess.run(
        [str(ANALYZE), "--man=no", "verify", str(folder / UNIT.name)], capture_output=True, text=True, check=False
    )
    return done.stdout + done.stderr


@needs_systemd
def test_systemd_finds_nothing_wrong_with_the_unit(tmp_path: Path) -> None:
    """Neither a section nor a name nor a value that it does not know."""
    assert verified(UNIT.read_text(encoding="utf-8"), tmp_path) == ""


@needs_systemd
@pytest.mark.parametrize(("good", "bad"), [("MemoryMax=", "MemoryMost="), ("WatchdogSec=5min", "WatchdogSec=often")])
def test_systemd_would_find_something_wrong(tmp_path: Path, good: str, bad: str) -> None:
    """A check of the check: a name and a value that do not exist."""
    text = UNIT.read_text(encoding="utf-8")
    assert good in text
    assert UNIT.name in verified(text.replace(good, bad), tmp_path)


@needs_systemd
def test_systemd_calls_it_well_enclosed(tmp_path: Path) -> None:
    """By its own reckoning the exposure is below 2 of 10 (`systemd-analyze security`: 0 is none)."""
    shutil.copy(UNIT, tmp_path)
    words = [str(ANALYZE), "security", "--offline=true", "--threshold=20", "--no-pager", str(tmp_path / UNIT.name)]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-500:] + done.stderr


def test_it_starts_a_verb_of_ours_from_where_the_comments_install_it() -> None:
    """The first lines are the way to install it: environment, token, folder and unit are those of the lines below."""
    program, *words = value("ExecStart").split()
    assert build_parser().parse_args(words).verb == "bot.cli_run:run"
    comments = UNIT.read_text(encoding="utf-8").split("[Unit]")[0]
    assert f"venv {Path(program).parent.parent}\n" in comments
    assert value("LoadCredential").split(":")[1] in comments
    assert f"/var/lib/{value('StateDirectory')}" in comments
    assert f"--system --home-dir /var/lib/{value('StateDirectory')}" in comments


def test_the_variables_it_sets_are_known_to_the_program() -> None:
    """A misspelt one would be passed over without a word."""
    program = "\n".join(path.read_text(encoding="utf-8") for path in (TOP / "bot").glob("*.py"))
    told = [value.split("=")[0] for _, name, value in settings() if name == "Environment"]
    ours = [name for name in told if name.startswith("RACKSIDE_")]
    assert len(ours) == 2
    assert all(f'"{name.removesuffix("_FILE")}"' in program for name in ours)


def test_the_watchdog_waits_longer_than_a_sign_of_life_may_take() -> None:
    """It kills only what `rackside health` would have called dead long before."""
    watched = seconds(value("WatchdogSec"))
    assert value("Type") == "notify"
    assert watched > LATE_SECONDS
    assert watched > 5 * TICK_SECONDS
