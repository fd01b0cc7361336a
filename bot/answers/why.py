"""Where a number or a date comes from: the entries it rests on, in the words they came in, and who told them when."""

from __future__ import annotations

from bot.answers import grounds
from bot.answers.headcount import said
from bot.answers.heads import bearing, count_of, number_of
from bot.answers.task_words import listed, of_kind, say_state, state_in_words
from bot.answers.view import Target, View
from bot.answers.wards import due_list, names_asked
from bot.care.due import HELD, Task
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import noun
from storage import journal
from storage.journal import EntryRow

SHOWN = 4
SHOWN_TASKS = 20
HEADS = frozenset({"count", "death", "arrival", "departure"})
"""Kinds for which "why" asks where the head count comes from."""


def answer(ask: Ask, view: View) -> Reply:
    """Tell the state of each task and the reason for it, and the entries that it rests on."""
    if "of" in ask.fields:
        return grounds.answer(ask, view)
    if ask.kind in HEADS:
        lines = [
            line for target in view.targets(ask.subjects) for one in view.animals(target) for line in _heads(view, one)
        ]
        return Reply("\n".join(lines) or "There is nobody on the roster yet.")
    tasks = [task for task in due_list(view, ask.subjects) if of_kind(task, ask.kind)]
    if not ask.subjects:
        standing = [task for task in tasks if listed(task)]
        lines = [line for task in (standing or tasks)[:SHOWN_TASKS] for line in _task(view, task)]
        return Reply("\n".join(lines) or "Nothing is due or planned, for nobody is on the roster.")
    return Reply("\n".join(line for target in view.targets(ask.subjects) for line in _target(ask, view, target, tasks)))


def _target(ask: Ask, view: View, target: Target, tasks: list[Task]) -> list[str]:
    """What stands for one subject; when nothing does, all that is to come."""
    names = names_asked(view, [target.name])
    own = [task for task in tasks if task.ward in names]
    lines = [line for task in [one for one in own if listed(one)] or own for line in _task(view, task)]
    if lines:
        return lines
    kind = ask.kind or "feeding"
    entry = view.last(target, kind)
    nothing = f"{target.name}: no {noun(kind)} is reckoned or planned."
    if entry is None:
        return [f"{nothing} No {noun(kind)} of {target.name} is written."]
    return [nothing, f"The last {noun(kind)} of {target.name}: {_source(view, entry).removeprefix('- ')}"]


def _task(view: View, task: Task) -> list[str]:
    state = "" if task.state == HELD or task.kind == "size" else f": {state_in_words(task)}"
    lines = [f"{say_state(view, task)}{state}."]
    for entry_id in task.rests_on:
        entry = journal.entry(view.session, entry_id)
        lines.append(f"- the plan: {view.source(entry)}" if entry.mood == "plan" else _source(view, entry))
    return lines


def _heads(view: View, target: Target) -> list[str]:
    if target.occupant is None:
        return [f"{target.name}: nobody lives there on record."]
    count = count_of(view, target.occupant)
    entries = [entry for entry in bearing(view, target.occupant) if number_of(entry) or entry.kind in HEADS]
    return [f"{target.name}: {said(view, count)}", *(_source(view, entry) for entry in entries[:SHOWN])]


def _source(view: View, entry: EntryRow) -> str:
    return f"- {view.day(entry.on)}, {view.act(entry)}: {view.source(entry)}"
