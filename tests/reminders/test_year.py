"""A whole year of pushes, and two weeks of it in the quick tests."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.reminders.year import whole_year, year


def test_two_weeks_of_pushes_comes_out_once_each(tmp_path: Path) -> None:
    """Ten zones, forty enclosures, a bot that dies at random moments: nothing missed, doubled, or at another time."""
    outcome = year(tmp_path, 14)
    assert (outcome.missed, outcome.doubled, outcome.astray) == (0, 0, 0)
    assert outcome.wanted > 50
    assert outcome.deaths > 0


@pytest.mark.slow
def test_a_year_of_pushes_comes_out_once_each(tmp_path: Path) -> None:
    """The same over both changes of the clock; those in the spring gap are the only ones that come at another local time."""
    outcome = whole_year(tmp_path)
    assert (outcome.missed, outcome.doubled, outcome.astray) == (0, 0, 0)
    assert outcome.wanted > 800
    assert outcome.deaths > 50
    assert outcome.shifted >= 5
