"""What comes once: plans for one day, live prey still in there, a size that passes a limit, look-ins after a move."""

from __future__ import annotations

from collections.abc import Iterator

from bot.care.days import shifted
from bot.care.due.repeats import EARLY
from bot.care.due.routine import DOES, Routine, answered_by
from bot.care.due.scene import Body, Scene, bodies
from bot.care.facts import Fact, ate
from bot.care.settling import LOOK_IN_DAYS, look_ins
from bot.care.sheet import Row
from bot.care.tasks import CARE_KINDS
from bot.care.words import nth, number

LEFTOVERS = "leftovers"
"""The task of asking whether live prey is out."""

LEFTOVERS_ASKED = 7
"""Days for which it is asked whether live prey is out: after that it is eaten, dead or found."""

TAME_PREY = frozenset({"fruit fly", "springtail", "isopod", "bean weevil"})
"""Prey that does not bite a moulting animal (common practice)."""


def leftovers(scene: Scene) -> Iterator[Routine]:
    """Live prey offered with no outcome: the next morning it is asked whether it is out."""
    fed = scene.last("feeding")
    if fed is None or not _live(scene, fed) or fed.fields.get("outcome") is not None:
        return
    answered = bool(scene.since(fed, "cleaning")) or any(ate(fact) for fact in scene.since(fed, "observation"))
    if answered or (scene.today - fed.day).days > LEFTOVERS_ASKED:
        return
    prey = str(fed.fields.get("prey") or "live prey")
    day = shifted(fed.day, 1)
    asked = f"is the {prey} offered on {nth(fed.day, scene.today)} out? a live {prey} can injure a moulting animal"
    yield Routine(LEFTOVERS, (day, day), asked.replace("a live live", "live"), (fed,), does=(("scope", "spot"),))


def _live(scene: Scene, fed: Fact) -> bool:
    """Told live; or, where nothing is told, of a size measured that gets live prey by the sheet."""
    state, prey = fed.fields.get("prey_state"), fed.fields.get("prey")
    if prey in TAME_PREY or scene.ward.kind == "place":
        return False
    if state is not None or scene.body is None or prey is None:
        return bool(state == "live")
    by_sheet = scene.row.prey_state
    return by_sheet is not None and by_sheet.value == "live" and prey in _INSECTS


_INSECTS = frozenset({"cricket", "locust", "roach", "mealworm", "superworm", "dubia roach", "red runner roach"})


def passed_limit(scene: Scene) -> Iterator[Routine]:
    """The body length has passed a limit of the sheet at which the state of prey changes: told on that day and the next."""
    body = scene.body
    if body is None or (scene.today - body.fact.day).days > 1:
        return
    before = _before(scene, body)
    old, new = scene.sheet.row(before), scene.row
    if old.prey_state is None or new.prey_state is None or old.prey_state.value == new.prey_state.value:
        return
    limit = _limit(scene, old, new)
    if limit is None or body.mm < limit:
        return
    words = (
        f"{scene.ward.name} is about {number(body.mm)} mm now, past the {number(limit)} mm at which the sheet goes "
        f"from {old.prey_state.value} to {new.prey_state.value}"
    )
    yield Routine("size", (body.fact.day, shifted(body.fact.day, 1)), words, (body.fact,))


def _before(scene: Scene, body: Body) -> float | None:
    """The size by the measurement before; None where there is none, and the sheet's own assumption stands."""
    found = [one for one in bodies(scene.kinds["measurement"]) if one.fact.day < body.fact.day]
    return found[0].mm if found else None


def _limit(scene: Scene, old: Row, new: Row) -> float | None:
    """The upper end of the last row, from the old one on, that has the old one's state of prey."""
    rows = scene.sheet.rows[scene.sheet.rows.index(old) : scene.sheet.rows.index(new)]
    return next((row.upto_mm for row in reversed(rows) if row.prey_state == old.prey_state), None)


def looking_in(scene: Scene) -> Iterator[Routine]:
    """The look-in after a move that is today or comes next."""
    moved, told = scene.ward.moved, scene.sheet.look_in_days
    if moved is None or told is None:
        return
    look = look_ins(moved, scene.ward.facts, scene.today, told.value if told else LOOK_IN_DAYS)
    if look.next is not None:
        facts = {fact.id: fact for fact in (moved, *scene.ward.facts) if fact.id in look.rests_on}
        yield Routine("look-in", (look.next, look.next), look.text, tuple(facts.values()))


def dated(scene: Scene) -> Iterator[Routine]:
    """The plans for one day that no act since has answered."""
    skipped = {fact.fields.get("plan") for fact in scene.rules.skips}
    for plan in scene.rules.dated:
        if plan.id in skipped or _answered(scene, plan):
            continue
        words = f"your words of {nth(plan.told, scene.today)}"
        does = tuple((name, plan.fields[name]) for name in DOES if name in plan.fields)
        yield Routine(plan.kind, (plan.day, plan.day), words, (), plan, does=does)


def _answered(scene: Scene, plan: Fact) -> bool:
    """What was told before the plan cannot answer it; a care act long before its day does not stand for the planned one."""
    last = answered_by(scene, plan)
    if last is None or last.id < plan.id:
        return False
    from_day = shifted(plan.day, -EARLY) if plan.kind in CARE_KINDS else plan.told
    return last.fields.get("plan") == plan.id or last.day >= from_day
