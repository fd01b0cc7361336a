"""The keeper's plans ask for what was told, until it is done, stopped or replaced."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

from bot.care.due import Task, tasks
from bot.care.rhythm import Gap, usual_gap
from bot.care.tasks import answering_kinds
from tests.care.tale import Tale, day


def planned(tale: Tale, today: int = 2) -> list[Task]:
    """The tasks of a place of its own: the keeper's plans and nothing by a care sheet."""
    ward = replace(tale.ward(), kind="place")
    return list(tasks(ward, datetime.combine(day(today), datetime.min.time())))


def test_half_days_fall_early() -> None:
    """Twice a week (3.5 days) may be done from the third day to the fourth, and never on the same day."""
    tale = Tale()
    tale.plan("feeding", 1, every_days=3.5)
    tale.log("feeding", 2)
    (task,) = planned(tale)
    assert (task.earliest, task.latest) == (day(5), day(6))
    tale.plan("feeding", 1, every_days=0.5)
    assert planned(tale)[0].earliest == day(3)


def test_repeat_never_done_is_due_when_told() -> None:
    """A repeat without any act is due from the day it starts: the day told, or the first day it names."""
    told, given = Tale(), Tale()
    told.plan("feeding", 2, every_days=10)
    given.plan("feeding", 2, on=7, every_days=10)
    assert [planned(tale)[0].earliest for tale in (told, given)] == [day(2), day(7)]


def test_what_was_told_before_does_not_answer() -> None:
    """A move told in the message before does not answer the plan to move back."""
    tale = Tale()
    tale.log("move", 2)
    tale.plan("move", 2, on=10)
    assert [task.kind for task in planned(tale) if task.plan] == ["move"]


def test_single_acts_may_be_done_early() -> None:
    """A sac pulled before its planned day is pulled: the plan is done. A feeding long before its day is another."""
    tale = Tale()
    tale.plan("sac", 2, on=20)
    tale.plan("feeding", 2, on=20)
    tale.log("sac", 5)
    tale.log("feeding", 5)
    assert [task.kind for task in planned(tale, 6)] == ["feeding"]


def test_plan_without_a_day_stands_from_when_it_was_told() -> None:
    """A plan with neither day nor interval is due on the day it was told."""
    tale = Tale()
    tale.plan("note", 2, words="order crickets")
    assert planned(tale, 9)[0].latest == day(2)


def test_later_repeat_replaces_the_earlier() -> None:
    """Of two repeats for one task the later told stands alone; other tasks are left."""
    tale = Tale()
    for kind, every in (("feeding", 10), ("feeding", 7), ("misting", 3)):
        tale.plan(kind, 1, every_days=every)
    tale.log("feeding", 2)
    tale.log("misting", 2)
    assert {(task.kind, task.earliest) for task in planned(tale)} == {("feeding", day(9)), ("misting", day(5))}


def test_stop_ends_the_kind_it_names() -> None:
    """A stop ends the plans of its kind that were told before it, and none told after; without a kind it ends all."""
    tale = Tale()
    tale.plan("feeding", 1, every_days=7)
    tale.plan("misting", 1, every_days=3)
    tale.plan("stop", 1, of="feeding")
    assert [task.kind for task in planned(tale)] == ["misting"]
    tale.plan("feeding", 1, every_days=7)
    assert sorted(task.kind for task in planned(tale)) == ["feeding", "misting"]
    tale.plan("stop", 1)
    assert planned(tale) == []


def test_an_interval_beyond_the_calendar_is_never_due() -> None:
    """An interval of a thousand million days ends at the last day of the calendar."""
    tale = Tale()
    tale.plan("feeding", 1, every_days=10**9)
    tale.log("feeding", 2)
    assert planned(tale)[0].earliest == date.max


def test_look_in_is_answered_by_seeing_them() -> None:
    """Feeding or seeing an animal answers a planned look-in; other plans are answered by their own kind."""
    assert "observation" in answering_kinds("check")
    assert answering_kinds("misting") == {"misting"}


def test_usual_gap_is_the_median_of_the_latest() -> None:
    """The usual gap is the median between different days; one long break does not move it."""
    days = [date(2026, 3, 2) + timedelta(days=number) for number in (0, 7, 7, 14, 60, 67)]
    assert usual_gap(days) == Gap(7.0, 4)
    assert usual_gap(days, latest=2) == Gap(26.5, 2)
    assert usual_gap([days[0], days[0]]) is None
