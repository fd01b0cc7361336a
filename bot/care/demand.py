"""How much prey is needed: the feedings that fall due, times what was really fed, by kind of prey."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import ceil
from statistics import median

from bot.care.due import Away, Task, Ward, tasks
from bot.care.due.scene import scene_of
from bot.care.facts import Fact, middle

LOOKED_BACK = timedelta(days=56)
"""Eight weeks: long enough for slow eaters, short enough to follow growth."""

ONE_EACH = "one for each head, common practice"
AS_FED = "as you fed"


@dataclass(frozen=True, slots=True)
class Share:
    """What one ward needs: so many feedings of so much each time, and what that rests on.

    `prey` None: no feeding on record says what. `observed` is the number of feedings on record that it rests on (0: by
    heads alone) and `basis` says so in words. `planned`: the feedings are by the keeper's own plan.
    """

    ward: str
    prey: str | None
    feedings: int
    each_time: float
    observed: int
    basis: str
    planned: bool = False
    rests_on: tuple[int, ...] = ()

    @property
    def total(self) -> float:
        """All of it."""
        return self.feedings * self.each_time


@dataclass(frozen=True, slots=True)
class Demand:
    """What is needed of one kind of prey (None: kind not on record), rounded up, with the wards that make it up."""

    prey: str | None
    total: int
    shares: tuple[Share, ...]


@dataclass(frozen=True, slots=True)
class Needs:
    """All that is needed up to `until`; `unknown` are wards to be fed for which nothing tells how much."""

    until: date
    demands: tuple[Demand, ...]
    unknown: tuple[str, ...]


def needs(wards: Iterable[Ward], now: datetime, days: int = 7, away: Sequence[Away] = ()) -> Needs:
    """Reckon the prey needed for the coming days, today among them.

    A feeding's quantity is what that ward got; with the field `each` it is for each head.
    """
    until = now.date() + timedelta(days=max(1, days) - 1)
    shares: list[Share] = []
    unknown: list[str] = []
    for ward in wards:
        feedings, planned = _feedings(ward, now, until, away)
        share = _share(ward, now.date(), feedings, planned=planned) if feedings else None
        if share is not None:
            shares.append(share)
        elif feedings:
            unknown.append(ward.name)
    by_prey: dict[str | None, list[Share]] = {}
    for share in shares:
        by_prey.setdefault(share.prey, []).append(share)
    ordered = sorted(by_prey.items(), key=lambda pair: (pair[0] is None, pair[0] or ""))
    demands = tuple(Demand(prey, ceil(sum(one.total for one in found)), tuple(found)) for prey, found in ordered)
    return Needs(until, demands, tuple(unknown))


def _feedings(ward: Ward, now: datetime, until: date, away: Sequence[Away]) -> tuple[int, bool]:
    """How many feedings fall up to a day, and whether the keeper's plan says so; held without an end, none."""
    found = [task for task in tasks(ward, now, away) if task.kind == "feeding" and task.earliest is not None]
    rules = {rule.id: rule for rule in ward.rules}
    single = sum(_is_single(task, rules) and (task.earliest or until) <= until for task in found)
    round_about = [task for task in found if not _is_single(task, rules)]
    scene = scene_of(ward, now, away)
    step = max(1.0, sum(scene.row.feeding.value) / 2)
    coming = sum(_falling(max(task.earliest or until, now.date()), step, until) for task in round_about[:1])
    planned = single > 0 or any(task.plan is not None for task in round_about)
    return max(single, coming), planned


def _is_single(task: Task, rules: dict[int, Fact]) -> bool:
    return task.plan is not None and task.plan in rules and rules[task.plan].fields.get("every_days") is None


def _falling(first: date, every_days: float, until: date) -> int:
    return 0 if first > until else 1 + int((until - first).days / every_days)


def _share(ward: Ward, today: date, feedings: int, *, planned: bool) -> Share | None:
    fed = [
        (str(fact.fields["prey"]), used, fact.id)
        for fact in ward.facts
        if fact.kind == "feeding" and fact.day >= today - LOOKED_BACK and fact.fields.get("prey")
        if (used := _used(ward, fact)) is not None
    ]
    if fed:
        prey = Counter(name for name, _used, _id in fed).most_common(1)[0][0]
        of_it = [(used, number) for name, used, number in fed if name == prey]
        each_time = float(median(used for used, _number in of_it))
        rests_on = tuple(number for _used, number in of_it)
        return Share(ward.name, prey, feedings, each_time, len(of_it), AS_FED, planned, rests_on)
    heads = _heads(ward)
    if heads is None or ward.sheet.rows[0].prey_state is None:
        return None
    return Share(ward.name, _prey_of(ward), feedings, heads, 0, ONE_EACH, planned)


def _prey_of(ward: Ward) -> str | None:
    """The prey fed last, however long ago."""
    return next(
        (str(one.fields["prey"]) for one in ward.facts if one.kind == "feeding" and one.fields.get("prey")), None
    )


def _used(ward: Ward, fact: Fact) -> float | None:
    quantity = middle(fact.fields.get("quantity"))
    if quantity is None or not fact.fields.get("each"):
        return quantity
    heads = _heads(ward)
    return None if heads is None else quantity * heads


def _heads(ward: Ward) -> float | None:
    """The middle of the head count; an animal by itself is one, a group without an upper end its least."""
    if ward.kind == "animal":
        return 1.0
    return middle(ward.count) if ward.count and ward.count[0] else None
