"""Whether it was done is never answered with a bare no."""

from __future__ import annotations

from datetime import date

from tests.answers.conftest import TODAY, Keeper, day

MONDAY = date(2026, 5, 4)


def test_no_comes_with_the_last_time(keeper: Keeper) -> None:
    """A span without the act is told with the last time before it."""
    keeper.write(day(5, 3), "feeding", ["group B"], prey="roach")
    said = keeper.text("did", "group B", kind="feeding", since=MONDAY)
    assert said == (
        "No feeding of group B is written since Mon 4 May, 3 days ago; the last was Sun 3 May, 4 days ago, fed roaches."
    )


def test_yes_comes_with_the_acts(keeper: Keeper) -> None:
    """What was done is told with number, days and what it was."""
    keeper.write(day(5, 5), "feeding", ["group B"], outcome="refused")
    keeper.write(day(5, 6), "feeding", ["tub 4"], prey="cricket", quantity=[2, 2])
    assert keeper.text("did", "group B", kind="feeding", since=MONDAY) == (
        "Yes, 2 feedings of group B since Mon 4 May, 3 days ago: Wed 6 May, yesterday, fed 2 crickets "
        "(written for tub 4); Tue 5 May, 2 days ago, offered food, refused."
    )


def test_without_a_span_it_is_today(keeper: Keeper) -> None:
    """A bare "fed Duchess?" asks for today."""
    assert keeper.text("did", "Duchess", kind="feeding") == (
        "No feeding of Duchess is written on Thu 7 May, today; none is written at any other time."
    )
    keeper.write(TODAY, "feeding", ["Duchess"])
    assert keeper.text("did", "Duchess", kind="feeding").startswith("Yes, 1 feeding of Duchess on Thu 7 May, today")


def test_a_past_day_tells_what_is_around_it(keeper: Keeper) -> None:
    """For a day that is over the last before and the next after it are told."""
    keeper.write(day(5, 1), "feeding", ["Duchess"])
    keeper.write(day(5, 6), "feeding", ["Duchess"])
    assert keeper.text("did", "Duchess", kind="feeding", since=MONDAY, until=MONDAY) == (
        "No feeding of Duchess is written on Mon 4 May, 3 days ago; the last before was Fri 1 May, 6 days ago, fed; "
        "the next after it was Wed 6 May, yesterday, fed."
    )


def test_many_acts_are_cut_with_their_number(keeper: Keeper) -> None:
    """More than five acts are counted, and the rest is said."""
    for number in range(1, 8):
        keeper.write(day(4, number), "misting", ["tub 4"])
    said = keeper.text("did", "tub 4", kind="misting", days=60)
    assert said.startswith("Yes, 7 mistings of tub 4 since")
    assert said.endswith("and 2 before that.")


def test_anywhere_lists_where(keeper: Keeper) -> None:
    """Without a subject those places are told where it was done; none is said too."""
    assert keeper.text("did", kind="misting") == "No misting is written on Thu 7 May, today, of any place."
    keeper.write(TODAY, "misting", ["pot 7"])
    assert keeper.text("did", kind="misting").startswith("Yes, 1 misting of Duchess on Thu 7 May, today")


def test_of_any_kind(keeper: Keeper) -> None:
    """Without a kind every entry counts."""
    keeper.write(TODAY, "misting", ["pot 7"])
    assert keeper.text("did", "pot 7").startswith("Yes, 1 entry of pot 7 on Thu 7 May, today: Thu 7 May, today, misted")
