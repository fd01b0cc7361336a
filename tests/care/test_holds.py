"""What holds a task back, in words with dates, and what ends each hold."""

from __future__ import annotations

from datetime import date, time

from bot.care.due import Away
from tests.care.tale import Tale, day, fed


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
