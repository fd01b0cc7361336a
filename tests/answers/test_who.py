"""Which ones did and which did not is told of all places, with how many of how many."""

from __future__ import annotations

from tests.answers.conftest import Keeper, day


def test_those_without_come_first_for_a_number_of_days(keeper: Keeper) -> None:
    """Asked for a number of days, those without are told first, oldest first, then those never, then the others."""
    keeper.write(day(4, 1), "feeding", ["group B"])
    keeper.write(day(4, 30), "feeding", ["tub 1"])
    assert keeper.text("who", kind="feeding", days=14).splitlines() == [
        "Feedings since Thu 23 Apr, 14 days ago: 1 of 3 occupied places.",
        "No feeding in that time:",
        "- tub 4 (group B): last Wed 1 Apr, 36 days ago",
        "None on record at all:",
        "- pot 7 (Duchess)",
        "Written:",
        "- tub 1 (Ada and Dot): Thu 30 Apr, 7 days ago",
    ]


def test_those_with_come_first_for_a_month(keeper: Keeper) -> None:
    """Asked since a day, those with an entry are told first."""
    keeper.write(day(5, 2), "moult", ["Duchess"])
    lines = keeper.text("who", kind="moult", since=day(5, 1)).splitlines()
    assert lines[:3] == [
        "Moults since Fri 1 May, 6 days ago: 1 of 3 occupied places.",
        "Written:",
        "- pot 7 (Duchess): Sat 2 May, 5 days ago",
    ]


def test_a_refusal_is_not_eating(keeper: Keeper) -> None:
    """An animal that only refused is among those that have not eaten, and the refusal is said."""
    keeper.write(day(4, 1), "feeding", ["Duchess"])
    keeper.write(day(5, 2), "feeding", ["Duchess"], outcome="refused")
    keeper.write(day(5, 2), "feeding", ["Ada"], outcome="refused")
    said = keeper.text("who", kind="feeding", days=14)
    assert "- pot 7 (Duchess): last Wed 1 Apr, 36 days ago; refused Sat 2 May, 5 days ago" in said
    assert "0 of 3" in said


def test_those_who_share_a_place_are_told_apart(keeper: Keeper) -> None:
    """A place counts when all in it have; those that differ get a line each."""
    keeper.write(day(5, 2), "feeding", ["Dot"])
    said = keeper.text("who", kind="feeding", days=14)
    assert "0 of 3" in said
    assert "- tub 1 (Ada)" in said
    assert "- tub 1 (Dot): Sat 2 May, 5 days ago" in said


def test_mistings_are_of_places(keeper: Keeper) -> None:
    """What is done to a place counts for the place, whoever moved in since."""
    keeper.write(day(5, 2), "misting", ["tub 4"])
    keeper.write(day(5, 3), "move", ["group B"], to_enclosure_id=keeper.places["glass cube"])
    said = keeper.text("who", kind="misting", since=day(5, 1))
    assert "0 of 3 occupied places" in said
    assert "- glass cube (group B)" in said


def test_only_the_places_asked_about(keeper: Keeper) -> None:
    """With subjects only their places are counted."""
    assert "of 1 occupied places" in keeper.text("who", "Duchess", kind="feeding", days=14)
    assert "0 of 2 occupied places" in keeper.text("who", "tub 1", "group B", kind="feeding", days=14)


def test_an_endless_number_of_days_is_taken(keeper: Keeper) -> None:
    """A number of days before the calendar begins means: ever."""
    keeper.write(day(4, 1), "feeding", ["Duchess"])
    assert keeper.text("who", kind="feeding", days=10**9).startswith("Feedings so far: 1 of 3")
