"""What is due, overdue, not yet due or held, with its reason and the entries it rests on."""

from __future__ import annotations

from datetime import date, datetime, time

from bot.care.due import Away, tasks
from tests.care.tale import Tale, day


def fed(tale: Tale, *days: int, outcome: str | None = "ate", **fields: object) -> None:
    for on in days:
        told = {} if outcome is None else {"outcome": outcome}
        tale.log("feeding", on, **told, **fields)


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


def test_feeding_is_held_after_a_move() -> None:
    """The issue's own words: held until 14 Mar: moved on the 7th."""
    tale = Tale()
    fed(tale, 1)
    moved = tale.log("move", 7, to="glass cube")
    task = tale.task("feeding", 9)
    assert (task.state, task.until, task.hold) == ("held", day(14), "settling")
    assert task.reason == "held until 14 Mar: moved on the 7th"
    assert moved.id in task.rests_on
    assert (task.reckoned, task.earliest) == (day(6), day(14))
    assert tale.task("feeding", 14).state == "overdue"


def test_eating_ends_the_hold_after_a_move() -> None:
    """Seen eating after the move, they are fed as ever; food without an outcome says nothing."""
    tale = Tale()
    tale.log("move", 7)
    fed(tale, 8, outcome=None)
    assert tale.task("feeding", 9).state == "held"
    tale.log("observation", 9, signs=["eating_together"])
    assert tale.task("feeding", 9).state == "not yet"


def test_the_keepers_own_settling_time_goes_before_the_sheets() -> None:
    """A rule of 3 days lets feeding be due from the third day on."""
    tale = Tale()
    tale.log("move", 7)
    tale.plan("rule", 7, settling_days=3)
    assert tale.task("feeding", 9).until == day(10)
    assert tale.task("feeding", 10).state != "held"


def test_premoult_holds_feeding_until_the_moult() -> None:
    """Premoult signs hold feeding; the moult then holds it for the size's own time."""
    tale = Tale(kind="animal", heads=None)
    fed(tale, -10)
    tale.log("observation", 3, "fat and dark", signs=["premoult"])
    assert tale.task("feeding", 5).reason == "held until 31 Mar: premoult signs on the 3rd"
    tale.log("moult", 6)
    task = tale.task("feeding", 7)
    assert (task.hold, task.until) == ("moult", day(13))
    assert task.reason == "held until 13 Mar: moulted on the 6th"


def test_on_its_back_is_moulting() -> None:
    """An animal on its back is moulting: the reason says not to touch it."""
    tale = Tale(kind="animal", heads=None)
    tale.log("observation", 3, "B is on her back", signs=["premoult"])
    assert "on its back, moulting, do not touch, on the 3rd" in tale.task("feeding", 4).reason


def test_dark_fangs_end_the_wait_after_a_moult() -> None:
    """Fangs told dark end the wait at once, in the moult's own words as well; fangs told not dark do not."""
    tale = Tale(kind="animal", heads=None)
    tale.log("moult", 6)
    tale.log("note", 7, "fangs not dark yet")
    assert tale.task("feeding", 7).hold == "moult"
    tale.log("note", 8, "the fangs are black")
    assert tale.task("feeding", 8).hold is None
    other = Tale(kind="animal", heads=None)
    other.log("moult", 6, "B moulted, fangs dark now")
    assert other.task("feeding", 7).hold is None


def test_the_wait_after_a_moult_goes_by_size() -> None:
    """A sling waits 5 days, an adult 14."""
    for size, wait in ((8, 5), (60, 14)):
        tale = Tale(kind="animal", heads=None)
        tale.log("measurement", 1, measure="body", value=(size, size))
        tale.log("moult", 6)
        assert tale.task("feeding", 7).until == day(6 + wait)


def test_a_few_moults_do_not_starve_a_group() -> None:
    """Two moults among 42 hold nothing, and the reason asks for pre-killed prey; half of the group holds."""
    tale = Tale()
    tale.log("measurement", -9, measure="body", value=(20, 20))
    fed(tale, 1)
    tale.log("moult", 6, number=(2, 2))
    task = tale.task("feeding", 7)
    assert task.state == "due"
    assert task.reason.endswith("some moulted on the 6th: pre-killed only")
    tale.log("moult", 7, number=(30, 30))
    assert tale.task("feeding", 8).hold == "moult"


def test_refusals_beyond_the_habit_hold() -> None:
    """Three refusals in a row hold; an animal that once refused four times holds only at the fifth."""
    tale = Tale(kind="animal", heads=None)
    fed(tale, -9, outcome="ate")
    fed(tale, 1, 4, outcome="refused")
    assert tale.task("feeding", 5).state != "held"
    fed(tale, 7, outcome="refused")
    task = tale.task("feeding", 8)
    assert task.hold == "refusals"
    assert "3 refusals in a row, more than the usual 2" in task.reason
    assert set(task.rests_on) >= {2, 3, 4}
    picky = Tale(kind="animal", heads=None)
    fed(picky, -40, -36, -32, -28, outcome="refused")
    fed(picky, -20)
    fed(picky, 1, 3, 5, 7, outcome="refused")
    assert picky.task("feeding", 8).hold is None
    fed(picky, 9, outcome="refused")
    assert picky.task("feeding", 10).hold == "refusals"


