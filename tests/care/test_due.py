"""What is due, overdue, not yet due or held, with its reason and the entries it rests on."""

from __future__ import annotations

from datetime import datetime, time

from bot.care.due import tasks
from tests.care.tale import Tale, day, fed


def test_next_feeding_is_the_last_and_the_sheets_range() -> None:
    """The earliest and the latest day are the last feeding and the interval for the size: not yet, due, overdue."""
    tale = Tale()
    tale.log("measurement", -20, measure="body", value=(20, 20))
    fed(tale, 1)
    states = {on: tale.task("feeding", on).state for on in (5, 6, 11, 12)}
    assert states == {5: "not yet", 6: "due", 11: "due", 12: "overdue"}
    task = tale.task("feeding", 7)
    assert (task.earliest, task.latest) == (day(6), day(11))
    assert task.reason == "last 1 Mar; every 5 to 10 days by the care sheet"
    assert task.rests_on == (2,)


def test_without_a_size_the_assumed_one_is_said() -> None:
    """Where no size is written, the reason says which the sheet assumes."""
    tale = Tale()
    fed(tale, 1)
    assert "no size is written, about 20 mm is assumed" in tale.task("feeding", 7).reason


def test_never_fed_counts_from_the_first_day_there() -> None:
    """Without a feeding the first day of the stay stands for one; without that, nothing can be reckoned."""
    tale = Tale()
    assert tale.task("feeding", 1).reason.startswith("none is written since 20 Nov 2025")
    assert tale.task("feeding", 1).state == "overdue"


def test_live_prey_without_an_outcome_is_asked_after_next_morning() -> None:
    """Offered live and nothing told since: the next morning the bot asks; a clean, an outcome or a week ends it."""
    tale = Tale(kind="animal", heads=None)
    fed(tale, 4, outcome=None, prey="cricket", prey_state="live")
    assert tale.task("leftovers", 4).state == "not yet"
    task = tale.task("leftovers", 5)
    assert (task.state, task.part) == ("due", "morning")
    assert task.reason == "is the cricket offered on the 4th out? a live cricket can injure a moulting animal"
    assert tale.task("leftovers", 6).state == "overdue"
    assert "leftovers" not in tale.kinds(12)
    tale.log("cleaning", 5)
    assert "leftovers" not in tale.kinds(5)


def test_prey_that_cannot_hurt_is_not_asked_after() -> None:
    """Pre-killed prey, fruit flies, and prey with an outcome raise no question."""
    for fields in ({"prey_state": "pre-killed"}, {"prey_state": "live", "prey": "fruit fly"}):
        tale = Tale()
        fed(tale, 4, outcome=None, **fields)
        assert "leftovers" not in tale.kinds(5)
    tale = Tale()
    fed(tale, 4, outcome="refused", prey_state="live")
    assert "leftovers" not in tale.kinds(5)


def test_prey_of_untold_state_is_live_by_the_sheet_and_a_measured_size() -> None:
    """A cricket for an animal measured at 40 mm is taken for live; without a measurement nothing is assumed."""
    tale = Tale(kind="animal", heads=None)
    fed(tale, 4, outcome=None, prey="cricket")
    assert "leftovers" not in tale.kinds(5)
    tale.log("measurement", 1, measure="body", value=(40, 40))
    assert "leftovers" in tale.kinds(5)


def test_closed_and_empty_enclosures_have_no_tasks() -> None:
    """Nothing is due where nobody lives."""
    tale = Tale()
    fed(tale, -30)
    assert tasks(tale.ward(empty=True), datetime.combine(day(3), time(8))) == ()


def test_passing_the_limit_is_told_once() -> None:
    """The issue's own words; told on the day and the next morning, and never again."""
    tale = Tale()
    tale.log("measurement", -20, measure="body", value=(10, 10))
    tale.log("measurement", 4, measure="body", value=(13, 13))
    expected = "group B is about 13 mm now, past the 12 mm at which the sheet goes from pre-killed to live"
    assert tale.task("size", 4).reason == expected
    assert tale.task("size", 5).state == "due"
    assert "size" not in tale.kinds(6)
    tale.log("measurement", 6, measure="body", value=(14, 14))
    assert "size" not in tale.kinds(6)


def test_own_interval_goes_before_the_sheets() -> None:
    """“feed B every 10 days” is due on the tenth day and overdue the day after, by the keeper's own words."""
    tale = Tale()
    fed(tale, 1)
    plan = tale.plan("feeding", 2, words="feed B every 10 days", every_days=10)
    task = tale.task("feeding", 11)
    assert (task.state, task.plan) == ("due", plan.id)
    assert task.reason == "last 1 Mar; every 10 days, your own words, 2 Mar 2026"
    assert tale.task("feeding", 12).state == "overdue"
    tale.plan("rule", 12, back=True)
    assert tale.task("feeding", 12).plan is None


