"""What is due, and why: "what needs doing today", "anything overdue on shelf 2"."""

from __future__ import annotations

from bot.answers.task_words import by_day, held_back, of_kind, say_state
from bot.answers.view import View
from bot.answers.wards import due_list
from bot.care.due import DUE, NOT_YET, OVERDUE, Task
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import join_names

SHOWN = 60


def answer(ask: Ask, view: View) -> Reply:
    """List what is overdue, due and held back, in walking order; where nothing is due, the next that comes."""
    tasks = [task for task in due_list(view, ask.subjects) if of_kind(task, ask.kind)]
    of = f" for {join_names(ask.subjects)}" if ask.subjects else ""
    if not tasks:
        return Reply(f"There is nothing to do{of}: nobody lives there, or no care of that kind is on the sheet.")
    due = [task for task in tasks if task.state == DUE]
    overdue = [task for task in tasks if task.state == OVERDUE]
    if ask.overdue:
        return Reply("\n".join(_block(view, "Overdue:", overdue) or [f"Nothing{of} is overdue.", *_today(due)]))
    lines = [*_block(view, "Overdue:", overdue), *_block(view, f"Due {view.day(view.today)}:", due)]
    if not lines:
        lines = [f"Nothing{of} is due {view.day(view.today)}.", *_next(view, tasks)]
    return Reply("\n".join([*lines, *_block(view, "Held:", [task for task in tasks if held_back(task)])]))


def _block(view: View, title: str, tasks: list[Task]) -> list[str]:
    if not tasks:
        return []
    lines = [title, *(f"- {say_state(view, task)}" for task in tasks[:SHOWN])]
    if len(tasks) > SHOWN:
        lines.append(f"… and {len(tasks) - SHOWN} more. Ask for a shelf, an enclosure or a task to see them.")
    return lines


def _today(due: list[Task]) -> list[str]:
    return [f"{len(due)} due today: say “what's due”."] if due else []


def _next(view: View, tasks: list[Task]) -> list[str]:
    coming = [task for task in tasks if task.state == NOT_YET and task.earliest is not None]
    return [f"Next: {say_state(view, min(coming, key=by_day))}."] if coming else []
