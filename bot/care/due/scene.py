"""One ward at one moment, made ready for the reckoning: its facts by kind, its sheet with the keeper's rules put in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from bot.care.due.model import Away, Ward
from bot.care.facts import Fact, middle, order
from bot.care.rules import Rules, effective, rules_of
from bot.care.sheet import CareSheet, Row

BODY_OF_LEGSPAN = 0.4
"""The body is about two fifths of the leg span across (common practice)."""


@dataclass(frozen=True, slots=True)
class Body:
    """A body length in mm and the measurement that says so; `from_legspan`: worked out from the leg span."""

    mm: float
    fact: Fact
    from_legspan: bool = False


@dataclass(frozen=True, slots=True)
class Scene:
    """A ward at a moment. `kinds` are its facts by kind, newest first; `row` is the sheet's row for its size."""

    ward: Ward
    sheet: CareSheet
    rules: Rules
    now: datetime
    today: date
    away: Sequence[Away]
    kinds: dict[str, list[Fact]]
    body: Body | None
    row: Row

    def last(self, kind: str) -> Fact | None:
        """The latest fact of a kind."""
        found = self.kinds.get(kind)
        return found[0] if found else None

    def since(self, mark: Fact, *kinds: str) -> list[Fact]:
        """The facts of some kinds that came after another, newest first within each kind."""
        bound = order(mark)
        return [fact for kind in kinds for fact in self.kinds.get(kind, ()) if order(fact) > bound]


_NO_RULES = Rules()


def scene_of(ward: Ward, now: datetime, away: Sequence[Away]) -> Scene:
    """Make a ward ready."""
    kinds: dict[str, list[Fact]] = {}
    for fact in ward.facts:
        kinds.setdefault(fact.kind, []).append(fact)
    rules = rules_of(ward.rules) if ward.rules else _NO_RULES
    sheet = effective(ward.sheet, rules) if ward.rules else ward.sheet
    body = next(bodies(kinds.get("measurement", ())), None) if "measurement" in kinds else None
    return Scene(ward, sheet, rules, now, now.date(), away, kinds, body, sheet.row(body.mm if body else None))


def bodies(measurements: Sequence[Fact]) -> Iterator[Body]:
    """The body lengths that measurements tell, newest first: measured, or worked out from the leg span."""
    for fact in measurements:
        value = middle(fact.fields.get("value"))
        measure = fact.fields.get("measure")
        if value is None:
            continue
        if measure == "body":
            yield Body(value, fact)
        elif measure == "legspan":
            yield Body(value * BODY_OF_LEGSPAN, fact, from_legspan=True)
