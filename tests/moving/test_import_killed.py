"""An import that is killed, and run again: nothing is lost and nothing doubled."""

from __future__ import annotations

import random
import signal
import subprocess
import time
from pathlib import Path
from typing import Any

import pytest

from bot.cli import main
from tests.cli.commands import command, environment
from tests.interrupts import interruptible
from tests.moving.incoming import kept_in, standing_in, summary_in
from tests.patience import PATIENCE

pytestmark = [pytest.mark.slow, pytest.mark.sqlite_only("the command is told its folder here")]

KILLS = 5


SAID = (
    "fed Ambers 4 crickets",
    "misted the moss jar",
    "fed Quill 2 roaches",
    "counted the Ambers: 21",
    "what an evening",
)


@pytest.fixture(scope="module")
def diary(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Half a year of lines, of all that can become of one: so many that no run is through before it is killed."""
    path = tmp_path_factory.mktemp("diary") / "diary.txt"
    path.write_text("\n".join(_lines([f"2026-{month:02}" for month in range(1, 7)])))
    return path


def _lines(months: list[str]) -> list[str]:
    return [f"{month}-{day:02} {words}" for month in months for day in range(1, 29) for words in SAID]


def test_killed_at_any_moment_and_run_again_it_is_as_if_it_never_was(diary: Path, tmp_path: Path) -> None:
    """SIGKILL at random moments of a real process; the run that is let to its end makes up for all of them."""
    whole, killed = kept_in(tmp_path / "whole"), kept_in(tmp_path / "killed")
    assert main(["import", str(diary), "--data", str(whole)]) == 0
    moments = random.Random(7)  # noqa: S311 - nothing secret
    deaths = 0
    for _attempt in range(KILLS):
        with subprocess.Popen(
            command("import", str(diary)), env=environment(killed), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        ) as process:
            _wait_for_more(killed, process)
            time.sleep(moments.uniform(0, 0.4))
            process.kill()
        deaths += process.returncode == -signal.SIGKILL
    assert deaths >= 2
    assert sum(standing_in(killed).values()) < sum(standing_in(whole).values())
    assert main(["import", str(diary), "--data", str(killed)]) == 0
    assert standing_in(killed) == standing_in(whole)
    rows = {name: one.rows for name, one in summary_in(killed).items()}
    assert rows == {name: one.rows for name, one in summary_in(whole).items()}


def test_stopped_by_the_keeper_it_says_how_far_it_is(tmp_path: Path) -> None:
    """An interrupt (SIGINT, as Ctrl-C sends it) ends it between two messages, with the report so far; status 130, as shells have it."""
    folder, diary = kept_in(tmp_path / "data"), tmp_path / "diary.txt"
    # So long that it is not through before the signal comes, however busy the machine is.
    lines = _lines([f"{year}-{month:02}" for year in (2024, 2025) for month in range(1, 13)])
    diary.write_text("\n".join(lines))
    words = command("import", str(diary))
    with (
        interruptible(),
        subprocess.Popen(words, env=environment(folder), stdout=subprocess.PIPE, text=True) as process,
    ):
        _wait_for_more(folder, process)
        process.send_signal(signal.SIGINT)
        said, _ = process.communicate(timeout=PATIENCE)
    assert process.returncode == 130
    assert "Understood: " in said
    assert "to go; what was taken in stands. The same command goes on from there." in said
    assert 0 < summary_in(folder)["inbox"].rows < len(lines)


def _wait_for_more(folder: Path, process: subprocess.Popen[Any]) -> None:
    """Until the process has taken something in, or has ended."""
    before = summary_in(folder)["inbox"].rows
    while process.poll() is None and summary_in(folder)["inbox"].rows == before:
        time.sleep(0.05)
