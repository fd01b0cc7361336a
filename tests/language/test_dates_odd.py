"""Written dates joined by marks, which the library dateparser reads."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from bot.language.dates import read_dates

NOW = datetime.fromisoformat("2026-05-20T19:00")


@pytest.mark.parametrize(
    ("words", "day"),
    [
        ("14-Mar-26", date(2026, 3, 14)),
        ("14-Mar-25", date(2025, 3, 14)),
        ("14/March/2025", date(2025, 3, 14)),
        ("2.Apr.2026", date(2026, 4, 2)),
        ("Mar-14-2025", date(2025, 3, 14)),
    ],
)
def test_a_marked_date_keeps_its_year(words: str, day: date) -> None:
    """A year after a month's name belongs to the date, also in two figures."""
    (span,) = read_dates(f"fed B {words}, 3 roaches", NOW, "past")
    assert (span.words, span.on) == (words, day)


def test_a_marked_date_that_does_not_exist_is_impossible() -> None:
    """The 31st of February is no day in this spelling either."""
    (span,) = read_dates("fed B 31-Feb-26", NOW, "past")
    assert span.impossible
    assert span.on is None
