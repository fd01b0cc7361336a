"""What is due, what is next and what is needed is reckoned from plans and records, and nothing is made up."""

from __future__ import annotations

from datetime import time

from bot.answers.plans import ONLY_PLANS
from storage import roster
from tests.answers.conftest import TODAY, Keeper, day

TOLD = day(4, 1)


def test_without_plans_nothing_is_claimed(keeper: Keeper) -> None:
    """With no plan written the answer says that it cannot say."""
    said = keeper.text("due")
    assert said.startswith("No plan is written, so I cannot say what is due.")
    assert said.endswith(ONLY_PLANS)
    assert keeper.text("due", "Duchess").startswith("No plan for Duchess is written")


def test_overdue_and_due_are_told_apart(keeper: Keeper) -> None:
    """Repeating plans fall due by the last act, dated ones on their day."""
    keeper.plan("feeding", ["group B"], told=TOLD, every_days=10)
    keeper.write(day(4, 20), "feeding", ["group B"])
    keeper.plan("misting", ["tub 1"], told=TOLD, every_days=7)
    keeper.plan("sac", ["Duchess"], TODAY, told=TOLD, at=time(19))
    keeper.plan("note", [], day(5, 5), told=TOLD, words="order crickets")
    keeper.plan("check", ["Ada"], day(5, 20), told=TOLD)
    assert keeper.text("due").splitlines() == [
        "Overdue:",
        "- tub 1: mist, every 7 days: Wed 1 Apr, 36 days ago (not done yet)",
        "- group B: feed, every 10 days: Thu 30 Apr, 7 days ago (last Mon 20 Apr, 17 days ago)",
        "- order crickets: Tue 5 May, 2 days ago",
        "Due Thu 7 May, today:",
        "- Duchess: see to the egg sac: Thu 7 May, today, 19:00",
        ONLY_PLANS,
    ]
    assert keeper.text("due", "tub 4").splitlines()[1].startswith("- group B: feed")
    assert "mist" not in keeper.text("due", kind="feeding")


def test_nothing_due_tells_the_next(keeper: Keeper) -> None:
    """When nothing is due the next that comes is told."""
    keeper.plan("check", ["Ada"], day(5, 20), told=TOLD, part="evening")
    assert keeper.text("due").splitlines()[:2] == [
        "Nothing is due Thu 7 May, today.",
        "Next: Ada: look in: Wed 20 May, in 13 days, evening.",
    ]


def test_done_stopped_and_empty_have_no_tasks(keeper: Keeper) -> None:
    """What was done, stopped, or is of an empty or closed place is not due."""
    keeper.plan("check", ["Ada"], day(5, 2), told=TOLD)
    keeper.write(day(5, 2), "observation", ["Ada"], signs=["out"])
    keeper.plan("misting", ["tub 4"], told=TOLD, every_days=2)
    keeper.plan("stop", ["group B"], told=TOLD, of="misting")
    keeper.plan("misting", ["glass cube"], told=TOLD, every_days=2)
    keeper.plan("feeding", ["Duchess"], told=TOLD, every_days=2)
    roster.end_occupant(keeper.session, keeper.animals["Duchess"], day(5, 1))
    assert keeper.text("due").startswith("No plan is written")


def test_next_by_plan(keeper: Keeper) -> None:
    """With a plan the next day is the plan's."""
    keeper.plan("feeding", ["tub 4"], told=TOLD, every_days=10)
    keeper.write(day(5, 3), "feeding", ["group B"])
    assert keeper.text("next", "group B", kind="feeding") == (
        "tub 4: feed, every 10 days: Wed 13 May, in 6 days (last Sun 3 May, 4 days ago)."
    )


