"""A short way to tell a ward's story in tests: facts by their day in March 2026."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from itertools import count

from bot.care.due import Away, Fact, Task, Ward, tasks
from bot.care.facts import order
from bot.care.sheet import suggest

MARCH = date(2026, 3, 1)


def day(number: int) -> date:
    """A day of March 2026; 0 is the last of February."""
    return MARCH + timedelta(days=number - 1)


class Tale:
    """What was told of group B, dwarf tarantulas in tub 4 unless said otherwise."""

    def __init__(self, species: str | None = "Neoholothele incei", kind: str = "group", heads: int | None = 42) -> None:
        self.sheet = suggest(species, kind, "B")
        self.kind, self.heads = kind, heads
        self.logs: list[Fact] = []
        self.plans: list[Fact] = []
        self.moved: Fact | None = None
        self.numbers = count(1)

    def log(self, kind: str, on: int, words: str = "", at: time | None = None, **fields: object) -> Fact:
        moment = datetime.combine(day(on), at or time(12))
        fact = Fact(next(self.numbers), kind, "log", day(on), moment, fields, words, at)
        self.logs.append(fact)
        if kind == "move":
            self.moved = fact
        return fact

    def plan(self, kind: str, told: int, on: int | None = None, words: str = "", **fields: object) -> Fact:
        moment = datetime.combine(day(told), time(19))
        fact = Fact(next(self.numbers), kind, "plan", None if on is None else day(on), moment, fields, words)
        self.plans.append(fact)
        return fact

    def ward(self, *, empty: bool = False) -> Ward:
        return Ward(
            name="group B",
            place="tub 4",
            kind=self.kind,
            sheet=self.sheet,
            since=self.moved.on if self.moved else day(-100),
            moved=self.moved,
            facts=tuple(sorted(self.logs, key=order, reverse=True)),
            rules=tuple(self.plans),
            count=None if self.heads is None else (self.heads, self.heads),
            empty=empty,
        )

    def due(self, today: int, at: time = time(8), away: tuple[Away, ...] = ()) -> tuple[Task, ...]:
        return tasks(self.ward(), datetime.combine(day(today), at), away)

    def task(self, kind: str, today: int, at: time = time(8), away: tuple[Away, ...] = ()) -> Task:
        """The one task of a kind; of cleanings the spot clean."""
        found = [task for task in self.due(today, at, away) if task.kind == kind and task.does.get("scope") != "full"]
        assert len(found) == 1, (kind, found)
        return found[0]

    def kinds(self, today: int) -> set[str]:
        return {task.kind for task in self.due(today)}


def fed(tale: Tale, *days: int, outcome: str | None = "ate", **fields: object) -> None:
    """Tell of a feeding on each of some days, with its outcome unless that is None."""
    told = {**fields, **({} if outcome is None else {"outcome": outcome})}
    for on in days:
        tale.log("feeding", on, words="", at=None, **told)
