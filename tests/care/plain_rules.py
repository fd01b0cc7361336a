"""The first half of the plain second engine: the keeper's own words, asked anew from the beginning, and the sizes told."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TypeVar

from bot.care.due import Away, Fact, Ward
from bot.care.sheet import Row as SheetRow
from bot.care.sheet import Sourced

T = TypeVar("T")
DAY = timedelta(days=1)
Row = tuple[str, str, date | None, date | None, date | None, str | None, int | None]
SHEET_KINDS = ("feeding", "misting", "watering", "cleaning", "recount")
SEEN = ("feeding", "observation", "moult", "count", "measurement", "sac", "pairing")
LOOKED_IN = ("observation", "feeding", "moult", "count", "death", "sac")
CARE = ("feeding", "misting", "watering", "cleaning", "count", "measurement", "reading", "check")
WEEKDAYS = ["mon", "tues", "wednes", "thurs", "fri", "satur", "sun"]


def when(fact: Fact) -> tuple[datetime, int]:
    return fact.moment, fact.id


def named(kind: str | None) -> str | None:
    return "recount" if kind == "count" else kind


def eats(fact: Fact) -> bool:
    if fact.kind == "feeding":
        return fact.fields.get("outcome") in ("ate", "partly")
    return fact.kind == "observation" and "eating_together" in fact.fields.get("signs", ())


def mean(pair: tuple[float, float | None]) -> float:
    return float(pair[0]) if pair[1] is None else (pair[0] + pair[1]) / 2


class PlainRules:
    """A ward at a moment, and what the keeper has laid down for it."""

    def __init__(self, ward: Ward, now: datetime, away: tuple[Away, ...]) -> None:
        self.ward, self.now, self.today, self.away = ward, now, now.date(), away
        self.told = sorted(ward.rules, key=when)
        self.facts = sorted(ward.facts, key=when)

    # What the keeper has laid down.

    def cleared(self) -> tuple[datetime, int]:
        """When the latest "back to the care sheet" was told; before all else if it never was."""
        backs = [when(fact) for fact in self.told if fact.kind == "rule" and fact.fields.get("back")]
        return max(backs, default=(datetime.min, 0))  # noqa: DTZ901 - the keeper's clock

    def all_stops(self) -> list[Fact]:
        return [fact for fact in self.told if fact.kind == "stop"]

    def stop_end(self, stop: Fact) -> date | None:
        if "until" in stop.fields:
            return date.fromisoformat(stop.fields["until"])
        return stop.on

    def stops_task(self, stop: Fact, kind: str) -> bool:
        return stop.fields.get("of") is None or named(stop.fields["of"]) == named(kind)

    def standing_stops(self) -> list[Fact]:
        found = []
        for stop in self.all_stops():
            of = named(stop.fields.get("of"))
            later = [fact for fact in self.told if when(fact) > when(stop)]
            again = [fact for fact in later if fact.kind == "stop" and fact.fields.get("of") == stop.fields.get("of")]
            repeated = [
                fact for fact in later if of is not None and self.is_repeat(fact) and named(self.kind_of(fact)) == of
            ]
            if when(stop) > self.cleared() and not again and not repeated:
                found.append(stop)
        return found

    def kind_of(self, fact: Fact) -> str:
        return str(fact.fields["task"]) if fact.kind == "rule" else fact.kind

    def is_repeat(self, fact: Fact) -> bool:
        return "every_days" in fact.fields and (fact.kind != "rule" or "task" in fact.fields)

    def ended(self, plan: Fact) -> bool:
        """Whether a stop without an end came after the plan."""
        return any(
            when(stop) > when(plan) and self.stop_end(stop) is None and self.stops_task(stop, self.kind_of(plan))
            for stop in self.all_stops()
        )

    def name_of_task(self, plan: Fact) -> tuple[object, ...]:
        kind = named(self.kind_of(plan))
        if kind == "cleaning":
            return kind, plan.fields.get("scope") == "full"
        return kind, plan.fields.get("measure") if kind == "measurement" else plan.words if kind == "note" else ""

    def repeats(self) -> list[Fact]:
        found: dict[tuple[object, ...], Fact] = {}
        for plan in self.told:
            if not self.is_repeat(plan) or self.ended(plan):
                continue
            if when(plan) < self.cleared() and named(self.kind_of(plan)) in SHEET_KINDS:
                continue
            found[self.name_of_task(plan)] = plan
        return list(found.values())

    def repeat_for(self, kind: str, *, full: bool = False) -> Fact | None:
        wanted = (kind, full) if kind == "cleaning" else (kind, "")
        return next((plan for plan in self.repeats() if self.name_of_task(plan) == wanted), None)

    def rule(self, name: str, default: Sourced[T] | None) -> T | None:
        for fact in reversed(self.told):
            if fact.kind == "rule" and name in fact.fields and when(fact) > self.cleared():
                found: T = fact.fields[name]
                return found
        return default.value if default is not None else None

    def plan_day(self, plan: Fact) -> date:
        return plan.on or plan.moment.date()

    def plans(self) -> list[Fact]:
        found = []
        for plan in self.told:
            if plan.kind in ("stop", "rule", "skip", "away") or self.is_repeat(plan) or self.ended(plan):
                continue
            skipped = any(fact.kind == "skip" and fact.fields.get("plan") == plan.id for fact in self.told)
            if not skipped and not self.answered(plan):
                found.append(plan)
        return found

    def acts_for(self, plan: Fact) -> list[Fact]:
        kind = self.kind_of(plan)
        kinds = LOOKED_IN if kind == "check" else () if kind == "note" else (kind,)
        measure = plan.fields.get("measure")
        return [
            fact
            for fact in self.facts
            if fact.fields.get("plan") == plan.id
            or (fact.kind in kinds and measure in (None, fact.fields.get("measure")))
        ]

    def answered(self, plan: Fact) -> bool:
        acts = self.acts_for(plan)
        if not acts or acts[-1].id < plan.id:
            return False
        if acts[-1].fields.get("plan") == plan.id:
            return True
        day = acts[-1].moment.date()
        return day >= self.plan_day(plan) - DAY if plan.kind in CARE else day >= plan.moment.date()

    def skipped(self, kind: str, plan: Fact | None) -> list[date]:
        found = []
        for fact in self.told:
            if fact.kind == "skip":
                this = plan is not None and fact.fields.get("plan") == plan.id
                kinds = "of" in fact.fields and named(fact.fields["of"]) == named(kind)
                found += [self.plan_day(fact)] if this or kinds else []
        return found

    # The size, and the row of the sheet for it.

    def sizes(self) -> list[tuple[Fact, float]]:
        share = {"body": 1.0, "legspan": 0.4}
        return [
            (fact, mean(fact.fields["value"]) * share[fact.fields["measure"]])
            for fact in self.facts
            if fact.kind == "measurement" and fact.fields.get("measure") in share
        ]

    def row_for(self, mm: float) -> SheetRow:
        for row in self.ward.sheet.rows:
            if row.upto_mm is None or mm < row.upto_mm:
                return row
        raise AssertionError("a sheet's last row has no limit")

    def row_now(self) -> SheetRow:
        sizes = self.sizes()
        return self.row_for(sizes[-1][1] if sizes else self.ward.sheet.assumed_mm.value)

    def feeding_span(self) -> tuple[float, float]:
        plan = self.repeat_for("feeding")
        every = plan.fields["every_days"] if plan else None
        low, high = (every, every) if every is not None else self.row_now().feeding.value
        return low, high