def test_next_without_a_plan_tells_the_rhythm(keeper: Keeper) -> None:
    """Without a plan the last one and the usual gap are told, with the number of gaps."""
    for number in (10, 17, 25):
        keeper.write(day(4, number), "feeding", ["group B"])
    keeper.write(day(5, 2), "feeding", ["group B"])
    assert keeper.text("next", "group B", kind="feeding") == (
        "No plan for the next feeding of group B is written. The last was Sat 2 May, 5 days ago; "
        "the usual gap is 7 days (median of 3), which would make it Sat 9 May, in 2 days."
    )
    keeper.write(day(5, 2), "feeding", ["Duchess"])
    assert keeper.text("next", "Duchess").endswith("The last was Sat 2 May, 5 days ago, the only one.")
    assert keeper.text("next", "Ada", kind="moult").endswith("No moult of it is written either.")


def test_next_of_everything(keeper: Keeper) -> None:
    """Without a subject the plans that come are listed."""
    assert keeper.text("next", kind="feeding").startswith("No plan for a feeding is written.")
    assert keeper.text("next").startswith("No plan is written.")
    keeper.plan("feeding", ["Ada"], day(5, 9), told=TOLD)
    assert keeper.text("next", kind="feeding") == "Ada: feed: Sat 9 May, in 2 days."


def test_those_who_share_a_place_have_their_own_plans(keeper: Keeper) -> None:
    """A plan for one animal of a shared tub is not the other's; asked of the tub, all are told."""
    keeper.plan("feeding", ["Ada"], day(5, 9), told=TOLD)
    assert keeper.text("next", "Dot").startswith("No plan for the next feeding of Dot")
    assert keeper.text("next", "tub 1").startswith("Ada: feed")


def fed(keeper: Keeper, name: str, numbers: list[int], **fields: object) -> None:
    for index, number in enumerate(numbers):
        keeper.write(day(4, 2 + 7 * index), "feeding", [name], quantity=[number, number], **fields)  # type: ignore[arg-type]


def test_feeders_from_what_was_really_fed(keeper: Keeper) -> None:
    """Prey needed is the median at a feeding times the feedings that fall in the days asked for."""
    fed(keeper, "group B", [3, 4, 6, 4], prey="roach")
    fed(keeper, "Duchess", [1, 1], prey="cricket")
    keeper.write(day(4, 28), "feeding", ["tub 1"], prey="cricket", quantity=[2, 2], each=True)
    keeper.plan("feeding", ["Duchess"], told=TOLD, every_days=3.5)
    assert keeper.text("feeders", days=7).splitlines() == [
        "By what was fed in the last 56 days, up to Wed 13 May, in 6 days you need about:",
        "2 crickets (from 2 feedings on record)",
        "- pot 7 (Duchess): 2 feedings by plan, 1 each time (2)",
        "4 roaches (from 4 feedings on record)",
        "- tub 4 (group B): 1 feeding by the usual gap, 4 each time (4)",
        "Nothing to reckon from for tub 1 (Ada and Dot).",
    ]
    assert "cricket" not in keeper.text("feeders", "group B")


def test_feeders_per_head(keeper: Keeper) -> None:
    """A quantity for each head is multiplied by the head count, where that has both ends."""
    fed(keeper, "group B", [2, 2], prey="fruit fly", each=True)
    assert "84 fruit flies" in keeper.text("feeders")
    keeper.write(day(4, 1), "arrival", ["group B"])
    assert keeper.text("feeders").startswith("There is nothing to reckon from")


def test_feeders_over_several_places(keeper: Keeper) -> None:
    """A number for several places counts for each only where the text says each."""
    for number in (20, 27):
        keeper.write(day(4, number), "feeding", ["Duchess", "group B"], prey="roach", quantity=[2, 2])
    assert keeper.text("feeders").startswith("There is nothing to reckon from")
    keeper.write(day(4, 30), "feeding", ["Duchess", "group B"], prey="roach", quantity=[2, 2], each=True)
    assert "Duchess): 2 feedings by the usual gap, 2 each time (1)" in keeper.text("feeders", days=7)


