"""What is reckoned for a sheet, against numbers worked out by hand."""

from __future__ import annotations

from datetime import date, timedelta

from bot.handover import Feeding, Reading
from bot.handover.summary import Air, Gaps, air, diet, gaps, lately, refused_since

DAY = date(2026, 3, 12)


def fed(back: int, prey: str | None = None, outcome: str | None = None, state: str | None = None) -> Feeding:
    return Feeding(DAY - timedelta(days=back), prey, state, outcome=outcome)


def test_lately_is_ninety_days_with_the_last() -> None:
    """12 March and the 89 days before it: from 13 December."""
    assert lately(DAY) == date(2025, 12, 13)


def test_a_diet_is_counted() -> None:
    """Outcomes, prey and states each by what was written; the most usual first, as frequent ones by name."""
    told = diet(
        [
            fed(20, "roach", "ate", "live"),
            fed(15, "cricket", "refused"),
            fed(10, "cricket", "partly"),
            fed(6, "locust"),
            fed(3, None, "ate", "pre-killed"),
            fed(2, "roach", None, "live"),
            fed(1, "moth", "ate"),
        ]
    )
    assert (told.offered, told.refused, told.partly, told.taken, told.unwritten) == (7, 1, 1, 4, 2)
    assert told.prey == (("cricket", 2), ("roach", 2), ("locust", 1))
    assert told.named == 6
    assert told.states == (("live", 2), ("pre-killed", 1))
    # Food that was not refused: 20, 10, 6, 3, 2 and 1 days ago, so gaps of 10, 4, 3, 1, 1.
    assert told.gaps == Gaps(3, 1, 10, 5)


def test_two_feedings_of_a_day_are_one_day() -> None:
    """And fewer than two days have no gap."""
    assert gaps([DAY, DAY]) is None
    assert gaps([]) is None
    assert gaps([DAY, DAY - timedelta(days=8), DAY]) == Gaps(8, 8, 8, 1)


def test_refusals_on_end_are_counted_from_the_last() -> None:
    """Up to the last that was not refused."""
    assert refused_since([]) == 0
    assert refused_since([fed(9, outcome="refused"), fed(5, outcome="ate")]) == 0
    assert refused_since([fed(9), fed(5, outcome="refused"), fed(1, outcome="refused")]) == 2


def test_the_air_is_told_by_its_ends_and_its_middle() -> None:
    """A range counts with its middle, and with both ends for the span; one end alone counts as itself."""
    readings = [Reading(DAY, None, (60, 70)), Reading(DAY, (24, 24), (58, 58)), Reading(DAY, None, (61, None))]
    assert air(readings, "humidity_pct") == Air(58, 61, 70, 3)
    assert air(readings, "temperature_c") == Air(24, 24, 24, 1)
    assert air([Reading(DAY)], "temperature_c") is None
