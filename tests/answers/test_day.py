"""Everything of a day is told in the order of the day."""

from __future__ import annotations

from datetime import time

from bot.answers.day import SHOWN
from tests.answers.conftest import TODAY, Keeper, day

YESTERDAY = day(5, 6)


def test_a_day_in_its_order(keeper: Keeper) -> None:
    """Entries of a day come in the order in which they happened."""
    keeper.write(YESTERDAY, "feeding", ["group B", "Duchess"], prey="roach", quantity=[3, 3], part="night")
    keeper.write(YESTERDAY, "misting", ["tub 4"], at=time(7, 45), amount="heavy")
    keeper.write(YESTERDAY, "note", [], words="new bulb in the hall", part="afternoon")
    assert keeper.text("day", since=YESTERDAY, until=YESTERDAY).splitlines() == [
        "Wed 6 May, yesterday:",
        "- tub 4: heavy misting, 07:45",
        "- note: “new bulb in the hall”, afternoon",
        "- group B and Duchess: fed 3 roaches, night",
    ]


def test_several_days_have_a_line_each(keeper: Keeper) -> None:
    """A span is told day by day."""
    keeper.write(YESTERDAY, "misting", ["tub 4"])
    keeper.write(TODAY, "misting", ["pot 7"])
    lines = keeper.text("day", since=day(5, 4)).splitlines()
    assert lines == ["Wed 6 May, yesterday:", "- tub 4: misted", "Thu 7 May, today:", "- pot 7: misted"]


def test_an_empty_day_tells_the_last_before(keeper: Keeper) -> None:
    """A day on which nothing is written is told with the last thing before it."""
    keeper.write(day(5, 2), "misting", ["tub 4"])
    assert keeper.text("day") == (
        "Nothing is written on Thu 7 May, today. The last before that is Sat 2 May, 5 days ago: tub 4: misted."
    )
    assert keeper.text("day", "Duchess", kind="feeding") == "No feeding of Duchess is written on Thu 7 May, today."
    assert keeper.text("day", until=day(1, 1)) == "Nothing is written up to Thu 1 Jan, 18 weeks ago."


def test_a_day_of_one_place(keeper: Keeper) -> None:
    """With a subject only what concerns it is told."""
    keeper.write(TODAY, "misting", ["tub 4"])
    keeper.write(TODAY, "misting", ["pot 7"])
    assert keeper.text("day", "group B").splitlines() == ["Thu 7 May, today:", "- tub 4: misted"]


def test_a_very_full_span_is_cut(keeper: Keeper) -> None:
    """More than a screenful is cut, and the rest is counted."""
    for number in range(SHOWN + 3):
        keeper.write(TODAY, "note", ["tub 4"], words=f"note {number}")
    assert keeper.text("day").endswith("… and 3 more. Ask for fewer days to see them.")


def test_help_speaks_of_the_keepers_own(keeper: Keeper, nobody: Keeper) -> None:
    """The list of what can be said uses names of the roster, and fits 80 columns."""
    said = keeper.text("help")
    assert "when did group B last eat" in said
    assert all(len(line) <= 80 for line in said.splitlines())
    assert nobody.text("something new") == said


def test_help_without_a_roster(nobody: Keeper) -> None:
    """Without a roster the list uses names of its own."""
    assert "misted tub 4" in nobody.text("help")