def test_feeders_by_a_dated_plan(keeper: Keeper) -> None:
    """A single planned feeding counts when it falls in the days asked for."""
    keeper.write(day(5, 1), "feeding", ["Duchess"], prey="cricket", quantity=[2, 2])
    assert keeper.text("feeders").startswith("There is nothing to reckon from")
    keeper.plan("feeding", ["Duchess"], day(5, 10), told=TOLD)
    assert "1 feeding by plan, 2 each time" in keeper.text("feeders", days=7)
    assert "0 feedings by plan" in keeper.text("feeders", days=2)


def test_feeders_looks_no_further_than_a_year(keeper: Keeper) -> None:
    """Days beyond all sense are cut to a year."""
    fed(keeper, "Duchess", [1, 1], prey="cricket")
    assert "Thu 6 May 2027" in keeper.text("feeders", days=10**9)


def test_why_shows_plan_and_records(keeper: Keeper) -> None:
    """Why something is due is told from the plan and the last act, with words, teller and time."""
    keeper.plan("feeding", ["group B"], told=TOLD, every_days=10, words="feed B every 10 days")
    keeper.write(day(4, 20), "feeding", ["group B"], words="lunch")
    assert keeper.text("why", "group B").splitlines() == [
        "group B: feed, every 10 days: Thu 30 Apr, 7 days ago (last Mon 20 Apr, 17 days ago): overdue.",
        "- the plan: “feed B every 10 days” (told Wed 1 Apr, 36 days ago, 19:05, by Ana)",
        "- The last feeding of group B: Mon 20 Apr, 17 days ago, fed: “lunch” (told Mon 20 Apr, 17 days ago, 19:05, by Ana)",
        ONLY_PLANS,
    ]


def test_why_without_a_plan(keeper: Keeper) -> None:
    """Without a plan nothing is due, and the last feeding is told."""
    keeper.write(TODAY, "feeding", ["Duchess"], words="fed duchess")
    lines = keeper.text("why", "Duchess").splitlines()
    assert lines[0] == "Duchess: no plan of yours stands, so nothing is due by my records."
    assert lines[1].endswith("“fed duchess” (told Thu 7 May, today, 19:05, by Ana)")
    assert "No moult of Ada is written." in keeper.text("why", "Ada", kind="moult")


def test_why_tells_the_state(keeper: Keeper) -> None:
    """What is due today and what is not due yet is said so."""
    keeper.plan("check", ["Ada"], TODAY, told=TOLD)
    keeper.plan("feeding", ["Ada"], day(5, 9), told=TOLD)
    said = keeper.text("why", "Ada")
    assert "Ada: look in: Thu 7 May, today: due." in said
    assert "Ada: feed: Sat 9 May, in 2 days: not due yet." in said


def test_why_of_a_look_in_names_what_was_seen(keeper: Keeper) -> None:
    """A repeating look-in rests on the last time they were seen, whatever the kind of entry."""
    keeper.plan("check", ["Ada"], told=TOLD, every_days=7)
    keeper.write(day(5, 2), "moult", ["Ada"], words="ada moulted")
    assert "“ada moulted”" in keeper.text("why", "Ada")


def test_why_of_a_number_shows_its_entries(keeper: Keeper) -> None:
    """Where a head count comes from is told with the words of its entries."""
    keeper.write(day(4, 1), "count", ["group B"], count=[40, 40], words="B 40 of them")
    keeper.write(day(4, 9), "death", ["group B"], number=[1, 1], words="one dead in B")
    said = keeper.text("why", "group B", kind="count")
    assert said.splitlines()[0].startswith("group B: 39. 40 counted Wed 1 Apr")
    assert "- Thu 9 Apr, 28 days ago, 1 died: “one dead in B” (told" in said
    assert "“B 40 of them”" in said
    assert keeper.text("why", "glass cube", kind="count") == "glass cube: nobody lives there on record."
