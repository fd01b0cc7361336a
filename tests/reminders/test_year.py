"""A whole year of pushes, and a month of it in the quick tests."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.reminders.year import year


def test_a_month_of_pushes_comes_out_once_each(tmp_path: Path) -> None:
    """Ten zones, forty enclosures, a bot that dies at random moments: nothing missed, doubled, or at another time."""
    outcome = year(tmp_path, days=31)
    assert (outcome.missed, outcome.doubled, outcome.astray) == (0, 0, 0)
    assert outcome.wanted > 500
    assert outcome.deaths > 5


@pytest.mark.slow
def test_a_year_of_pushes_comes_out_once_each(tmp_path: Path) -> None:
    """The same over both changes of the clock; those in the spring gap are the only ones that come at another local time."""
    outcome = year(tmp_path)
    assert (outcome.missed, outcome.doubled, outcome.astray) == (0, 0, 0)
    assert outcome.wanted > 5000
    assert outcome.deaths > 50
    assert outcome.shifted > 0
