"""The agenda of a collection as the due engine has it, put as the pushes take it."""

from __future__ import annotations

from bot.answers.plans import standing_plans
from bot.answers.view import View
from bot.reminders.model import Agenda, Item


def agenda(view: View) -> Agenda:
    """Tasks, look-ins and prey totals of a collection at the moment of the view."""
    items = []
    for one in standing_plans(view):
        due = one.task.due
        state = "not yet" if due > view.today else "due" if due == view.today else "overdue"
        entry = one.entry
        items.append(
            Item(
                key=f"plan {entry.id}",
                ward=one.name,
                kind=entry.kind,
                state=state,
                on=due,
                plan=entry.id,
                at=entry.at,
                part=entry.part,
                fields=entry.fields,
                words=entry.words,
            )
        )
    return Agenda(items)
