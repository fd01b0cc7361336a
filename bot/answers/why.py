"""Where a number or a date comes from: the entries it rests on, in the words they came in, and who told them when."""

from __future__ import annotations

from bot.answers.headcount import said
from bot.answers.heads import bearing, count_of, number_of
from bot.answers.plans import ONLY_PLANS, Standing, plans_for, say_task, standing_plans
from bot.answers.view import Target, View
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import noun
from storage.journal import EntryRow

SHOWN = 4
HEADS = frozenset({"count", "death", "arrival", "departure"})
"""Kinds for which "why" asks where the head count comes from."""


def answer(ask: Ask, view: View) -> Reply:
    """Tell what is planned for each subject and on which words it rests, and the last entries that it is reckoned from."""
    targets = view.targets(ask.subjects)
    if ask.kind in HEADS:
        lines = [line for target in targets for one in view.animals(target) for line in _heads(view, one)]
        return Reply("\n".join(lines))
    tasks = [one for one in standing_plans(view) if ask.kind in {None, one.entry.kind}]
    lines = [line for target in targets for line in _plans(ask, view, target, plans_for(view, tasks, [target]))]
    return Reply("\n".join([*lines, ONLY_PLANS]))


def _plans(ask: Ask, view: View, target: Target, tasks: list[Standing]) -> list[str]:
    lines = [line for one in tasks for line in _task(view, one)]
    if not tasks:
        lines.append(f"{target.name}: no plan of yours stands, so nothing is due by my records.")
    known = {one.entry.kind for one in tasks if one.task.last}
    kinds = [kind for kind in (ask.kind or "feeding",) if kind not in known]
    return [*lines, *(_last(view, target, kind) for kind in kinds)]


def _task(view: View, one: Standing) -> list[str]:
    state = "not due yet" if one.task.due > view.today else "due" if one.task.due == view.today else "overdue"
    lines = [f"{say_task(view, one)}: {state}.", f"- the plan: {view.source(one.entry)}"]
    if one.task.last is not None and one.target is not None:
        lines.append(f"- {_last(view, one.target, one.entry.kind if one.entry.kind != 'check' else None)}")
    return lines


def _last(view: View, target: Target, kind: str | None) -> str:
    entry = view.last(target, kind)
    if entry is None:
        return f"No {noun(kind)} of {target.name} is written."
    return f"The last {noun(kind)} of {target.name}: {view.day(entry.on)}, {view.act(entry)}: {view.source(entry)}"


def _heads(view: View, target: Target) -> list[str]:
    if target.occupant is None:
        return [f"{target.name}: nobody lives there on record."]
    count = count_of(view, target.occupant)
    entries = [entry for entry in bearing(view, target.occupant) if number_of(entry) or entry.kind in HEADS]
    return [f"{target.name}: {said(view, count)}", *(_source(view, entry) for entry in entries[:SHOWN])]


def _source(view: View, entry: EntryRow) -> str:
    return f"- {view.day(entry.on)}, {view.act(entry)}: {view.source(entry)}"
