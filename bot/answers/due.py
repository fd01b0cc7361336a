"""What is due by the keeper's own plans: "what needs doing today", "anything overdue on shelf 2"."""

from __future__ import annotations

from bot.answers.plans import ONLY_PLANS, Standing, plans_for, say_task, standing_plans
from bot.answers.view import View
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import join_names


def answer(ask: Ask, view: View) -> Reply:
    """List what is overdue and what is due today; where nothing is, the next that comes."""
    tasks = standing_plans(view)
    tasks = plans_for(view, tasks, view.targets(ask.subjects)) if ask.subjects else tasks
    tasks = [task for task in tasks if ask.kind in (None, task.entry.kind)]
    of = f" for {join_names(ask.subjects)}" if ask.subjects else ""
    if not tasks:
        return Reply(
            f"No plan{of} is written, so I cannot say what is due. "
            f"Tell me one, such as “feed … every 10 days”. {ONLY_PLANS}"
        )
    overdue = [task for task in tasks if task.task.due < view.today]
    due = [task for task in tasks if task.task.due == view.today]
    lines = [*_block(view, "Overdue:", overdue), *_block(view, f"Due {view.day(view.today)}:", due)]
    if not lines:
        lines = [f"Nothing{of} is due {view.day(view.today)}.", f"Next: {say_task(view, tasks[0])}."]
    return Reply("\n".join([*lines, ONLY_PLANS]))


def _block(view: View, title: str, tasks: list[Standing]) -> list[str]:
    return [title, *(f"- {say_task(view, task)}" for task in tasks)] if tasks else []
