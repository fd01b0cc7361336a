"""How much prey is needed: reckoned from what was really fed, with the number of observations it rests on."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from statistics import median

from bot.answers.heads import count_of
from bot.answers.next_date import rhythm
from bot.answers.plans import Standing, plans_for, standing_plans
from bot.answers.view import Place, Target, View
from bot.care.days import shifted
from bot.care.tasks import Task
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import join_names, say_count, say_number
from storage.journal import EntryRow

LOOKED_BACK = timedelta(days=56)
"""Eight weeks: long enough for slow eaters, short enough to follow growth."""


@dataclass(frozen=True, slots=True)
class Demand:
    """What one place needs: the prey it had most often, the median of it at a feeding, feedings to come, observations."""

    label: str
    prey: str
    each_time: float
    feeds: int
    observed: int
    planned: bool

    @property
    def total(self) -> float:
        """All of it."""
        return self.each_time * self.feeds


def answer(ask: Ask, view: View) -> Reply:
    """Tell the prey needed in the next days (a week, when none are named), how it is made up, and what is not known."""
    until = view.today + timedelta(days=max(1, min(ask.days or 7, 365)) - 1)
    places = _places(ask, view)
    feeding = [one for one in standing_plans(view) if one.entry.kind == "feeding"]
    demands = [(place, _demand(view, place, feeding, until)) for place in places]
    known = [demand for _place, demand in demands if demand is not None]
    unknown = [place.label() for place, demand in demands if demand is None]
    if not known:
        return Reply(
            f"There is nothing to reckon from: no feeding of the last {LOOKED_BACK.days} days says what was fed and how much."
        )
    lines = [f"By what was fed in the last {LOOKED_BACK.days} days, up to {view.day(until)} you need about:"]
    for prey in sorted({demand.prey for demand in known}):
        lines += _prey(prey, [demand for demand in known if demand.prey == prey])
    if unknown:
        lines.append(f"Nothing to reckon from for {join_names(unknown)}.")
    return Reply("\n".join(lines))


def _places(ask: Ask, view: View) -> list[Place]:
    asked = {one.name for target in view.targets(ask.subjects) for one in (target, *view.animals(target))}
    return [place for place in view.places if place.unit.name in asked or asked & {one.name for one in place.residents}]


def _prey(prey: str, demands: list[Demand]) -> list[str]:
    total = ceil(sum(demand.total for demand in demands))
    observed = sum(demand.observed for demand in demands)
    lines = [f"{say_count((total, total), prey)} (from {say_count((observed, observed), 'feeding')} on record)"]
    for demand in demands:
        by = "by plan" if demand.planned else "by the usual gap"
        feeds = say_count((demand.feeds, demand.feeds), "feeding")
        lines.append(f"- {demand.label}: {feeds} {by}, {say_number(demand.each_time)} each time ({demand.observed})")
    return lines


def _demand(view: View, place: Place, plans: list[Standing], until: date) -> Demand | None:
    target = place.unit
    fed = [
        (str(entry.fields["prey"]), number)
        for entry in view.history(target, ("feeding",), since=view.today - LOOKED_BACK)
        if entry.fields.get("prey") and (number := _number(view, place, entry)) is not None
    ]
    feeds = _feeds(view, target, [one.task for one in plans_for(view, plans, [target])], until)
    if not fed or feeds is None:
        return None
    prey = Counter(name for name, _number in fed).most_common(1)[0][0]
    numbers = [number for name, number in fed if name == prey]
    return Demand(place.label(), prey, median(numbers), feeds[0], len(numbers), planned=feeds[1])


def _number(view: View, place: Place, entry: EntryRow) -> float | None:
    """How much prey a feeding took; None where the entry does not say it for this place alone."""
    quantity = entry.fields.get("quantity")
    if not quantity or None in quantity:
        return None
    number = float(sum(quantity)) / 2
    if not entry.fields.get("each"):
        return number if len(entry.subjects) == 1 else None
    if len(entry.subjects) > 1:
        return number  # "2 crickets each" over several places: so many for each place
    heads = [count_of(view, one) for one in place.residents]
    if any(count.high is None for count in heads):
        return None
    return number * sum(count.low + (count.high or 0) for count in heads) / 2


def _feeds(view: View, target: Target, plans: list[Task], until: date) -> tuple[int, bool] | None:
    """How many feedings fall up to a day, and whether a plan says so; None when neither plan nor rhythm is known."""
    repeat = next((task for task in plans if task.plan.every_days is not None), None)
    if repeat is not None:
        return _falling(max(repeat.due, view.today), repeat.plan.every_days or 1, until), True
    dated = sum(task.due <= until for task in plans)
    last, gap = rhythm(view, target, "feeding")
    if last is None or gap is None:
        return (dated, True) if plans else None
    return max(dated, _falling(max(shifted(last, round(gap.days)), view.today), gap.days, until)), False


def _falling(first: date, every_days: float, until: date) -> int:
    """How many days of a repeat fall from its first day up to a day."""
    return 0 if first > until else 1 + int((until - first).days / every_days)
