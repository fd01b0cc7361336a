"""The last time is told with its date, what was done, and for whom it was written."""

from __future__ import annotations

from tests.answers.conftest import Keeper, day


def test_last_feeding_names_the_day_twice(keeper: Keeper) -> None:
    """The last feeding is told with date, distance and what was fed."""
    keeper.write(day(4, 20), "feeding", ["group B"])
    keeper.write(day(5, 3), "feeding", ["group B"], prey="roach", quantity=[3, 3], outcome="ate", part="night")
    said = keeper.text("last", "group B", kind="feeding")
    assert said == "group B: last feeding Sun 3 May, 4 days ago: fed 3 roaches, eaten, night."


def test_after_a_refusal_the_last_meal_is_told_too(keeper: Keeper) -> None:
    """A refused feeding is not eating: the last one that was not refused is told beside it."""
    keeper.write(day(4, 20), "feeding", ["Duchess"], prey="cricket", quantity=[1, 1])
    keeper.write(day(5, 3), "feeding", ["Duchess"], outcome="refused")
    said = keeper.text("last", "Duchess", kind="feeding")
    assert said == (
        "Duchess: last feeding Sun 3 May, 4 days ago: offered food, refused. "
        "Last feeding not refused: Mon 20 Apr, 17 days ago: fed 1 cricket."
    )


def test_nothing_but_refusals_is_said(keeper: Keeper) -> None:
    """Where every feeding was refused, the answer says so, however many there are."""
    for number in range(1, 26):
        keeper.write(day(4, number), "feeding", ["Duchess"], outcome="refused")
    assert keeper.text("last", "Duchess", kind="feeding").endswith("No feeding that was not refused is written.")


def test_nothing_written_is_said(keeper: Keeper) -> None:
    """Without an entry the answer says that none is written."""
    assert keeper.text("last", "Duchess", kind="moult") == "No moult of Duchess is written."
    assert keeper.text("last", kind="moult") == "No moult is written yet."


def test_tub_stands_for_those_who_live_in_it(keeper: Keeper) -> None:
    """Asked of a tub, the last meal is that of each animal in it; one act on all of them is told once."""
    keeper.write(day(5, 1), "feeding", ["tub 1"])
    assert keeper.text("last", "tub 1", kind="feeding") == (
        "Ada and Dot: last feeding Fri 1 May, 6 days ago: fed (written for tub 1)."
    )
    keeper.write(day(5, 4), "feeding", ["Dot"])
    assert keeper.text("last", "tub 1", kind="feeding").splitlines() == [
        "Ada: last feeding Fri 1 May, 6 days ago: fed (written for tub 1).",
        "Dot: last feeding Mon 4 May, 3 days ago: fed.",
    ]


def test_shared_refusal_tells_each_ones_last_meal(keeper: Keeper) -> None:
    """When two refused together, the last meal of each is told by name."""
    keeper.write(day(4, 2), "feeding", ["Dot"])
    keeper.write(day(5, 4), "feeding", ["tub 1"], outcome="refused")
    said = keeper.text("last", "tub 1", kind="feeding")
    assert "No feeding of Ada that was not refused is written." in said
    assert "Last feeding of Dot not refused: Thu 2 Apr, 35 days ago: fed." in said


def test_feeding_goes_with_the_group_and_misting_stays_with_the_tub(keeper: Keeper) -> None:
    """After a move the group's meals are still its own, and the tub's mistings are the tub's."""
    keeper.write(day(4, 1), "feeding", ["tub 4"])
    keeper.write(day(4, 2), "misting", ["tub 4"], amount="light")
    keeper.write(day(4, 10), "move", ["group B"], to="glass cube", to_enclosure_id=keeper.places["glass cube"])
    keeper.write(day(4, 20), "misting", ["glass cube"])
    assert "Wed 1 Apr" in keeper.text("last", "glass cube", kind="feeding")
    assert "Thu 2 Apr" in keeper.text("last", "tub 4", kind="misting")
    assert "Mon 20 Apr" in keeper.text("last", "group B", kind="misting")


def test_last_anywhere_names_who(keeper: Keeper) -> None:
    """Without a subject the newest of the whole collection is told."""
    keeper.write(day(4, 1), "moult", ["Ada"])
    keeper.write(day(5, 6), "moult", ["Duchess"], number=[1, 1])
    assert keeper.text("last", kind="moult") == "The last moult is Wed 6 May, yesterday: Duchess, 1 moult."


def test_last_of_any_kind(keeper: Keeper) -> None:
    """Without a kind the newest entry of any kind is told."""
    keeper.write(day(5, 6), "note", ["Duchess"], words="smells of mushrooms")
    assert keeper.text("last", "Duchess") == ("Duchess: last entry Wed 6 May, yesterday: note: “smells of mushrooms”.")


def test_unknown_names_are_said(keeper: Keeper) -> None:
    """A name that is not on the roster is said, and nothing is made up for it."""
    assert keeper.text("last", "tub 99") == "There is no tub 99 on the roster, so nothing is written of it."


def test_aliases_and_old_animals_are_known(keeper: Keeper) -> None:
    """A subject may be asked for by alias, and after it has left the collection."""
    from storage import roster  # noqa: PLC0415 - only this test changes the roster

    keeper.write(day(4, 1), "feeding", ["Duchess"])
    roster.add_alias(keeper.session, occupant_id=keeper.animals["Duchess"], alias="the old lady")
    roster.end_occupant(keeper.session, keeper.animals["Duchess"], day(5, 1))
    assert "Wed 1 Apr, 36 days ago" in keeper.text("last", "the old lady", kind="feeding")
