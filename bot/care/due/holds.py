"""What holds a task back though its interval has passed: settling, premoult, refusals, a moult, humidity, stops, holidays."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import takewhile
from math import ceil

from bot.care.days import shifted
from bot.care.due.scene import Scene
from bot.care.facts import Fact, ate, middle, order, signs
from bot.care.rules import covers
from bot.care.words import nth, number, short_day, span

LEAST_HABIT = 2
"""Refusals in a row that mean nothing in any animal."""

_ON_ITS_BACK = re.compile(
    r"\bon (?:it'?s|her|his|their|the) backs?\b|\bupside down\b|\bbelly up\b|\bflipped\b", re.IGNORECASE
)
_FANGS_DARK = re.compile(r"\bfangs?\b.*\b(?:dark|black|hard)|\b(?:dark|black|hard)\w* fangs?\b", re.IGNORECASE)
_NOT = re.compile(r"\b(?:not|no|never)\b|n't\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Hold:
    """What holds, up to but not including `until` (None: up to an event), why in words, and the facts it rests on."""

    what: str
    until: date | None
    because: str
    facts: tuple[Fact, ...] = ()

    def active(self, today: date) -> bool:
        """Whether it holds today."""
        return self.until is None or today < self.until


def feeding_holds(scene: Scene) -> list[Hold]:
    """All that holds feeding today, whether or not it would be due."""
    found = (_settling(scene), _moulted(scene), premoult(scene), _refusing(scene))
    return [hold for hold in found if hold is not None and hold.active(scene.today)]


def humidity_hold(scene: Scene) -> Hold | None:
    """Misting can wait where the latest humidity of the last 24 hours lies in the band, or above it."""
    band = scene.sheet.humidity_pct
    for fact in scene.kinds.get("reading", ()) if band else ():
        read = middle(fact.fields.get("humidity_pct"))
        if read is None or fact.moment > scene.now:
            continue
        if band is None or fact.moment < scene.now - timedelta(hours=24) or read < band.value[0]:
            return None
        where = "lies in" if read <= band.value[1] else "is above"
        words = f"{number(read)} % humidity read on {nth(fact.day, scene.today)} {where} {span(*band.value)} %"
        return Hold("humidity", fact.moment.date() + timedelta(days=1), words, (fact,))
    return None


def stop_hold(scene: Scene, kind: str, plan: Fact | None) -> Hold | None:
    """The keeper's own stop; a plan told after it stands."""
    for stop in reversed(scene.rules.stops):
        if covers(stop, kind) and (plan is None or order(plan) < order(stop.fact)):
            hold = Hold("stop", stop.until, f"no reminders, your words of {nth(stop.since, scene.today)}", (stop.fact,))
            if hold.active(scene.today):
                return hold
    return None


def away_hold(scene: Scene) -> Hold | None:
    """The keeper is away."""
    for away in scene.away:
        if away.since <= scene.today <= away.until:
            because = f"away {short_day(away.since, scene.today)} to {short_day(away.until, scene.today)}"
            return Hold("away", shifted(away.until, 1), because)
    return None


def premoult(scene: Scene) -> Hold | None:
    """Premoult signs hold feeding until a moult or a meal, at most for the time that the size may fast.

    Told of a group they hold the whole group: a sighting does not say how many show them.
    """
    limit = scene.row.premoult
    fact = next((one for one in scene.kinds.get("observation", ()) if "premoult" in signs(one)), None)
    if limit is None or fact is None or scene.since(fact, "moult") or _eaten(scene, fact):
        return None
    back = _ON_ITS_BACK.search(fact.words)
    seen = "on its back, moulting, do not touch," if back else "premoult signs"
    because = f"{seen} on {nth(fact.day, scene.today)}"
    if _refused_live(scene, fact) >= LEAST_HABIT:
        because += "; two refusals of live prey in premoult: if anything, offer pre-killed"
    return Hold("premoult", shifted(fact.day, limit.value), because, (fact,))


def _settling(scene: Scene) -> Hold | None:
    moved, wait = scene.ward.moved, scene.sheet.settling_days
    if moved is None or wait is None or _eaten(scene, moved):
        return None
    return Hold("settling", shifted(moved.day, wait.value), f"moved on {nth(moved.day, scene.today)}", (moved,))


def _moulted(scene: Scene) -> Hold | None:
    moult, wait = scene.last("moult"), scene.row.after_moult
    if moult is None or wait is None or few_moulted(scene, moult) or _eaten(scene, moult):
        return None
    told = [moult, *scene.since(moult, "observation", "note", "moult")]
    if any(_fangs_dark(fact) for fact in told):
        return None
    return Hold("moult", shifted(moult.day, wait.value[1]), f"moulted on {nth(moult.day, scene.today)}", (moult,))


def few_moulted(scene: Scene, moult: Fact) -> bool:
    """Whether a moult in a group is of less than half its heads: the others go on being fed."""
    moulted, count = middle(moult.fields.get("number")), scene.ward.count
    return scene.ward.kind == "group" and moulted is not None and count is not None and 2 * moulted < count[0]


def _refusing(scene: Scene) -> Hold | None:
    feedings, moult = scene.kinds.get("feeding", []), scene.last("moult")
    row = list(takewhile(_refused, feedings))
    current = [fact for fact in row if moult is None or order(fact) > order(moult)]
    habit = max(LEAST_HABIT, _longest(feedings[len(row) :]))
    if len(current) <= habit or _eaten(scene, current[0]):
        return None
    until = shifted(current[0].day, max(1, ceil(2 * scene.row.feeding.value[1])))
    because = f"{len(current)} refusals in a row, more than the usual {habit}, most often before a moult"
    return Hold("refusals", until, because, tuple(current))


def _longest(feedings: list[Fact]) -> int:
    longest = row = 0
    for fact in feedings:
        row = row + 1 if _refused(fact) else 0
        longest = max(longest, row)
    return longest


def _refused(fact: Fact) -> bool:
    return fact.fields.get("outcome") == "refused"


def _refused_live(scene: Scene, premoult_seen: Fact) -> int:
    """The refusals of live prey since premoult was seen, or on that day."""
    feedings = takewhile(lambda fact: fact.day >= premoult_seen.day, scene.kinds.get("feeding", ()))
    return sum(_refused(fact) and fact.fields.get("prey_state") == "live" for fact in feedings)


def _eaten(scene: Scene, mark: Fact) -> bool:
    return any(ate(fact) for fact in scene.since(mark, "feeding", "observation"))


def _fangs_dark(fact: Fact) -> bool:
    said = f"{fact.words} {fact.fields.get('text') or ''}"
    return bool(_FANGS_DARK.search(said)) and not _NOT.search(said)


def governing(holds: list[Hold]) -> Hold:
    """Of several holds, the one that lasts longest."""
    return max(holds, key=lambda hold: hold.until or date.max)
