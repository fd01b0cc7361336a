"""Tasks of the due engine in words, one short line each."""

from __future__ import annotations

from datetime import date

from bot.answers.view import View
from bot.care.due import DUE, HELD, NOT_YET, OVERDUE, Task
from bot.wording import say_act
from storage import journal

_OWN_KIND = {"recount": "count heads", "look-in": "look in", "leftovers": "look for live prey", "size": "a new size"}
"""Tasks that are no kind of entry by themselves."""

TASKS_OF_KIND = {"count": ("recount", "count"), "check": ("check", "look-in"), "observation": ("check", "look-in")}
"""Tasks that a keeper means by a kind of entry, where they are called otherwise."""


def of_kind(task: Task, kind: str | None) -> bool:
    """Whether a task is of the kind that a question names; None: any."""
    return kind is None or task.kind in TASKS_OF_KIND.get(kind, (kind,))


def listed(task: Task) -> bool:
    """Whether a task is to be told of today: due, overdue, or held though its day has come by its interval."""
    return task.state in {DUE, OVERDUE} or held_back(task)


def held_back(task: Task) -> bool:
    """Whether a task is held back that would else be due."""
    return task.state == HELD and task.reckoned is not None and (task.earliest is None or task.reckoned < task.earliest)


def say_task(view: View, task: Task) -> str:
    """Say whom a task is for and what is to be done: "group B: feed", "tub 4: full clean", "order crickets"."""
    who = f"{task.ward}: " if task.ward else ""
    return f"{who}{_act(view, task)}"


def say_state(view: View, task: Task) -> str:
    """Say a task with its days and its reason: "group B: feed, was due by Thu 30 Apr, 7 days ago (last 20 Apr; …)"."""
    if task.kind == "size":  # the reason names whom it is about
        return task.reason
    head = say_task(view, task)
    if task.state == HELD:
        return f"{head}, {task.reason}"
    days = [*filter(None, (say_days(view, task), task.part if task.at is None else f"{task.at:%H:%M}"))]
    said = ", ".join([head, *days])
    return f"{said}: {task.reason.removesuffix('.')}" if task.reason.endswith(".") else f"{said} ({task.reason})"


def say_days(view: View, task: Task) -> str:
    """Say when a task is due: "was due by Thu 30 Apr, 7 days ago", "by Sat 9 May, in 2 days", "Fri 8 May, tomorrow, to Sat 9 May"."""
    earliest, latest = task.earliest, task.latest
    if earliest is None or latest is None:
        return "" if task.state == HELD else "day not known"
    if task.state == OVERDUE:
        return f"was due by {view.day(latest)}"
    if task.state == DUE and latest > view.today:
        return f"by {view.day(latest)}"
    return view.day(latest) if earliest == latest else f"{view.day(earliest)}, to {view.bare_day(latest)}"


def by_day(task: Task) -> tuple[date, date]:
    """Place a task among others: by its earliest day, then by its latest; those without come last."""
    return task.earliest or date.max, task.latest or date.max


def state_in_words(task: Task) -> str:
    """Say the state by itself."""
    return {NOT_YET: "not due yet", HELD: "held"}.get(task.state, task.state)


def _act(view: View, task: Task) -> str:
    if task.kind in _OWN_KIND:
        return _OWN_KIND[task.kind]
    if task.kind == "cleaning" and "scope" in task.does:
        return f"{task.does['scope']} clean"
    if task.kind == "misting" and "amount" in task.does:
        return f"{task.does['amount']} misting"
    fields = dict(task.does)
    if task.kind == "note" and task.plan is not None:
        fields.setdefault("text", journal.entry(view.session, task.plan).words)
    return say_act(task.kind, fields, view.units, "plan").removeprefix("plan to ").removeprefix("plan: ")
