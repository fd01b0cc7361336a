"""What a keeper's own plans ask for, and when: reckoned from the plans and from what was done since.

Only plans that the keeper has told are reckoned here; no interval is assumed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from math import floor

from bot.care.days import shifted

CARE_KINDS = frozenset({"feeding", "misting", "watering", "cleaning", "count", "measurement", "reading", "check"})
"""Kinds done again and again: one done long before a planned day does not stand for the planned one."""

LOOKED_IN = frozenset({"observation", "feeding", "moult", "count", "death", "sac"})
"""What shows that the keeper has looked in on them: answers a planned `check`."""

_EARLY = 1
"""Days by which an act may come before its planned day and still answer the plan."""


@dataclass(frozen=True, slots=True)
class Planned:
    """One plan for one subject.

    `told` is the local day on which it was told and `order` where it stands in the journal; `of` names the kind that a
    `stop` ends (None: all kinds).
    """

    kind: str
    subject: str
    told: date
    order: int
    on: date | None = None
    every_days: float | None = None
    of: str | None = None


@dataclass(frozen=True, slots=True)
class Done:
    """An act that may answer a plan: its day, and where it stands in the journal."""

    on: date
    order: int


@dataclass(frozen=True, slots=True)
class Task:
    """A plan that still stands: the day it falls due, and the last matching act, None if there is none."""

    plan: Planned
    due: date
    last: Done | None = None


LastDone = Callable[[Planned], Done | None]
"""Gives the latest act of the kinds that answer a plan, None if there is none (see `answering_kinds`)."""


def answering_kinds(kind: str) -> frozenset[str]:
    """Kinds of entry that answer a plan of a kind."""
    return LOOKED_IN if kind == "check" else frozenset({kind})


def standing(plans: Iterable[Planned], last_done: LastDone) -> list[Task]:
    """Tasks that still stand, the earliest first: stopped, replaced and done plans are left out."""
    tasks = [_task(plan, last_done(plan)) for plan in _in_force(plans)]
    return sorted((task for task in tasks if task is not None), key=lambda task: (task.due, task.plan.order))


def _in_force(plans: Iterable[Planned]) -> list[Planned]:
    """Drop what a later `stop` has ended, and every repeating plan that a later one for the same task replaces."""
    kept: list[Planned] = []
    for plan in sorted(plans, key=lambda plan: plan.order):
        if plan.kind == "stop":
            kept = [old for old in kept if old.subject != plan.subject or plan.of not in (None, old.kind)]
            continue
        if plan.every_days is not None:
            kept = [old for old in kept if old.every_days is None or _task_of(old) != _task_of(plan)]
        kept.append(plan)
    return kept


def _task_of(plan: Planned) -> tuple[str, str]:
    return plan.kind, plan.subject


def _task(plan: Planned, last: Done | None) -> Task | None:
    if plan.every_days is not None:
        return Task(plan, _next_of(plan, plan.every_days, last.on if last else None), last)
    due = plan.on or plan.told
    # A thing done once for all (a sac pulled, a pair put together) may be done at any time after it was planned.
    from_day = shifted(due, -_EARLY) if plan.kind in CARE_KINDS else plan.told
    # What was told before the plan cannot answer it: "moved B, remind me to move them back on the 20th".
    answered = last is not None and last.order > plan.order and last.on >= from_day
    return None if answered else Task(plan, due, last)


def _next_of(plan: Planned, every_days: float, last: date | None) -> date:
    """The day after the last act by the interval (3.5 days: the third, rather early than late), else the first day."""
    start = plan.on or plan.told
    if last is None or (plan.on is not None and last < shifted(plan.on, -_EARLY)):
        return start
    return shifted(last, max(1, floor(every_days)))
