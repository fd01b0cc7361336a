"""What is due, next and why is told from the due engine: the care sheet, the keeper's own words, and the holds."""

from __future__ import annotations

from datetime import time

from storage import roster
from tests.answers.conftest import TODAY, Keeper, day

TOLD = day(4, 1)


def test_states_and_reasons_in_walking_order(keeper: Keeper) -> None:
    """Overdue, due and held each in a block, place by place, with the day and the reason; what is not due yet is left out."""
    keeper.plan("feeding", ["group B"], told=TOLD, every_days=10)
    keeper.write(day(4, 20), "feeding", ["group B"])
    keeper.write(day(5, 2), "feeding", ["Ada"])
    keeper.write(day(5, 6), "feeding", ["Dot"])
    keeper.place("tub 9")
    keeper.write(day(5, 3), "move", ["Duchess"], to_enclosure_id=keeper.places["tub 9"])
    assert keeper.text("due", kind="feeding").splitlines() == [
        "Overdue:",
        "- group B: feed, was due by Thu 30 Apr, 7 days ago (last 20 Apr; every 10 days, your own words, 1 Apr 2026)",
        "Due Thu 7 May, today:",
        (
            "- Ada: feed, by Tue 12 May, in 5 days (last 2 May; every 5 to 10 days by the care sheet; "
            "no size is written, about 25 mm is assumed)"
        ),
        "Held:",
        "- Duchess: feed, held until 10 May: moved on the 3rd",
    ]


def test_only_what_is_late_is_told_where_that_is_asked(keeper: Keeper) -> None:
    """“Anything overdue” leaves out what is due or held; where nothing is late it says so."""
    keeper.plan("feeding", ["group B"], told=TOLD, every_days=10)
    keeper.write(day(4, 20), "feeding", ["group B"])
    keeper.write(day(5, 2), "feeding", ["Ada"])
    assert keeper.text("due", "group B", "Ada", kind="feeding", overdue=True).splitlines() == [
        "Overdue:",
        "- group B: feed, was due by Thu 30 Apr, 7 days ago (last 20 Apr; every 10 days, your own words, 1 Apr 2026)",
    ]
    assert keeper.text("due", "Ada", kind="feeding", overdue=True).splitlines() == [
        "Nothing for Ada is overdue.",
        "1 due today: say “what's due”.",
    ]


def test_plans_for_a_day_are_told_too(keeper: Keeper) -> None:
    """Plans with their time, and plans for nobody, which come last."""
    keeper.plan("sac", ["Duchess"], TODAY, told=TOLD, at=time(19))
    keeper.plan("note", [], day(5, 5), told=TOLD, words="order crickets")
    said = keeper.text("due").splitlines()
    assert "- Duchess: see to the egg sac, Thu 7 May, today, 19:00 (your words of 1 Apr)" in said
    assert "- order crickets, was due by Tue 5 May, 2 days ago (your words of 1 Apr)" in said
    assert "order crickets" not in keeper.text("due", "Duchess")
    keeper.write(day(5, 6), "observation", ["Duchess"], signs=["out"])
    keeper.plan("check", ["Duchess"], TODAY, told=TOLD, part="evening")
    assert keeper.text("due", kind="check") == (
        "Due Thu 7 May, today:\n- Duchess: look in, Thu 7 May, today, evening (your words of 1 Apr)"
    )


def test_a_place_that_several_share_is_seen_to_once(keeper: Keeper) -> None:
    """Misting, water and cleaning of a shared tub are one task each under its name; each animal is fed by itself."""
    keeper.plan("misting", ["tub 1"], told=TOLD, every_days=7)
    assert keeper.text("due", "tub 1", kind="misting").splitlines()[1:] == [
        (
            "- tub 1: light misting, was due by Wed 1 Apr, 36 days ago "
            "(none is written yet; every 7 days, your own words, 1 Apr 2026)"
        )
    ]
    fed = keeper.text("due", "tub 1", kind="feeding").splitlines()[1:]
    assert [line.split(",")[0] for line in fed] == ["- Ada: feed", "- Dot: feed"]
    keeper.write(day(5, 6), "feeding", ["tub 1"])
    keeper.write(day(5, 6), "misting", ["tub 1"])
    assert keeper.text("due", "tub 1", kind="feeding").startswith("Nothing for tub 1 is due")
    assert (
        keeper.text("due", "tub 1", kind="misting").splitlines()[1].startswith("Next: tub 1: light misting, Wed 13 May")
    )


def test_nothing_due_tells_the_next_and_what_is_held(keeper: Keeper) -> None:
    """When nothing is due the next that comes is told, and what would be due if it were not held."""
    keeper.write(day(5, 6), "misting", ["tub 4"])
    keeper.plan("stop", ["group B"], told=TOLD, of="watering")
    assert keeper.text("due", "group B", kind="misting").splitlines() == [
        "Nothing for group B is due Thu 7 May, today.",
        "Next: group B: light misting, Wed 13 May, in 6 days, to Wed 20 May (last 6 May; every 7 to 14 days by the care sheet).",
    ]
    assert keeper.text("due", "group B", kind="watering").splitlines()[1:] == [
        "Held:",
        "- group B: fill the dish, held: no reminders, your words of 1 Apr",
    ]


def test_closed_empty_and_ended_have_no_tasks(keeper: Keeper) -> None:
    """Nobody there, nothing to do; and the plans for whoever was there do not come up."""
    keeper.plan("misting", ["glass cube"], told=TOLD, every_days=2)
    keeper.plan("feeding", ["Duchess"], told=TOLD, every_days=2)
    roster.end_occupant(keeper.session, keeper.animals["Duchess"], day(5, 1))
    assert "cube" not in keeper.text("due")
    assert "Duchess" not in keeper.text("due")
    assert keeper.text("due", "glass cube").startswith("There is nothing to do for glass cube: nobody lives there")


