"""What the reckoning works from: entries of the journal as plain facts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Any


@dataclass(frozen=True, slots=True)
class Fact:
    """One entry of the journal that still holds.

    `id` is its number in the journal, which tells what was told after what. `mood` is log or plan. `on` is the local day
    on which it happened, or for which it is planned (None: a plan without a day). `moment` is the local wall time by
    which facts are ordered: when it happened, for a plan when it was told.
    """

    id: int
    kind: str
    mood: str
    on: date | None
    moment: datetime
    fields: Mapping[str, Any] = field(default_factory=dict)
    words: str = ""
    at: time | None = None
    part: str | None = None

    @property
    def day(self) -> date:
        """The day it happened or is planned for; a plan without a day has the day on which it was told."""
        return self.on or self.moment.date()

    @property
    def told(self) -> date:
        """For a plan, the local day on which it was told."""
        return self.moment.date()


def order(fact: Fact) -> tuple[datetime, int]:
    """Place a fact among others: by its moment, then by what was told first."""
    return fact.moment, fact.id


def middle(value: object) -> float | None:
    """Take one number for a range [low, high]; an open end leaves its low; None where the range says no number."""
    if isinstance(value, int | float):
        return float(value)
    if not isinstance(value, list | tuple) or not value or value[0] is None:
        return None
    low = float(value[0])
    return low if len(value) < 2 or value[1] is None else (low + float(value[1])) / 2


def ate(fact: Fact) -> bool:
    """Whether a fact shows that they were eating: food taken in whole or in part, or a meal shared."""
    if fact.kind == "feeding":
        return fact.fields.get("outcome") in {"ate", "partly"}
    return fact.kind == "observation" and "eating_together" in signs(fact)


def signs(fact: Fact) -> frozenset[str]:
    """The signs of a sighting."""
    return frozenset(fact.fields.get("signs") or ())