def test_a_skipped_occurrence_counts_as_done() -> None:
    """Skip this once: the interval counts on from the day it was let go."""
    tale = Tale()
    fed(tale, 1)
    tale.plan("feeding", 2, every_days=10)
    tale.plan("skip", 11, on=11, of="feeding")
    assert tale.task("feeding", 11).earliest == day(21)


def test_dated_plans_wait_for_their_act() -> None:
    """A plan for a day is due on it and overdue after, until a matching act told since; it can be skipped."""
    tale = Tale()
    tale.log("observation", 2, signs=["out"])
    plan = tale.plan("check", 2, on=5)
    states = {on: tale.task("check", on).state for on in (4, 5, 6)}
    assert states == {4: "not yet", 5: "due", 6: "overdue"}
    assert tale.task("check", 5).reason == "your words of the 2nd"
    tale.log("observation", 6, signs=["hiding"])
    assert "check" not in tale.kinds(6)
    other = Tale()
    note = other.plan("note", 2, on=5, words="order lids")
    other.log("note", 5, "something else")
    assert other.task("note", 5).plan == note.id
    other.plan("skip", 5, plan=note.id)
    assert "note" not in other.kinds(5)
    assert plan.id not in {task.plan for task in tale.due(6)}


def test_a_planned_feeding_takes_the_place_of_the_sheets() -> None:
    """On the day of a planned feeding there is one feeding to do, not two."""
    tale = Tale()
    fed(tale, -20)
    plan = tale.plan("feeding", 2, on=5)
    assert tale.task("feeding", 5).plan == plan.id


def test_own_repeats_of_other_things() -> None:
    """Weighing every other week is the keeper's own task; a measurement of something else does not answer it."""
    tale = Tale(kind="animal", heads=None)
    tale.log("measurement", 1, measure="weight", value=(30, 30))
    tale.log("measurement", 9, measure="body", value=(30, 30))
    tale.plan("measurement", 2, words="weigh B every 2 weeks", every_days=14, measure="weight")
    task = tale.task("measurement", 15)
    assert (task.state, task.earliest, task.does) == ("due", day(15), {"measure": "weight"})


def test_cleaning_full_stands_for_spot() -> None:
    """A full clean that is due leaves no spot clean beside it, and once done counts for both."""
    tale = Tale(species="Gryllus bimaculatus")
    tale.log("cleaning", -40, scope="full")
    scopes = [task.does for task in tale.due(1) if task.kind == "cleaning"]
    assert scopes == [{"scope": "full"}]
    tale.log("cleaning", 1, scope="full")
    assert tale.task("cleaning", 2).earliest == day(5)


def test_recount_is_for_groups() -> None:
    """A group is recounted by the sheet, from its last count or a move with one; an animal by itself never."""
    tale = Tale()
    tale.log("move", 1, count=(42, 42))
    assert tale.task("recount", 2).earliest == day(151)
    assert "recount" not in Tale(kind="animal", heads=None).kinds(2)


def test_look_in_after_a_move_is_in_the_evening() -> None:
    """The look-in of the third day is a task of its evening; answered, the next one stands."""
    tale = Tale()
    tale.log("move", 7)
    task = tale.task("look-in", 10)
    assert (task.state, task.part, task.earliest) == ("due", "evening", day(10))
    tale.log("observation", 10, signs=["hiding"])
    assert tale.task("look-in", 10).earliest == day(14)


def test_a_place_has_the_keepers_plans_alone() -> None:
    """A place without animals has no sheet to go by, but what the keeper has told."""
    tale = Tale(kind="place")
    tale.plan("cleaning", 2, every_days=14)
    tale.log("cleaning", 3)
    assert [(task.kind, task.earliest) for task in tale.due(5)] == [("cleaning", day(17))]


def test_the_size_may_come_from_the_leg_span() -> None:
    """A leg span of 20 mm is a body of about 8: the sling's interval."""
    tale = Tale(kind="animal", heads=None)
    fed(tale, 1)
    tale.log("measurement", 1, measure="legspan", value=(20, 20))
    assert tale.task("feeding", 2).earliest == day(4)


def test_live_prey_is_asked_about_though_reminders_are_stopped() -> None:
    """A stop of everything holds the chores and not this question, for a live cricket can injure a moulting animal."""
    tale = Tale()
    tale.log("feeding", 4, prey="cricket", prey_state="live", quantity=[2, 2])
    tale.plan("stop", 4)
    assert tale.task("leftovers", 5).state == "due"
    assert tale.task("feeding", 30).hold == "stop"
