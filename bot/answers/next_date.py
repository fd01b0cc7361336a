"""When the next one is: by plan, or else what the records show of the usual gap: "when is B's next feed"."""

from __future__ import annotations

from datetime import date

from bot.answers.plans import ONLY_PLANS, Standing, plans_for, say_task, standing_plans
from bot.answers.view import Target, View
from bot.care.days import shifted
from bot.care.rhythm import Gap, usual_gap
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import noun, say_number

GAPS = 8
"""How many of the latest gaps the usual one is the median of."""


def answer(ask: Ask, view: View) -> Reply:
    """Tell the next planned day for each subject; where no plan is written, the last one and the usual gap."""
    targets = view.targets(ask.subjects)
    tasks = [task for task in standing_plans(view) if ask.kind in {None, task.entry.kind}]
    if not ask.subjects:
        lines = [f"{say_task(view, task)}." for task in tasks[:10]]
        return Reply("\n".join(lines or [f"No plan{_for(ask.kind)} is written. {ONLY_PLANS}"]))
    return Reply("\n".join(line for target in targets for line in _lines(ask, view, target, tasks)))


def _for(kind: str | None) -> str:
    return "" if kind is None else f" for a {noun(kind)}"


def _lines(ask: Ask, view: View, target: Target, tasks: list[Standing]) -> list[str]:
    own = plans_for(view, tasks, [target])
    if own:
        return [f"{say_task(view, task)}." for task in own]
    kind = ask.kind or "feeding"
    return [f"No plan for the next {noun(kind)} of {target.name} is written. {_rhythm(view, target, kind)}"]


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
