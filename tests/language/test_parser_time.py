"""How long reading takes at most, beside a yardstick measured in the same process (see `long_texts`)."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.language.long_texts import LENGTH, LONG, longest_texts, random_texts

PROJECT = Path(__file__).parents[2]
BUDGET = 30  # yardsticks for 500 characters: 50 ms, the project's own limit, where a yardstick takes 1.7 ms

Timings = dict[str, float]


@pytest.fixture(scope="module")
def timings() -> Timings:
    """Yardsticks of time that each shape of text takes, the quickest of three after a warm-up."""
    plain = {name: value for name, value in os.environ.items() if not name.startswith("COV")}
    command = [sys.executable, "-m", "tests.language.long_texts"]
    run = subprocess.run(command, cwd=PROJECT, env=plain, capture_output=True, text=True, check=True)
    return {shape: float(time) for shape, time in json.loads(run.stdout).items()}


@pytest.mark.slow
@pytest.mark.parametrize("shape", LONG)
def test_five_hundred_characters_take_no_more_than_fifty_milliseconds(shape: str, timings: Timings) -> None:
    """However a text of 500 characters is made, it is read within the limit."""
    assert len(LONG[shape]) <= LENGTH
    assert timings[shape] <= BUDGET


@pytest.mark.slow
def test_random_words_take_no_more_than_fifty_milliseconds(timings: Timings) -> None:
    """The same holds for 500 characters of random words of the trade."""
    assert max(timings[shape] for shape in random_texts(20)) <= BUDGET


@pytest.mark.slow
@pytest.mark.parametrize("shape", longest_texts())
def test_time_grows_no_faster_than_the_square_of_the_length(shape: str, timings: Timings) -> None:
    """Eight times the length takes no more than its square times the budget, up to the longest message that is read."""
    assert timings[shape] <= 8 * 8 * BUDGET
