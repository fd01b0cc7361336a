"""The benchmarks run; what they measure is not asserted here, as a busy machine proves nothing."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from tests.benchmarks.__main__ import ROOMS, main
from tests.benchmarks.comparing import NoRun, changed, earlier, written
from tests.benchmarks.measure import Measure, interleaved


@pytest.mark.slow
def test_every_benchmark_gives_its_number(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A small run prints a table and writes the numbers, each above zero and with what it was made of."""
    main(["--small", "--json", str(tmp_path / "numbers.json")])
    numbers = json.loads((tmp_path / "numbers.json").read_text())["measures"]
    assert len({one["name"] for one in numbers}) == len(numbers) >= len(ROOMS)
    assert all(one["value"] > 0 and one["detail"] for one in numbers)
    assert "processor time" in capsys.readouterr().out


def test_a_measure_knows_whether_it_is_met() -> None:
    """At least is met from the limit up, at most up to the limit; without a limit every number will do."""
    fast = Measure("speed", 3.0, 3, at_least=True, unit="times", detail="")
    slow = Measure("cost", 1.6, 1.5, at_least=False, unit="times", detail="")
    known = Measure("speed", 0.1, 0, at_least=True, unit="times", detail="")
    assert (fast.met, slow.met, known.met) == (True, False, True)
    assert (fast.wanted, slow.wanted, known.wanted) == ("at least 3 times", "at most 1.5 times", "no limit")


def test_two_commits_are_compared(tmp_path: Path) -> None:
    """A number is told with the one of the run before and by how much it differs; what was not measured then is new."""
    slow = Measure("cost", 2.0, 3, at_least=False, unit="times", detail="")
    run = tmp_path / "before.json"
    run.write_text(json.dumps(written([slow], "abc", small=False)))
    before = earlier(run)
    assert changed(replace(slow, value=1.5), before) == "2.00 (-25%)"
    assert changed(replace(slow, name="speed"), before) == "new"


@pytest.mark.parametrize("content", ["", "[]", '{"format": 99}'])
def test_a_file_that_is_no_run_is_refused(tmp_path: Path, content: str) -> None:
    """It is named, and nothing is measured for nothing."""
    (tmp_path / "run.json").write_text(content)
    with pytest.raises(NoRun, match=r"run\.json"):
        earlier(tmp_path / "run.json")


def test_two_acts_are_timed_by_turns() -> None:
    """Each act is done once to warm up and once a round, first and second in turn."""
    done: list[str] = []
    interleaved(lambda: done.append("a"), lambda: done.append("b"), 2)
    assert done == ["a", "b"] * 3
