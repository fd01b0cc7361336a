"""What goes into the due engine and what comes out of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time
from typing import Any

from bot.care.facts import Fact
from bot.care.sheet import CareSheet

NOT_YET, DUE, OVERDUE, HELD = "not yet", "due", "overdue", "held"

ENTRY_KINDS: Mapping[str, str] = {
    "recount": "count",
    "leftovers": "cleaning",
    "look-in": "observation",
    "check": "observation",
}
"""Kinds of task that an entry of another kind answers, with that kind; a size is only told and asks for no entry."""


@dataclass(frozen=True, slots=True)
class Ward:
    """Somebody, or some place, that is cared for: one occupant in its enclosure, or an enclosure by itself.

    `kind` is group, animal or place. `sheet` is the care sheet as suggested, before the keeper's own rules. `since` is the
    first day of the present stay. `moved` is the latest move of the whole occupant (not its placing at set-up, nor a part
    split off). `facts` are entries of mood log, newest first: the last few of each kind and everything of the last 60
    days. `rules` are the entries of mood plan that still hold. `count` is the number of heads, high None for no upper end.
    `empty`: closed, or nobody lives there. `tags` are the enclosure's.
    """

    name: str
    place: str
    kind: str
    sheet: CareSheet
    since: date | None = None
    moved: Fact | None = None
    facts: tuple[Fact, ...] = ()
    rules: tuple[Fact, ...] = ()
    count: tuple[int, int | None] | None = None
    empty: bool = False
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Away:
    """The keeper is away: from `since` to `until`, both days included; `fact` is the entry's number."""

    since: date
    until: date
    fact: int = 0


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do for one ward, with its state and why.

    `kind` is feeding, misting, watering, cleaning, recount, look-in (after a move), leftovers (is live prey out?), size (a
    limit of the sheet was passed: told once), or the kind of a plan (check, measurement, move, note, …). `state` is "not
    yet", "due", "overdue" or "held".

    `earliest` and `latest` are the days between which it is due, holds reckoned in; None when nothing tells them.
    `reckoned` is the earliest day without the holds: a held task with `reckoned` still ahead need not be listed. `until` is
    the day on which a hold ends (None: with an event, or no hold), and `hold` what holds: settling, premoult, refusals,
    moult, humidity, stop or away. `reason` is in words with dates. `rests_on` are the entries' numbers, `plan` the number of
    the plan it comes from, `at` and `part` the time of day that the plan names. `does` are the fields that an entry for the
    act carries when it is done as proposed ({"amount": "light"}, {"scope": "full"}).
    """

    ward: str
    place: str
    kind: str
    state: str
    earliest: date | None
    latest: date | None
    until: date | None
    reason: str
    rests_on: tuple[int, ...] = ()
    plan: int | None = None
    at: time | None = None
    part: str | None = None
    reckoned: date | None = None
    hold: str | None = None
    does: Mapping[str, Any] = field(default_factory=dict)
