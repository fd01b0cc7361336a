"""How long this keeper's animals of a kind usually take to show after a move, learned from the journal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from bot.answers.view import Target, View
from bot.care.days import shifted
from bot.care.due import Fact, Ward
from bot.care.settling import SIGHTINGS, first_shown, say_usual, usual_settling
from bot.care.sheet import PLAIN, suggest
from storage import journal
from storage.journal import EntryRow
from storage.roster import OccupantRow

MOVES = 12
"""So many of the newest moves are looked at: enough to learn from, and no more as the journal grows."""

MOVES_OF_EACH = 4

WITHIN = timedelta(days=30)
"""A sighting later than this after a move says nothing of settling."""


@dataclass(frozen=True, slots=True)
class Usual:
    """The keeper's own settling times as they stand at a view; those of one kind of animal are learned once."""

    view: View
    learned: dict[tuple[int, ...], str] = field(default_factory=dict)

    def say(self, ward: Ward) -> str:
        """Say it for animals like these: "your … groups usually show after 6 to 9 days, 4 moves"; empty under three moves."""
        alike = _alike(self.view, ward)
        key = tuple(one.id for one in alike)
        if key not in self.learned:
            self.learned[key] = _learned(self.view, ward, alike)
        return self.learned[key]


def _learned(view: View, ward: Ward, alike: list[OccupantRow]) -> str:
    moves = sorted((move for one in alike for move in _moves(view, one)), key=lambda move: move[0], reverse=True)
    learned = usual_settling(_wait(view, target, on, until) for on, until, target in moves[:MOVES])
    return say_usual(_who(alike, ward), learned) if learned else ""


def _alike(view: View, ward: Ward) -> list[OccupantRow]:
    """Animals, or groups, that go by the same care sheet; of those on the plain sheet only the same species."""
    own = next((one for one in view.roster.occupants if one.name == ward.name), None)
    if own is None:
        return []
    same_kind = [one for one in view.roster.occupants if one.kind == own.kind]
    sheet = _sheet(own)
    if sheet == PLAIN:
        return [one for one in same_kind if one.species == own.species and _sheet(one) == PLAIN]
    return [one for one in same_kind if _sheet(one) == sheet]


def _sheet(one: OccupantRow) -> str:
    return suggest(one.species, one.kind, one.name).key


def _who(alike: list[OccupantRow], ward: Ward) -> str:
    """Name them by their genus where it is one, else by the sheet: "Neoholothele groups"."""
    genera = {(one.species or "").partition(" ")[0] for one in alike}
    named = genera.pop() if len(genera) == 1 else ward.sheet.title
    return " ".join([*filter(None, [named if ward.sheet.key != PLAIN else ""]), f"{ward.kind}s"])


def _moves(view: View, one: OccupantRow) -> Iterator[tuple[date, date, Target]]:
    """The latest moves of the whole of them, each with the last day on which a sighting still tells of it."""
    rows = journal.last_of_kind(view.session, occupant_id=one.id, kind="move", limit=MOVES_OF_EACH)
    end = view.today
    for row in rows:
        if row.on is None or row.fields.get("part_of_group") or row.fields.get("joined"):
            continue
        yield row.on, min(end, shifted(row.on, WITHIN.days)), Target(occupant=one)
        end = row.on


def _wait(view: View, target: Target, on: date, until: date) -> int | None:
    moved = Fact(0, "move", "log", on, datetime.combine(on, datetime.min.time()))
    since = view.history(target, sorted(SIGHTINGS), since=shifted(on, 1), until=until)
    return first_shown(moved, (fact for row in since for fact in _fact(row)))


def _fact(row: EntryRow) -> Iterator[Fact]:
    if row.moment is not None:
        yield Fact(row.id, row.kind, row.mood, row.on, row.moment, row.fields, row.words)
