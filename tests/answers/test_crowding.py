"""How crowded a place is goes by its own size and its head count, beside the keeper's other groups and no norm."""

from __future__ import annotations

import pytest

from bot.answers.crowding import NO_NORM
from storage import roster
from tests.answers.conftest import Keeper, day


def sized(keeper: Keeper, name: str, size: tuple[float, float, float]) -> None:
    roster.set_size(keeper.session, keeper.places[name], size)


@pytest.fixture
def boxed(keeper: Keeper) -> Keeper:
    """Tub 4 is 30 by 20 by 15 cm."""
    sized(keeper, "tub 4", (30, 20, 15))
    return keeper


def test_heads_by_floor_and_volume(boxed: Keeper) -> None:
    """As a range where the count is one: 40 to 42 on 6 dm² and 9 litres."""
    boxed.write(day(4, 1), "count", ["group B"], count=[40, 42])
    assert boxed.text("crowding", "group B").splitlines() == [
        (
            "tub 4 (group B): 40 to 42 on 6 dm² and 9 litres: 6.7 to 7 a dm², 4.4 to 4.7 a litre, 14 to 15 cm² each "
            "(counted Wed 1 Apr). No hides are told: say “12 hides in it”."
        ),
        f"No other group of yours has a size and a number to set beside it. {NO_NORM}",
    ]
    assert boxed.text("crowding", "tub 4") == boxed.text("crowding", "group B")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("12 hides in tub 4", "12 hides told Fri 1 May, 0.29 a head."),
        ("put six cork hides in", "6 hides told Fri 1 May, 0.14 a head."),
        ("added 2 hides", "No hides are told"),
        ("2 more hides", "No hides are told"),
        ("they hide a lot", "No hides are told"),
    ],
)
def test_hides_for_each_head_where_told(boxed: Keeper, words: str, said: str) -> None:
    """A number that is there counts, one that was added does not."""
    boxed.write(day(5, 1), "note", ["tub 4"], words=words)
    assert said in boxed.text("crowding", "group B")


def test_the_newest_number_of_hides_counts(boxed: Keeper) -> None:
    """Told of the place or of the group."""
    boxed.write(day(3, 1), "note", ["tub 4"], words="12 hides")
    boxed.write(day(4, 1), "note", ["group B"], words="21 hides now")
    assert "21 hides told Wed 1 Apr, 0.5 a head." in boxed.text("crowding", "group B")


def test_beside_the_other_groups(boxed: Keeper) -> None:
    """How many are surely more and less crowded, and how many times their middle; alike where the ranges meet."""
    for name, count, size in (("C", 6, (20, 30, 10)), ("D", 60, (20, 30, 10)), ("E", 12, (20, 30, 10))):
        boxed.place(f"tub {name}")
        boxed.animal(f"group {name}", f"tub {name}", kind="group", count=count)
        sized(boxed, f"tub {name}", size)
    assert boxed.text("crowding", "group B").splitlines()[1] == (
        f"Of your 3 other groups 2 less crowded, 1 more crowded; 3.5 times their middle of 2 a dm². {NO_NORM}"
    )
    boxed.write(day(4, 1), "count", ["group D"], count=[30, 60])
    assert "2 less crowded, 1 alike;" in boxed.text("crowding", "group B")


def test_all_groups_the_most_crowded_first(boxed: Keeper) -> None:
    """A line each; single animals are not told of."""
    boxed.place("tub C")
    boxed.animal("group C", "tub C", kind="group", count=60)
    sized(boxed, "tub C", (30, 20, 15))
    sized(boxed, "pot 7", (10, 10, 10))
    lines = boxed.text("crowding").splitlines()
    assert [line.split(":")[0] for line in lines[:-1]] == ["tub C (group C)", "tub 4 (group B)"]
    assert lines[-1] == NO_NORM


def test_those_who_share_a_place_count_together(boxed: Keeper) -> None:
    """All heads of an enclosure have the same floor."""
    boxed.animal("group C", "tub 4", kind="group", count=18)
    assert "60 on 6 dm²" in boxed.text("crowding", "group C")


def test_a_least_number_has_no_upper_end(boxed: Keeper) -> None:
    """At least so many a dm², and no room for each is told."""
    boxed.write(day(4, 1), "count", ["group B"], count=[60, None])
    assert "at least 60 on 6 dm² and 9 litres: at least 10 a dm², at least 6.7 a litre (" in boxed.text(
        "crowding", "tub 4"
    )


def test_what_is_missing_is_said(keeper: Keeper) -> None:
    """A size, a number, anybody at all."""
    assert keeper.text("crowding", "group B") == (
        "tub 4 (group B): no size is written. Say “tub 4 is 30x20x15 cm”, with its own numbers."
    )
    keeper.place("tub 9")
    sized(keeper, "tub 9", (10, 10, 10))
    keeper.animal("group C", "tub 9", kind="group")
    assert "how many live there is not known. Say “counted 20 in group C”." in keeper.text("crowding", "tub 9")
    assert keeper.text("crowding", "glass cube") == "Nobody lives in glass cube on record."
    assert keeper.text("crowding").startswith("No group with a number lives in an enclosure whose size is written.")


def test_an_empty_place_has_no_heads(boxed: Keeper) -> None:
    """None on six dm², and nothing is divided by it."""
    boxed.write(day(4, 1), "count", ["group B"], count=[0, 0])
    assert "tub 4 (group B): none on 6 dm² and 9 litres (counted Wed 1 Apr)." in boxed.text("crowding", "tub 4")


def test_nobody_is_crowded(nobody: Keeper) -> None:
    """A clear sentence on an empty roster."""
    assert nobody.text("crowding") == "There is no group on the roster."


def test_why_lists_counts_and_hides(boxed: Keeper) -> None:
    """Both are what the answer rests on; other notes are not."""
    boxed.write(day(4, 1), "count", ["group B"], count=[40, 40], words="counted 40")
    boxed.write(day(4, 2), "note", ["group B"], words="8 hides")
    boxed.write(day(4, 3), "note", ["group B"], words="looks fine")
    said = boxed.text("why", "group B", fields={"of": "crowding"})
    assert "rests on 2 entries" in said
    assert "“8 hides”" in said