def test_holidays_hold_what_would_be_due(keeper: Keeper) -> None:
    """While the keeper is away everything that is due waits for the day after."""
    keeper.write(TODAY, "away", [], mood="plan", told=TOLD, since="2026-05-03", until="2026-05-10")
    said = keeper.text("due", "group B", kind="feeding")
    assert "- group B: feed, held until 11 May: away 3 May to 10 May" in said


def test_next_from_earliest_to_latest(keeper: Keeper) -> None:
    """The range of days by the sheet; by the keeper's own words one day; held until when and why."""
    keeper.write(day(5, 6), "feeding", ["group B"])
    assert keeper.text("next", "group B", kind="feeding") == (
        "group B: feed, Mon 11 May, in 4 days, to Sat 16 May "
        "(last 6 May; every 5 to 10 days by the care sheet; no size is written, about 25 mm is assumed)."
    )
    keeper.plan("feeding", ["tub 4"], told=TOLD, every_days=9)
    assert keeper.text("next", "group B", kind="feeding").startswith("group B: feed, Fri 15 May, in 8 days (")
    keeper.write(day(5, 7), "observation", ["group B"], signs=["premoult"])
    assert keeper.text("next", "group B", kind="feeding") == (
        "group B: feed, held until 4 Jun: premoult signs on the 7th."
    )


def test_next_of_what_is_no_task_tells_the_rhythm(keeper: Keeper) -> None:
    """Nobody is due a pairing: the last one and the usual gap are told, with the number of gaps."""
    assert keeper.text("next", "Ada", kind="pairing").endswith("No pairing of it is written either.")
    keeper.write(day(2, 1), "pairing", ["Ada"])
    assert keeper.text("next", "Ada", kind="pairing").endswith("The last was Sun 1 Feb, 13 weeks ago, the only one.")
    keeper.write(day(4, 2), "pairing", ["Ada"])
    assert keeper.text("next", "Ada", kind="pairing") == (
        "No pairing of Ada is reckoned or planned. The last was Thu 2 Apr, 35 days ago; "
        "the usual gap is 60 days (median of 1), which would make it Mon 1 Jun, in 25 days."
    )


def test_next_of_everything_is_told_by_day(keeper: Keeper) -> None:
    """Without a subject what comes first comes first."""
    keeper.write(day(5, 6), "feeding", ["group B", "Dot", "Duchess"])
    keeper.write(day(5, 5), "feeding", ["Ada"])
    said = keeper.text("next", kind="feeding").splitlines()
    assert [line.split(":")[0] for line in said] == ["Ada", "group B", "Dot", "Duchess"]
    assert keeper.text("next", kind="moult") == "No moult is to come for anybody that I know of."


def test_why_rests_on_the_entries_and_their_words(keeper: Keeper) -> None:
    """The state and its reason, then each entry that it rests on with its words, teller and time."""
    keeper.plan("feeding", ["group B"], told=TOLD, every_days=10, words="feed B every 10 days")
    keeper.write(day(4, 20), "feeding", ["group B"], words="lunch")
    assert keeper.text("why", "group B", kind="feeding").splitlines() == [
        (
            "group B: feed, was due by Thu 30 Apr, 7 days ago "
            "(last 20 Apr; every 10 days, your own words, 1 Apr 2026): overdue."
        ),
        "- Mon 20 Apr, 17 days ago, fed: “lunch” (told Mon 20 Apr, 17 days ago, 19:05, by Ana)",
        "- the plan: “feed B every 10 days” (told Wed 1 Apr, 36 days ago, 19:05, by Ana)",
    ]


def test_why_held_shows_what_holds(keeper: Keeper) -> None:
    """A hold names the entry that holds."""
    keeper.write(day(5, 5), "moult", ["Ada"], words="ada moulted at last")
    said = keeper.text("why", "Ada", kind="feeding").splitlines()
    assert said[0] == "Ada: feed, held until 12 May: moulted on the 5th."
    assert said[1].startswith("- Tue 5 May, 2 days ago, moulted: “ada moulted at last”")


def test_why_when_nothing_is_due_tells_what_is_to_come(keeper: Keeper) -> None:
    """What is not due yet is explained too; of what is no task the last entry is shown."""
    keeper.write(TODAY, "feeding", ["Duchess"], words="fed duchess")
    lines = keeper.text("why", "Duchess", kind="feeding").splitlines()
    assert lines[0].endswith(": not due yet.")
    assert lines[1] == "- Thu 7 May, today, fed: “fed duchess” (told Thu 7 May, today, 19:05, by Ana)"
    assert keeper.text("why", "Ada", kind="moult") == (
        "Ada: no moult is reckoned or planned. No moult of Ada is written."
    )
    keeper.write(day(4, 2), "moult", ["Ada"], words="skin")
    assert "The last moult of Ada: Thu 2 Apr, 35 days ago, moulted: “skin”" in keeper.text("why", "Ada", kind="moult")


def test_why_of_a_number_shows_its_entries(keeper: Keeper) -> None:
    """Where a head count comes from is told with the words of its entries."""
    keeper.write(day(4, 1), "count", ["group B"], count=[42, 42], words="B 42 of them")
    keeper.write(day(4, 9), "death", ["group B"], number=[1, 1], words="one dead in B")
    said = keeper.text("why", "group B", kind="count")
    assert said.splitlines()[0].startswith("group B: 41. 42 counted Wed 1 Apr")
    assert "- Thu 9 Apr, 28 days ago, 1 died: “one dead in B” (told" in said
    assert "“B 42 of them”" in said
    assert keeper.text("why", "glass cube", kind="count") == "glass cube: nobody lives there on record."
