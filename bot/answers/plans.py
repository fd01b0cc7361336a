"""The keeper's own plans that stand, for `due`, `next`, `feeders` and `why`."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from bot.answers.view import Target, View
from bot.care.tasks import Done, Planned, Task, answering_kinds, standing
from bot.wording import say_act
from storage import journal
from storage.journal import EntryRow, Subject

ONLY_PLANS = "I go by your own plans alone; intervals of a care sheet are not reckoned yet."


@dataclass(frozen=True, slots=True)
class Standing:
    """A task that stands, with the plan's entry and whom it is for; `target` None: a plan that names nobody."""

    task: Task
    entry: EntryRow
    target: Target | None

    @property
    def name(self) -> str:
        """Whom or what the task is for."""
        return self.target.name if self.target else ""


def standing_plans(view: View) -> list[Standing]:
    """Find the tasks that stand, the earliest due first."""
    sources = {
        (entry.id, key): (entry, target) for entry in _entries(view) for key, target in _subjects(view, entry).items()
    }
    plans = [_planned(view, entry, key) for (_id, key), (entry, _target) in sources.items()]

    def last_done(plan: Planned) -> Done | None:
        target = sources[plan.order, plan.subject][1]
        found = view.history(target, answering_kinds(plan.kind), limit=1) if target else []
        return Done(found[0].on, found[0].id) if found and found[0].on else None

    return [Standing(task, *sources[task.plan.order, task.plan.subject]) for task in standing(plans, last_done)]


def plans_for(view: View, tasks: Iterable[Standing], targets: Iterable[Target]) -> list[Standing]:
    """Pick the tasks that are for one of the targets, or for the place where it lives."""
    wanted = {key_of(view, one) for target in targets for one in (target, *view.animals(target))}
    return [one for one in tasks if one.target is not None and key_of(view, one.target) in wanted]


def key_of(view: View, target: Target) -> str:
    """Name the thing cared for: a lone occupant and its enclosure are the same, those who share one are not."""
    enclosure_id = target.enclosure.id if target.enclosure else None
    if target.occupant is not None:
        home = target.occupant.enclosure_id
        enclosure_id = home if home is not None and len(view.residents(home)) == 1 else None
    return f"place {enclosure_id}" if enclosure_id is not None else f"occupant {target.subject.occupant_id}"


def say_task(view: View, one: Standing) -> str:
    """Say a task with its own due day: "group B: plan to feed, every 10 days: Sun 3 May, 4 days ago, 19:00"."""
    fields = {key: value for key, value in one.entry.fields.items() if key != "at"}
    if one.entry.kind == "note":
        fields.setdefault("text", one.entry.words)
    act = say_act(one.entry.kind, fields, view.units, "plan").removeprefix("plan to ").removeprefix("plan: ")
    when = [view.day(one.task.due)]
    when += [one.entry.part] if one.entry.part else []
    when += [f"{one.entry.at:%H:%M}"] if one.entry.at else []
    name = f"{one.name}: " if one.name else ""
    return f"{name}{act}: {', '.join(when)}{_last(view, one)}"


def told_on(view: View, entry: EntryRow) -> date:
    """Return the local day on which an entry was told."""
    return entry.told_at.astimezone(view.zone).date()


def _last(view: View, one: Standing) -> str:
    if one.task.plan.every_days is None:
        return ""
    return f" (last {view.day(one.task.last.on)})" if one.task.last else " (not done yet)"


def _entries(view: View) -> list[EntryRow]:
    dated = journal.between(view.session, view.collection_id, None, None, ("plan",))
    return [*dated, *journal.undated(view.session, view.collection_id, ("plan",))]


def _subjects(view: View, entry: EntryRow) -> dict[str, Target | None]:
    """Each subject that still has a task to it by its key: closed, ended and empty places have none."""
    if not entry.subjects:
        return {"": None}
    targets = [target for subject in entry.subjects if (target := _in_use(view, subject)) is not None]
    return {key_of(view, target): target for target in targets}


def _in_use(view: View, subject: Subject) -> Target | None:
    for place in view.places:
        for one in place.residents:
            if one.id == subject.occupant_id:
                return Target(occupant=one)
        if place.enclosure is not None and place.enclosure.id == subject.enclosure_id:
            return Target(enclosure=place.enclosure)
    return None


def _planned(view: View, entry: EntryRow, key: str) -> Planned:
    every = entry.fields.get("every_days")
    return Planned(
        kind=entry.kind,
        subject=key,
        told=told_on(view, entry),
        order=entry.id,
        on=entry.on,
        every_days=None if every is None else float(every),
        of=entry.fields.get("of"),
    )
