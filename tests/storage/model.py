"""A simple model of the journal, in memory and by brute force, to hold the real one against.

It sweeps through all entries for every question, in one pass over all occupants, where the real one walks indexes from each occupant.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time

NOON = time(12)
Position = tuple[datetime, int, int]


@dataclass(frozen=True)
class Act:
    """An entry of the model; `subjects` are ("occupant" | "enclosure", number), `to` the number of an enclosure."""

    id: int
    origin: int
    kind: str
    mood: str
    on: date | None
    at: time | None
    subjects: tuple[tuple[str, int], ...]
    to: int | None = None
    part_of_group: bool = False
    makes: int | None = None

    @property
    def position(self) -> Position:
        """Place in the order of a history."""
        day = self.on or date.min
        return (datetime.combine(day, time.min if self.on is None else self.at or NOON), self.origin, self.id)

    @property
    def effect(self) -> Position:
        """Place in the order of placings: a first placing holds for its whole day."""
        if self.kind == "placed":
            return (datetime.combine(self.on or date.min, time.min), self.origin, self.id)
        return self.position


@dataclass(frozen=True)
class LivedIn:
    """A stay of the model: from one (moment, origin) up to another."""

    enclosure: int
    start: tuple[datetime, int]
    since: date | None
    end: tuple[datetime, int] = (datetime.max, 0)  # noqa: DTZ901 - local wall time
    until: date | None = None


@dataclass
class Model:
    """Acts in the order told, and which of them were taken back or corrected."""

    acts: list[Act] = field(default_factory=list)
    gone: set[int] = field(default_factory=set)

    def current(self) -> list[Act]:
        return [act for act in self.acts if act.id not in self.gone]

    def stays(self) -> dict[int, list[LivedIn]]:
        """Every stay of every occupant, by one sweep through time."""
        lived: dict[int, list[LivedIn]] = {}
        home: dict[int, int] = {}
        placing = [act for act in self.current() if act.mood == "log" and act.kind in {"placed", "move", "ended"}]
        for act in sorted(placing, key=lambda act: act.effect):
            for occupant, to in dict(_effects(act, dict(home))).items():
                if home.get(occupant) == to:
                    continue
                _turn(lived.setdefault(occupant, []), act, home.pop(occupant, None), to)
                if to is not None:
                    home[occupant] = to
        return lived

    def history(self, sort: str, number: int, kind: str | None = None) -> list[int]:
        """Ids of the current logged acts on an occupant or an enclosure, newest first."""
        lived = self.stays()
        found = [
            act
            for act in self.current()
            if act.mood == "log"
            and act.on is not None
            and kind in {None, act.kind}
            and _about(act, sort, number, lived)
        ]
        return [act.id for act in sorted(found, key=lambda act: act.position, reverse=True)]


def _effects(act: Act, home: Mapping[int, int]) -> Iterator[tuple[int, int | None]]:
    """Whom an act places, and where; None: nowhere."""
    if act.kind == "ended":
        yield from ((occupant, None) for occupant in _named(act, home))
    elif act.to is not None:
        if not act.part_of_group:
            yield from ((occupant, act.to) for occupant in _named(act, home))
        if act.makes is not None:
            yield act.makes, act.to


def _named(act: Act, home: Mapping[int, int]) -> list[int]:
    named = [number for sort, number in act.subjects if sort == "occupant"]
    places = [number for sort, number in act.subjects if sort == "enclosure"]
    return named + [occupant for occupant, place in home.items() if place in places]


def _turn(lived: list[LivedIn], act: Act, old: int | None, new: int | None) -> None:
    if old is not None:
        last = lived.pop()
        lived.append(LivedIn(last.enclosure, last.start, last.since, act.effect[:2], act.on))
    if new is not None:
        lived.append(LivedIn(new, act.effect[:2], act.on))


def _about(act: Act, sort: str, number: int, lived: Mapping[int, list[LivedIn]]) -> bool:
    made = () if act.makes is None else (("occupant", act.makes),)
    subjects = (*act.subjects, *made)
    if (sort, number) in subjects:
        return True
    others = [other for kind, other in subjects if kind != sort]
    pairs = [(number, other) if sort == "occupant" else (other, number) for other in others]
    return any(
        stay.enclosure == enclosure and stay.start <= act.position[:2] <= stay.end
        for occupant, enclosure in pairs
        for stay in lived.get(occupant, [])
    )
