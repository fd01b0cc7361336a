"""Meters, the air and feeders in a keeper's own words, from the message to the answer, over weeks of a simulated clock."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.app import SetClock, build
from storage.store import Store
from tests import databases

Say = Callable[..., list[str]]


@pytest.fixture
def say(tmp_path: Path) -> Iterator[Say]:
    """A terminal with group B in tub 4 and D in tub 5, set up on Tue 3 Mar 2026, 19:05; `days` pass before a message."""
    clock = SetClock(datetime(2026, 3, 3, 19, 5, tzinfo=UTC))
    store = Store.open(databases.of(tmp_path / "data"))
    app = build(store, clock)
    app.prepare("Europe/Lisbon")

    def one(text: str, days: float = 0) -> list[str]:
        clock.pass_time(timedelta(days=days, seconds=20))
        [reply] = app.say("owner", text)
        return reply.text.splitlines()

    one("add group B, 42 Neoholothele incei, in tub 4")
    one("add D, Damon diadema, in tub 5")
    yield one
    store.close()


def test_a_meter_from_its_check_to_why(say: Say) -> None:
    """Checked, hung up, read, asked about, and the check named by why."""
    say("hyg 3 reads 71 in the salt bag at 24C")
    say("hyg 3 is in tub 4")
    assert say("24C 57% in tub 4", days=2)[1] == "hyg 3 was checked over salt, so its 57 % is shown as 61 %."
    assert say("how humid is tub 4")[0] == (
        "tub 4: 24 °C, 61 % humidity (raw 57, hyg 3 checked 3 Mar), Thu 5 Mar, today."
    )
    assert say("what would it be at 26")[0].startswith("tub 4: 54 % at 26 °C, ")
    assert any("“hyg 3 reads 71 in the salt bag at 24C”" in line for line in say("why is tub 4 at 61%"))
    assert say("hyg 3 24C 58%")[0].startswith("Written: tub 4: 24 °C, 58 % humidity by hyg 3")


def test_a_trend_over_weeks(say: Say) -> None:
    """Twice a week from 66 % down, against a band of the keeper's own."""
    say("B likes 55 to 65 % humidity")
    for number in range(10):
        say(f"tub 4 24C {66 - number}%", days=3.5)
    said = say("is tub 4 getting drier")
    assert said[2].startswith("Humidity: 9 of 10 readings since ")
    assert said[2].endswith("1 above; falling about 2 points a week (2 to 2).")


def test_a_box_of_crickets_from_the_shop_to_the_next_order(say: Say) -> None:
    """Bought, fed from for three weeks, some thrown out, and asked about."""
    say("got 200 crickets in")
    for _week in range(4):
        say("fed B 20 crickets", days=7)
    assert say("threw out 30 dead crickets")[1] == "In stock now by the book: 90 crickets."
    assert say("crickets take 5 days to come")[0].startswith("Written: an order of crickets takes 5 days to come")
    said = say("how long will the crickets last")
    assert said[0].startswith(
        "crickets: 90 by the book (none on record before; 200 came Tue 3 Mar, 28 days ago; 30 dead"
    )
    # Fed: 80 in the 22 days since 10 March, 3.6 a day. Due by the sheet: every 5 to 10 days, so three in 28 days, 2.1 a day.
    assert said[1].startswith(
        "They last 24 to 42 days, the first day short being Fri 24 Apr to Tue 12 May, at 2.1 to 3.6 a day "
    )
    assert said[2] == "Order by Sun 19 Apr, in 19 days: an order takes 5 days (your own words, Tue 31 Mar)."
    assert "- in stock by the book: 90, enough" in say("how many crickets do I need this week")
