"""When the next one is, from earliest to latest, and what holds it: "when is B's next feed"."""

from __future__ import annotations

from datetime import date

from bot.answers.growing import series_of
from bot.answers.growth_words import next_moult_line
from bot.answers.task_words import by_day, of_kind, say_state
from bot.answers.view import Target, View
from bot.answers.wards import due_list, names_asked
from bot.care.days import shifted
from bot.care.due import Task
from bot.care.rhythm import Gap, usual_gap
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import noun, say_number

GAPS = 8
"""How many of the latest gaps the usual one is the median of."""

SHOWN = 10


def answer(ask: Ask, view: View) -> Reply:
    """Tell the days of the next task of each subject; of a kind that is no task, the last one and the usual gap."""
    tasks = [task for task in due_list(view, ask.subjects) if of_kind(task, ask.kind)]
    if not ask.subjects:
        lines = [f"{say_state(view, task)}." for task in sorted(tasks, key=by_day)[:SHOWN]]
        return Reply("\n".join(lines or [f"No {noun(ask.kind)} is to come for anybody that I know of."]))
    if ask.kind == "moult" and not tasks:
        animals = dict.fromkeys(one for target in view.targets(ask.subjects) for one in view.animals(target))
        return Reply("\n".join(next_moult_line(view, one, series_of(view, one)) for one in animals))
    return Reply("\n".join(line for target in view.targets(ask.subjects) for line in _lines(ask, view, target, tasks)))


def _lines(ask: Ask, view: View, target: Target, tasks: list[Task]) -> list[str]:
    names = names_asked(view, [target.name])
    own = sorted((task for task in tasks if task.ward in names), key=by_day)
    if own:
        return [f"{say_state(view, task)}." for task in own]
    kind = ask.kind or "feeding"
    return [f"No {noun(kind)} of {target.name} is reckoned or planned. {_rhythm(view, target, kind)}"]


def _rhythm(view: View, target: Target, kind: str) -> str:
    last, gap = rhythm(view, target, kind)
    if last is None:
        return f"No {noun(kind)} of it is written either."
    said = f"The last was {view.day(last)}"
    if gap is None:
        return f"{said}, the only one."
    coming = shifted(last, round(gap.days))
    return (
        f"{said}; the usual gap is {say_number(gap.days)} day{'' if gap.days == 1 else 's'} "
        f"(median of {gap.observed}), which would make it {view.day(coming)}."
    )


def rhythm(view: View, target: Target, kind: str) -> tuple[date | None, Gap | None]:
    """Return the day of the last entry of a kind, and the usual gap between the latest ones."""
    # Several entries may share a day, so more are read than gaps are wanted.
    days = [entry.on for entry in view.history(target, (kind,), limit=GAPS * 5) if entry.on is not None]
    return (max(days), usual_gap(days, GAPS)) if days else (None, None)
