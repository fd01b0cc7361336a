"""The prey needed is reckoned from the feedings that fall due and from what was really fed, with the number of observations."""

from __future__ import annotations

from bot.answers.feeders import totals
from tests.answers.conftest import Keeper, day

TOLD = day(4, 1)


def fed(keeper: Keeper, name: str, numbers: list[int], **fields: object) -> None:
    for index, number in enumerate(numbers):
        keeper.write(day(4, 9 + 7 * index), "feeding", [name], quantity=[number, number], **fields)  # type: ignore[arg-type]


def test_by_kind_of_prey_with_those_who_make_it_up(keeper: Keeper) -> None:
    """The median of what each had times its feedings to come, by plan or by the sheet, with the number of observations."""
    fed(keeper, "group B", [3, 4, 6, 4], prey="roach")
    fed(keeper, "Duchess", [1, 1], prey="cricket")
    keeper.plan("feeding", ["Duchess"], told=TOLD, every_days=3.5)
    keeper.write(day(5, 6), "feeding", ["Ada", "Dot"], prey="cricket", quantity=[2, 2], each=True)
    assert keeper.text("feeders", days=7).splitlines() == [
        "By what was fed in the last 56 days, up to Wed 13 May, in 6 days you need about:",
        "6 crickets (from 4 feedings on record)",
        "- Ada: 1 feeding by the care sheet, 2 each time (as you fed, 1)",
        "- Dot: 1 feeding by the care sheet, 2 each time (as you fed, 1)",
        "- Duchess: 2 feedings by plan, 1 each time (as you fed, 2)",
        "4 roaches (from 4 feedings on record)",
        "- group B: 1 feeding by the care sheet, 4 each time (as you fed, 4)",
    ]
    assert "cricket" not in keeper.text("feeders", "group B")


def test_per_head(keeper: Keeper) -> None:
    """A quantity for each head is multiplied by the head count; with none told, one for each head is said to be assumed."""
    fed(keeper, "group B", [2, 2], prey="fruit fly", each=True)
    assert "84 fruit flies (from 2 feedings on record)" in keeper.text("feeders", "group B")
    assert keeper.text("feeders", "Ada").splitlines()[1:] == [
        "1 piece of prey, kind not on record (from no feeding on record)",
        "- Ada: 1 feeding by the care sheet, 1 each time (one for each head, common practice)",
    ]


def test_a_number_for_several_together_is_nobodys(keeper: Keeper) -> None:
    """Two roaches for two places say nothing of one; two each do, for a place and not for each head in it."""
    keeper.write(day(4, 27), "feeding", ["Duchess", "group B"], prey="roach", quantity=[2, 2])
    assert "from no feeding on record" in keeper.text("feeders", "Duchess")
    keeper.write(day(4, 30), "feeding", ["Duchess", "group B"], prey="roach", quantity=[2, 2], each=True)
    assert "- Duchess: 1 feeding by the care sheet, 2 each time (as you fed, 1)" in keeper.text("feeders", "Duchess")
    assert "- group B: 1 feeding by the care sheet, 2 each time (as you fed, 1)" in keeper.text("feeders", "group B")


def test_those_who_share_a_tub_share_its_prey(keeper: Keeper) -> None:
    """Four crickets put into a tub with two animals are two for each, so that the sum stays right."""
    keeper.write(day(4, 30), "feeding", ["tub 1"], prey="cricket", quantity=[4, 4])
    said = keeper.text("feeders", "tub 1").splitlines()
    assert said[1] == "4 crickets (from 2 feedings on record)"
    assert said[2] == "- Ada: 1 feeding by the care sheet, 2 each time (as you fed, 1)"


def test_a_group_of_unknown_number_is_said_so(nobody: Keeper) -> None:
    """Where neither feedings nor a head count tell how much, it is said of whom."""
    nobody.place("tub 4")
    nobody.animal("group B", "tub 4", kind="group")
    assert nobody.text("feeders") == "Nothing to reckon from for group B: no feeding says what and how much."
    nobody.write(day(5, 6), "feeding", ["group B"])
    assert nobody.text("feeders", days=2) == "No feeding falls due up to Fri 8 May, tomorrow, so no prey is needed."


def test_no_further_than_a_year(keeper: Keeper) -> None:
    """Days beyond all sense are cut to a year."""
    fed(keeper, "Duchess", [1, 1], prey="cricket")
    assert "Thu 6 May 2027" in keeper.text("feeders", days=10**9)


def test_totals_for_the_day(keeper: Keeper) -> None:
    """What to take out of the bin today, one short line for each kind of prey."""
    fed(keeper, "group B", [3, 3], prey="roach")
    keeper.write(day(5, 6), "feeding", ["Ada", "Dot"], prey="cricket", quantity=[1, 1], each=True)
    keeper.write(day(5, 1), "feeding", ["Duchess"], prey="cricket", quantity=[2, 2])
    assert totals(keeper.view) == ["2 crickets", "3 roaches"]