def test_a_moult_explains_the_refusals_before_it() -> None:
    """Refusals before a moult do not count on after it."""
    tale = Tale(kind="animal", heads=None)
    tale.log("measurement", -30, measure="body", value=(8, 8))
    fed(tale, -8, -6, -4, outcome="refused")
    tale.log("moult", -3)
    fed(tale, 3, outcome="refused")
    assert tale.task("feeding", 4).hold is None


def test_two_refusals_of_live_prey_in_premoult_suggest_pre_killed() -> None:
    """The hold's reason then says to offer pre-killed, if anything."""
    tale = Tale(kind="animal", heads=None)
    tale.log("observation", 1, "premoult", signs=["premoult"])
    fed(tale, 2, outcome="refused", prey_state="live")
    assert "pre-killed" not in tale.task("feeding", 6).reason
    fed(tale, 5, outcome="refused", prey_state="live")
    assert "two refusals of live prey in premoult: if anything, offer pre-killed" in tale.task("feeding", 6).reason


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


def test_misting_is_skipped_while_the_reading_is_in_the_band() -> None:
    """A reading in the band within 24 hours skips misting and says so; an older or a dry one does not."""
    tale = Tale()
    tale.plan("rule", -20, humidity_pct=[55, 65])
    tale.log("misting", -20)
    tale.log("reading", 4, at=time(19), humidity_pct=(61, 61))
    task = tale.task("misting", 5)
    assert (task.state, task.hold) == ("held", "humidity")
    assert task.reason == "skipped: 61 % humidity read on the 4th lies in 55 to 65 %"
    assert tale.task("misting", 5, time(20)).state == "overdue"
    tale.log("reading", 6, at=time(7), humidity_pct=(40, 40))
    assert tale.task("misting", 6).state == "overdue"


def test_closed_and_empty_enclosures_have_no_tasks() -> None:
    """Nothing is due where nobody lives."""
    tale = Tale()
    fed(tale, -30)
    assert tasks(tale.ward(empty=True), datetime.combine(day(3), time(8))) == ()


def test_stops_hold_until_their_day() -> None:
    """No reminders till April: held with the keeper's words; a stop of feeding leaves misting alone."""
    tale = Tale()
    fed(tale, -20)
    tale.plan("stop", 2, on=32)
    task = tale.task("feeding", 5)
    assert (task.state, task.hold, task.until) == ("held", "stop", date(2026, 4, 1))
    assert task.reason == "held until 1 Apr: no reminders, your words of the 2nd"
    assert tale.task("feeding", 32).state == "overdue"
    other = Tale()
    other.plan("stop", 2, of="feeding")
    assert other.task("feeding", 5).reason == "held: no reminders, your words of the 2nd"
    assert other.task("misting", 5).hold is None


def test_a_repeat_told_after_a_stop_takes_it_up_again() -> None:
    """Stop feeding, then "feed B every 10 days": it is reminded of again."""
    tale = Tale()
    fed(tale, 1)
    tale.plan("stop", 2, of="feeding")
    tale.plan("feeding", 3, every_days=10)
    assert tale.task("feeding", 5).state == "not yet"
    tale.plan("stop", 6)
    tale.plan("rule", 7, resume=True)
    assert tale.task("feeding", 11).state == "due"


def test_a_repeat_told_after_a_stop_of_all_frees_itself_alone() -> None:
    """No reminders at all, then "feed B every 10 days": feeding is reminded of, misting stays stopped."""
    tale = Tale()
    fed(tale, 1)
    tale.plan("stop", 2)
    tale.plan("feeding", 3, every_days=10)
    assert tale.task("feeding", 11).state == "due"
    assert tale.task("misting", 11).hold == "stop"


def test_holidays_pause_what_is_due() -> None:
    """Away 3 to 10 March: what falls due is held until the 11th and is then due in one list."""
    tale = Tale()
    fed(tale, -20)
    away = (Away(day(3), day(10), 99),)
    task = tale.task("feeding", 5, away=away)
    assert (task.state, task.until, task.reason) == ("held", day(11), "held until 11 Mar: away 3 Mar to 10 Mar")
    assert tale.task("feeding", 11, away=away).state == "overdue"


def test_the_longest_hold_governs_and_all_are_said() -> None:
    """A move and a moult at once: held until the later of the two, and both reasons are told."""
    tale = Tale(kind="animal", heads=None)
    tale.log("move", 7)
    tale.log("moult", 8)
    task = tale.task("feeding", 9)
    assert task.reason == "held until 15 Mar: moulted on the 8th; moved on the 7th"


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
