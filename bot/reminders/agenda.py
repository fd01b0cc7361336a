"""The agenda of a collection as the due engine has it, put as the pushes take it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date

from bot.answers.feeders import totals
from bot.answers.settled import Usual
from bot.answers.task_words import held_back, say_task
from bot.answers.view import View
from bot.answers.wards import Round, make_round, tasks_of, with_heads
from bot.care.cautions import CAUTIONED_ACTS, caution_line
from bot.care.due import DUE, HELD, NOT_YET, OVERDUE, Task, Ward
from bot.care.rules import effective, rules_of
from bot.care.settling import LOOK_IN_DAYS, look_ins
from bot.reminders.model import LOOK_IN, Agenda, Caution, Item, LookIn
from bot.wording import sentence

_ASKED = re.compile(
    r"(please |can you |could you )*(remind (me|us)( again)?|don['\u2019]?t let me forget)( to| that| about)? ",
    re.IGNORECASE,
)
"""How a keeper asks to be reminded; what is reminded of comes after."""


def agenda(view: View) -> Agenda:
    """Tasks, look-ins and prey totals of a collection at the moment of the view, by one reading of it."""
    made = make_round(view)
    tasks = tasks_of(view, made)
    looked_after = {task.ward for task in tasks if task.kind == LOOK_IN and task.state != HELD}
    looks = tuple(_look_ins(view, made, looked_after)) if looked_after else ()
    hungry = {task.ward for task in tasks if task.kind == "feeding" and task.state in (DUE, OVERDUE)}
    prey = totals(view, with_heads(view, made, hungry)) if hungry else []
    take_out = [f"Take out: {', '.join(prey)}"] if prey else []
    return Agenda([_item(view, task) for task in tasks], looks, take_out, _cautions(view, made, tasks))


def _cautions(view: View, made: Round, tasks: Iterable[Task]) -> list[Caution]:
    """The words of caution that go with what stands, by ward."""
    handled = {task.ward for task in tasks if task.state in (DUE, OVERDUE) and task.kind in CAUTIONED_ACTS}
    found = ((ward.name, caution_line(ward.sheet)) for ward in made.wards if ward.name in handled)
    return [Caution(caution_key(view, name), name, line) for name, line in found if line is not None]


def caution_key(view: View, name: str) -> str:
    """What names the caution about somebody, over renamings."""
    return f"caution {_named(view, name)}"


def _item(view: View, task: Task) -> Item:
    # What is held long before its day is nobody's concern yet.
    state = NOT_YET if task.state == HELD and not held_back(task) else task.state
    return Item(
        key=task_key(view, task),
        ward=task.ward,
        kind=task.kind,
        state=state,
        on=task.earliest,
        by=task.latest,
        text=bare(say_task(view, task)),
        reason=task.reason,
        plan=task.plan,
        at=task.at if task.plan is not None else None,
        part=task.part if task.plan is not None else None,
        fields=task.does,
        rests_on=task.rests_on,
    )


def bare(text: str) -> str:
    """What is to be done, without the words by which a keeper asked to be reminded of it."""
    return _ASKED.sub("", text)


def task_key(view: View, task: Task) -> str:
    """What names a task over days and renamings: whom it is for, and the plan it comes from or what is done."""
    if task.plan is not None:  # one plan may name several, and each of them is a task by itself
        return f"plan {task.plan} {_named(view, task.ward)}".rstrip()
    scope = f" {task.does['scope']}" if task.kind == "cleaning" and "scope" in task.does else ""
    return f"{_named(view, task.ward)} {task.kind}{scope}"


def _named(view: View, ward: str) -> str:
    target = view.target(ward)
    if target is None:
        return ward
    subject = target.subject
    return f"occupant {subject.occupant_id}" if subject.occupant_id is not None else f"place {subject.enclosure_id}"


def _look_ins(view: View, made: Round, names: Iterable[str]) -> Iterator[LookIn]:
    """The look-ins of these wards up to today that no sighting has answered, those of the days before too."""
    wanted, usual = set(names), Usual(view)
    for ward in made.wards:
        if ward.name in wanted and ward.moved is not None:
            yield from _after_move(view, ward, usual)


def _after_move(view: View, ward: Ward, usual: Usual) -> Iterator[LookIn]:
    told = effective(ward.sheet, rules_of(ward.rules)).look_in_days
    after = told.value if told else LOOK_IN_DAYS
    if ward.moved is None:
        return
    look = look_ins(ward.moved, ward.facts, view.today, after)
    if look.ended_on is not None:
        return
    key = f"{_named(view, ward.name)} look-in {ward.moved.id}"
    open_days = [day for day in look.dates if day <= view.today and day not in look.answered]
    learned = usual.say(ward) if open_days else ""
    stands = " ".join(sentence(text) for text in (look.text, learned) if text)
    for day in open_days:
        yield LookIn(key, ward.name, day, f"Seen {ward.name} {_night(day, view.today)}? {stands}")


def _night(day: date, today: date) -> str:
    return "tonight" if day == today else "these nights"
