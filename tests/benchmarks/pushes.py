"""A year of pushes in ten zones with a bot that dies at random moments: how many were missed, doubled, or came at another time."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.measure import Measure, seconds
from tests.reminders.year import Outcome, whole_year, year

SMALL_DAYS = 4


def measure(*, small: bool) -> list[Measure]:
    """One number: all that went wrong, of which none may; the detail says out of how many."""
    found: list[Outcome] = []

    def live() -> None:
        with TemporaryDirectory() as folder:
            found.append(year(Path(folder), SMALL_DAYS) if small else whole_year(Path(folder)))

    took = seconds(live)
    outcome = found[0]
    wrong = outcome.missed + outcome.doubled + outcome.astray
    detail = (
        f"of {outcome.wanted} pushes missed {outcome.missed}, doubled {outcome.doubled}, at another time {outcome.astray}; "
        f"{outcome.shifted} in a spring gap, {outcome.deaths} deaths, {took:.0f} s"
    )
    right = 1 - wrong / outcome.wanted
    return [Measure("pushes that came once and in time", right, 1, at_least=True, unit="of all", detail=detail)]
