"""Plans ask for what was told, until it is done, stopped or replaced."""

from __future__ import annotations

from datetime import date, timedelta

from bot.care.rhythm import Gap, usual_gap
from bot.care.tasks import Done, Planned, Task, answering_kinds, standing

DAY = date(2026, 3, 2)


def on(days: int) -> date:
    return DAY + timedelta(days=days)


def repeat(every: float, order: int = 1, kind: str = "feeding", first: date | None = None) -> Planned:
    return Planned(kind, "group B", DAY, order, on=first, every_days=every)


def dated(day: int, order: int = 1, kind: str = "feeding") -> Planned:
    return Planned(kind, "group B", DAY, order, on=on(day))


def left(plans: list[Planned], last: Done | None = None) -> list[Task]:
    return standing(plans, lambda _plan: last)


def test_repeat_counts_from_the_last_act() -> None:
    """A repeating plan falls due its interval after the last act."""
    assert left([repeat(10)], Done(on(-4), 0))[0].due == on(6)


def test_half_days_fall_early() -> None:
    """Twice a week (3.5 days) is due on the third day, rather early than late, and never on the same day."""
    assert left([repeat(3.5)], Done(on(0), 0))[0].due == on(3)
    assert left([repeat(0.5)], Done(on(0), 0))[0].due == on(1)


def test_repeat_never_done_is_due_when_told() -> None:
    """A repeat without any act is due from the day it starts: the day told, or the first day it names."""
    assert left([repeat(10)])[0].due == on(0)
    assert left([repeat(10, first=on(5))])[0].due == on(5)


def test_repeat_waits_for_its_first_day() -> None:
    """An act before the first day that a repeat names does not move that day; the evening before does."""
    assert left([repeat(10, first=on(5))], Done(on(1), 0))[0].due == on(5)
    assert left([repeat(10, first=on(5))], Done(on(4), 0))[0].due == on(14)


def test_dated_plan_is_answered_by_the_act() -> None:
    """A dated feeding is done by a feeding on its day, the day before or later, not by one long before."""
    assert left([dated(8)], Done(on(8), 9)) == []
    assert left([dated(8)], Done(on(7), 9)) == []
    assert left([dated(8)], Done(on(3), 9))[0].due == on(8)


def test_what_was_told_before_does_not_answer() -> None:
    """A move told in the message before does not answer the plan to move back."""
    assert left([dated(8, order=5, kind="move")], Done(on(0), 4))[0].due == on(8)


def test_single_acts_may_be_done_early() -> None:
    """A sac pulled before its planned day is pulled: the plan is done."""
    assert left([dated(18, kind="sac")], Done(on(3), 9)) == []


def test_plan_without_a_day_stands_from_when_it_was_told() -> None:
    """A plan with neither day nor interval is due on the day it was told."""
    assert left([Planned("note", "group B", DAY, 1)])[0].due == DAY


def test_later_repeat_replaces_the_earlier() -> None:
    """Of two repeats for one task the later told stands alone; other tasks are left."""
    tasks = left([repeat(7, 2), repeat(10, 1), repeat(3, 3, "misting")])
    assert {(task.plan.kind, task.plan.every_days) for task in tasks} == {("feeding", 7), ("misting", 3)}


def test_stop_ends_the_kind_it_names() -> None:
    """A stop ends the plans of its kind and subject that were told before it, and none told after."""
    stop = Planned("stop", "group B", DAY, 5, of="feeding")
    kinds = [task.plan.kind for task in left([repeat(7, 1), repeat(3, 2, "misting"), stop])]
    assert kinds == ["misting"]
    assert len(left([stop, repeat(7, 6)])) == 1
    other = Planned("feeding", "D", DAY, 1, every_days=7)
    assert left([other, stop])[0].plan is other


def test_stop_without_a_kind_ends_all() -> None:
    """A stop that names no kind ends every plan of its subject."""
    assert left([repeat(7, 1), dated(4, 2, "misting"), Planned("stop", "group B", DAY, 3)]) == []


def test_an_interval_beyond_the_calendar_is_never_due() -> None:
    """An interval of a thousand million days ends at the last day of the calendar."""
    assert left([repeat(10**9)], Done(on(0), 0))[0].due == date.max
    assert left([Planned("check", "B", DAY, 1, on=date.min)])[0].due == date.min
    assert left([Planned("check", "B", DAY, 1, on=date.min)], Done(DAY, 2)) == []


def test_tasks_come_in_order_of_their_days() -> None:
    """The earliest due stands first."""
    assert [task.due for task in left([dated(9, 1), dated(4, 2), repeat(10, 3)])] == [on(0), on(4), on(9)]


def test_look_in_is_answered_by_seeing_them() -> None:
    """Feeding or seeing an animal answers a planned look-in; other plans are answered by their own kind."""
    assert "observation" in answering_kinds("check")
    assert answering_kinds("misting") == {"misting"}


def test_usual_gap_is_the_median_of_the_latest() -> None:
    """The usual gap is the median between different days; one long break does not move it."""
    days = [on(0), on(7), on(7), on(14), on(60), on(67)]
    assert usual_gap(days) == Gap(7.0, 4)
    assert usual_gap(days, latest=2) == Gap(26.5, 2)
    assert usual_gap([on(0), on(0)]) is None
