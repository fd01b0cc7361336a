"""Marks of processes in the data folder: alive, dead, and forgotten."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from bot import presence
from bot.errors import RacksideError

ROOT = Path(__file__).parents[1]
STANDS = "import sys; from pathlib import Path; from bot import presence\nwith presence.marked(Path(sys.argv[1])) as name: print(name, flush=True); sys.stdin.read()"


def test_a_process_is_known_to_be_dead_from_the_moment_it_is_killed(tmp_path: Path) -> None:
    """Not while it lives, though it is another process that has the mark; and no more once it is forgotten."""
    with subprocess.Popen(
        [sys.executable, "-c", STANDS, str(tmp_path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    ) as other:
        assert other.stdout is not None
        name = other.stdout.readline().strip()
        assert not presence.is_dead(tmp_path, name)
        assert presence.dead(tmp_path) == []
        other.kill()
        other.wait()
    assert presence.is_dead(tmp_path, name)
    assert presence.dead(tmp_path) == [name]
    presence.forget(tmp_path, name)
    assert presence.dead(tmp_path) == []


def test_of_a_process_without_a_mark_nothing_is_known(tmp_path: Path) -> None:
    """It may run on another machine, or with another data folder."""
    assert not presence.is_dead(tmp_path, "somebody")
    assert presence.dead(tmp_path) == []


def test_a_mark_is_for_its_owner_alone(tmp_path: Path) -> None:
    """As is all in the data folder."""
    with presence.marked(tmp_path) as name:
        assert (tmp_path / presence.FOLDER).stat().st_mode & 0o777 == 0o700
        assert (tmp_path / presence.FOLDER / name).stat().st_mode & 0o777 == 0o600


def test_where_no_mark_can_be_made_a_sentence_says_so(tmp_path: Path) -> None:
    """The place of the marks is taken by a file."""
    (tmp_path / presence.FOLDER).write_text("x")
    with pytest.raises(RacksideError, match="cannot be written to"), presence.marked(tmp_path):
        pass
