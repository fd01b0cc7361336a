"""A second due engine, plain and slow: no index, no shared helpers, every question asked anew of the whole list of facts.

It takes the same ward and says for each task (kind, state, earliest, latest, until, hold, plan). Days of the calendar are
found by walking it day by day, and rules by going through everything that was told, from the beginning.
"""

from __future__ import annotations

from calendar import monthrange
from datetime import date
from math import ceil, floor

from bot.care.due import Fact
from bot.care.sheet import Sourced, Span
from tests.care.plain_rules import (
    DAY,
    SEEN,
    SHEET_KINDS,
    WEEKDAYS,
    PlainRules,
    Row,
    eats,
    mean,
    named,
    when,
)


class PlainEngine(PlainRules):
    """All that the plain engine knows: the ward, the moment, the holidays."""

    def tasks(self) -> list[Row]:
        if self.ward.empty:
            return []
        plans = self.plans()
        taken = [plan.kind for plan in plans if self.plan_day(plan) <= self.today]
        rows = self.leftovers()
        if self.ward.kind != "place":
            rows += [row for row in self.sheet_tasks() if row[6] is not None or row[0] not in taken]
        rows += [
            self.own_repeat(plan)
            for plan in self.repeats()
            if self.ward.kind == "place" or named(self.kind_of(plan)) not in SHEET_KINDS
        ]
        rows += self.look_in() + self.size()
        for plan in plans:
            day = self.plan_day(plan)
            rows.append(self.row(plan.kind, (day, day), [], plan))
        return rows

    # Tasks of the sheet.

    def sheet_tasks(self) -> list[Row]:
        sheet = self.ward.sheet
        rows = [self.round("feeding", sheet.rows[0].feeding, self.feeding_holds())]
        rows += self.misting()
        if sheet.watering or self.repeat_for("watering"):
            rows.append(self.round("watering", sheet.watering, []))
        full = (
            self.round("cleaning", sheet.full_clean, [], full=True)
            if sheet.full_clean or self.repeat_for("cleaning", full=True)
            else None
        )
        days = self.round_days("cleaning", sheet.full_clean, full=True) if full else None
        if (sheet.spot_clean or self.repeat_for("cleaning")) and not (days and days[0] <= self.today):
            rows.append(self.round("cleaning", sheet.spot_clean, []))
        rows += [full] if full else []
        own = self.repeat_for("recount")
        if own or (sheet.recount and self.ward.kind == "group"):
            rows.append(self.round("recount", sheet.recount, []))
        return rows

    def misting(self) -> list[Row]:
        sheet = self.ward.sheet
        if sheet.misting is None and self.repeat_for("misting") is None:
            return []
        days = self.round_days("misting", sheet.misting)
        due = days is not None and days[0] <= self.today
        return [self.round("misting", sheet.misting, self.damp() if due else [])]

    def acts(self, kind: str, *, full: bool) -> list[Fact]:
        if kind == "recount":
            return [fact for fact in self.facts if fact.kind in ("count", "move") and fact.fields.get("count")]
        return [fact for fact in self.facts if fact.kind == kind and (not full or fact.fields.get("scope") == "full")]

    def round_days(self, kind: str, interval: Sourced[Span] | None, *, full: bool = False) -> tuple[date, date] | None:
        plan = self.repeat_for(kind, full=full)
        acts = [fact.moment.date() for fact in self.acts(kind, full=full)][-1:]
        if plan is not None:
            return self.repeat_days(plan, max([*acts, *self.skipped(kind, plan)], default=None))
        since = self.ward.since
        if since is not None and (not acts or (kind in ("misting", "watering", "cleaning") and since > acts[0])):
            acts = [since]
        bases = [*acts, *self.skipped(kind, None)]
        low, high = interval.value if interval and kind != "feeding" else self.feeding_span()
        return (max(bases) + floor(max(1, low)) * DAY, max(bases) + ceil(max(1, high)) * DAY) if bases else None

    def round(
        self, kind: str, interval: Sourced[Span] | None, holds: list[tuple[date, str]], *, full: bool = False
    ) -> Row:
        days = self.round_days(kind, interval, full=full)
        return self.row(kind, days, holds, self.repeat_for(kind, full=full))

    def repeat_days(self, plan: Fact, last: date | None) -> tuple[date, date]:
        every = plan.fields["every_days"]
        start = self.plan_day(plan)
        weekdays = [number for number, name in enumerate(WEEKDAYS) if f"{name}day" in plan.words]
        if every % 7 == 0 and weekdays:
            slot = start
            while slot.weekday() != weekdays[0]:
                slot += DAY
            while last is not None and slot <= last + DAY:
                slot += every * DAY
            return slot, slot
        if every % 30 == 0 and "month_day" in plan.fields:
            day = start
            while not self.is_slot(day, plan.fields["month_day"]) or (last is not None and day <= last + DAY):
                day += DAY
            return day, day
        if last is None or (plan.on is not None and last < plan.on - DAY):
            return start, start
        return last + max(1, floor(every)) * DAY, last + max(1, ceil(every)) * DAY

    def is_slot(self, day: date, wanted: int) -> bool:
        return day.day == min(wanted, monthrange(day.year, day.month)[1])

    def own_repeat(self, plan: Fact) -> Row:
        acts = [fact.moment.date() for fact in self.acts_for(plan)][-1:]
        days = self.repeat_days(plan, max([*acts, *self.skipped(self.kind_of(plan), plan)], default=None))
        return self.row(self.kind_of(plan), days, [], plan)

    # Holds.

    def later(self, mark: Fact, *kinds: str) -> list[Fact]:
        return [fact for fact in self.facts if when(fact) > when(mark) and (not kinds or fact.kind in kinds)]

    def feeding_holds(self) -> list[tuple[date, str]]:
        row, found = self.row_now(), []
        moved = self.ward.moved
        settle = self.rule("settling_days", self.ward.sheet.settling_days)
        if moved and settle is not None and not any(map(eats, self.later(moved))):
            found.append((moved.moment.date() + settle * DAY, "settling"))
        moults = [fact for fact in self.facts if fact.kind == "moult"]
        if moults and row.after_moult and not self.few(moults[-1]) and not self.over(moults[-1]):
            found.append((moults[-1].moment.date() + row.after_moult.value[1] * DAY, "moult"))
        dark = [fact for fact in self.facts if "premoult" in fact.fields.get("signs", ())]
        if dark and row.premoult and not self.later(dark[-1], "moult") and not any(map(eats, self.later(dark[-1]))):
            found.append((dark[-1].moment.date() + row.premoult.value * DAY, "premoult"))
        found += self.refusing(moults[-1:])
        return [hold for hold in found if self.today < hold[0]]

    def few(self, moult: Fact) -> bool:
        if self.ward.kind != "group" or self.ward.count is None or "number" not in moult.fields:
            return False
        return mean(moult.fields["number"]) < self.ward.count[0] / 2

    def over(self, moult: Fact) -> bool:
        later = self.later(moult)
        return any(map(eats, later)) or any("fangs dark" in fact.words for fact in [moult, *later])

    def refusing(self, moults: list[Fact]) -> list[tuple[date, str]]:
        feedings = [fact for fact in self.facts if fact.kind == "feeding"]
        rows: list[list[Fact]] = [[]]
        for fact in feedings:
            if fact.fields.get("outcome") == "refused":
                rows[-1].append(fact)
            else:
                rows.append([])
        habit = max([2, *(len(row) for row in rows[:-1])])
        now = [fact for fact in rows[-1] if not moults or when(fact) > when(moults[0])]
        if len(now) <= habit or any(map(eats, self.later(now[-1]))):
            return []
        return [(now[-1].moment.date() + ceil(max(1, 2 * self.feeding_span()[1])) * DAY, "refusals")]

    def damp(self) -> list[tuple[date, str]]:
        band = self.rule("humidity_pct", self.ward.sheet.humidity_pct)
        reads = [fact for fact in self.facts if "humidity_pct" in fact.fields and fact.moment <= self.now]
        if band is None or not reads or self.now - reads[-1].moment > DAY:
            return []
        if mean(reads[-1].fields["humidity_pct"]) < band[0]:
            return []
        return [(reads[-1].moment.date() + DAY, "humidity")]

    # What comes once.

    def leftovers(self) -> list[Row]:
        fed = [fact for fact in self.facts if fact.kind == "feeding"][-1:]
        for fact in fed if self.ward.kind != "place" else []:
            state, prey = fact.fields.get("prey_state"), fact.fields.get("prey")
            by_size = state is None and bool(self.sizes()) and prey in ("cricket", "roach") and self.live_by_sheet()
            live = (state == "live" or by_size) and prey != "fruit fly"
            seen = any(later.kind == "cleaning" or eats(later) for later in self.later(fact))
            day = fact.moment.date()
            if live and "outcome" not in fact.fields and not seen and self.today - day <= 7 * DAY:
                return [self.row("leftovers", (day + DAY, day + DAY), [], None)]
        return []

    def live_by_sheet(self) -> bool:
        state = self.row_now().prey_state
        return state is not None and state.value == "live"

    def size(self) -> list[Row]:
        sizes = self.sizes()
        if not sizes or self.ward.kind == "nobody":
            return []
        fact, mm = sizes[-1]
        day = fact.moment.date()
        earlier = [size for one, size in sizes if one.moment.date() < day]
        old = self.row_for(earlier[-1] if earlier else self.ward.sheet.assumed_mm.value)
        new = self.row_for(mm)
        grown = self.ward.sheet.rows.index(new) > self.ward.sheet.rows.index(old)
        changed = grown and old.prey_state and new.prey_state and old.prey_state.value != new.prey_state.value
        return [self.row("size", (day, day + DAY), [], None)] if changed and self.today - day <= DAY else []

    def look_in(self) -> list[Row]:
        moved, days = self.ward.moved, self.rule("look_in_days", self.ward.sheet.look_in_days)
        if moved is None or days is None:
            return []
        start = moved.moment.date()
        told = [fact for fact in self.facts if fact.kind in SEEN and fact.moment.date() > start]
        told = [fact for fact in told if fact.kind != "feeding" or eats(fact)]
        shown = {
            fact.moment.date() for fact in told if fact.kind != "observation" or set(fact.fields["signs"]) - {"hiding"}
        }
        if len(shown) >= 2 or any(map(eats, told)):
            return []
        day = self.today
        while day <= start + max(days) * DAY:
            planned = (day - start).days in days
            if planned and not (day == self.today and any(fact.moment.date() == day for fact in told)):
                return [self.row("look-in", (day, day), [], None)]
            day += DAY
        return []

    # State.

    def row(self, kind: str, days: tuple[date, date] | None, holds: list[tuple[date, str]], plan: Fact | None) -> Row:
        state = "not yet" if days is None or self.today < days[0] else "due" if self.today <= days[1] else "overdue"
        active: list[tuple[date | None, str]] = [*holds]
        stopping = "check" if kind == "look-in" else kind
        for stop in reversed(self.standing_stops() if kind != "leftovers" else []):
            end = self.stop_end(stop)
            older = plan is None or when(plan) < when(stop)
            if self.stops_task(stop, stopping) and older and (end is None or self.today < end):
                active.append((end, "stop"))
                break
        for away in self.away:
            if state in ("due", "overdue") and away.since <= self.today <= away.until:
                active.append((away.until + DAY, "away"))
                break
        number = plan.id if plan else None
        if not active:
            return (kind, state, *(days or (None, None)), None, None, number)
        until, why = max(active, key=lambda hold: hold[0] or date.max)
        if until is None or days is None:
            return (kind, "held", None, None, until, why, number)
        return (kind, "held", max(days[0], until), max(days[1], until), until, why, number)
