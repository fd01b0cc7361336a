"""From the journal to what bears on the stock of a feeder: bought, counted, thrown out, and fed to the animals since."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from bot.answers.heads import count_of, number_of
from bot.answers.view import Target, View
from bot.care.feeder_stock import Move
from bot.care.headcount import Number
from bot.language.roster_index import prey_in
from storage import journal
from storage.asides import notes_with
from storage.journal import EntryRow, Subject
from storage.roster import OccupantRow

ADDED, LEFT, LOST, ORDERED, LOW = "added", "left", "lost", "ordered", "low"
MOVES = {ADDED: "got", LEFT: "left", LOST: "died"}
MOVES_AT_HOME = {"arrival": "got", "count": "left", "death": "died", "departure": "died"}

Place = tuple[datetime, int]


@dataclass(frozen=True, slots=True)
class Told:
    """A move of a stock with the entry that tells it; `entry` None: the number given when a colony was set up."""

    move: Move
    entry: EntryRow | None
    at: Place


@dataclass(frozen=True, slots=True)
class Store:
    """One feeder: its name as prey, the colony on the roster it is (None: a box of bought ones), and its notes."""

    feeder: str
    colony: OccupantRow | None
    notes: tuple[EntryRow, ...]

    @property
    def name(self) -> str:
        """The name it is told under."""
        return self.feeder if self.colony is None else self.colony.name


def stores(view: View) -> list[Store]:
    """Every feeder of which a stock was told, and every colony of one on the roster."""
    notes: dict[str, list[EntryRow]] = {}
    for entry in notes_with(view.session, view.collection_id, ("stock",)):
        notes.setdefault(str(entry.fields.get("feeder")), []).append(entry)
    at_home = colonies(view)
    return [Store(feeder, at_home.get(feeder), tuple(notes.get(feeder, ()))) for feeder in sorted({*notes, *at_home})]


def colonies(view: View) -> Mapping[str, OccupantRow]:
    """The living colonies of feeders by their prey, told by their own names or their place's, where there is one of a prey."""
    places = {row.id: row.name for row in view.roster.enclosures}
    found: dict[str, list[OccupantRow]] = {}
    for one in view.roster.occupants:
        if one.kind == "group" and one.ended_on is None:
            for prey in _bred((one.name, *one.aliases), places.get(one.enclosure_id or 0, "")):
                found.setdefault(prey, []).append(one)
    return {prey: rows[0] for prey, rows in found.items() if len(rows) == 1}


def _bred(names: Sequence[str], place: str) -> set[str]:
    """The prey that a colony's own names speak of, else its place's; a general word beside a narrower one says nothing."""
    preys = {prey for name in names for prey in prey_in(name)} or set(prey_in(place))
    return {prey for prey in preys if not any(other.endswith(f" {prey}") for other in preys)}


def same_feeder(prey: object, feeder: str, others: Iterable[str]) -> bool:
    """Whether prey as fed is of a store: the same, or its general word ("roach") where no other store fits that too."""
    if not isinstance(prey, str):
        return False
    if prey == feeder:
        return True
    fits = [other for other in others if other == prey or other.endswith(f" {prey}") or prey.endswith(f" {other}")]
    return fits == [feeder]


def told_of(view: View, store: Store, feeders: Sequence[str]) -> list[Told]:
    """The moves of a store in the order in which they happened, with the feedings since the first of them."""
    told = sorted([*_of_notes(store), *_of_colony(view, store)], key=lambda one: one.at)
    if not told:
        return []
    fed = _feedings(view, store, feeders, told[0].at)
    return [*_before(told[0]), *sorted([*told, *fed], key=lambda one: one.at)]


def _before(first: Told) -> list[Told]:
    """Nothing was in the box before the first lot that was told of."""
    return [Told(Move("left", first.move.on, (0, 0)), None, first.at)] if first.move.what == "got" else []


def fed_between(view: View, store: Store, feeders: Sequence[str], since: date, until: date) -> list[EntryRow]:
    """The feedings with a feeder, oldest first."""
    found = journal.between(view.session, view.collection_id, since, until, kinds=("feeding",))
    colony = None if store.colony is None else Subject(occupant_id=store.colony.id)
    return [
        entry
        for entry in found
        if same_feeder(entry.fields.get("prey"), store.feeder, feeders) and colony not in entry.subjects
    ]


def used(view: View, entry: EntryRow) -> Number | None:
    """How many a feeding took, as a range.

    For each head times the heads; for each of several places told together once a place; several without "each" had one
    lot together, or one each. What was refused or left over may have gone back into the box, or not.
    """
    offered = _offered(view, entry)
    if offered is None:
        return None
    low, high = offered
    if entry.fields.get("outcome") == "refused":
        return 0, high
    left = _pair(entry.fields.get("uneaten"))
    return max(0, (low or 0) - (left[1] or left[0] or 0)) if left else low, high


def _offered(view: View, entry: EntryRow) -> Number | None:
    quantity = entry.fields.get("quantity")
    if not quantity or quantity[0] is None:
        return None
    low, high = int(quantity[0]), None if quantity[1] is None else int(quantity[1])
    places = max(1, len(entry.subjects))
    if entry.fields.get("each") and places > 1:
        return low * places, None if high is None else high * places
    if entry.fields.get("each"):
        least, most = _heads(view, entry)
        return low * least, None if high is None or most is None else high * most
    return low, None if high is None else high * places


def _of_notes(store: Store) -> Iterator[Told]:
    for entry in store.notes:
        what = MOVES.get(str(entry.fields.get("stock")))
        if what is not None and entry.on is not None:
            yield Told(Move(what, entry.on, _pair(entry.fields.get("pieces"))), entry, _at(entry))


def _of_colony(view: View, store: Store) -> Iterator[Told]:
    if store.colony is None:
        return
    target = Target(occupant=store.colony)
    found = view.history(target, (*MOVES_AT_HOME, "placed"), limit=100_000)
    for entry in found:
        if entry.kind in MOVES_AT_HOME and entry.on is not None:
            yield Told(Move(MOVES_AT_HOME[entry.kind], entry.on, number_of(entry)), entry, _at(entry))
    if store.colony.count is not None:
        start = next((entry for entry in reversed(found) if entry.kind == "placed"), None)
        on = start.on if start is not None and start.on else view.today
        first = datetime.min, 0  # noqa: DTZ901 - local wall time, which has no zone
        yield Told(Move("left", on, (store.colony.count, store.colony.count)), None, _at(start) if start else first)


def _feedings(view: View, store: Store, feeders: Sequence[str], since: Place) -> Iterator[Told]:
    found = fed_between(view, store, feeders, since[0].date() if since[1] else date.min, view.today)
    numbers = [number for entry in found if (number := used(view, entry)) is not None]
    usual = _usual(numbers)
    for entry in found:
        if entry.on is not None and _at(entry) >= since:
            yield Told(Move("used", entry.on, used(view, entry) or usual), entry, _at(entry))


def _usual(numbers: Sequence[Number]) -> Number | None:
    """From the least to the most that a feeding took, for one told without a number."""
    highs = [high for _low, high in numbers]
    if not numbers or None in highs:
        return None
    return min(low or 0 for low, _high in numbers), max(high for high in highs if high is not None)


def _heads(view: View, entry: EntryRow) -> tuple[int, int | None]:
    low, high = 0, 0
    open_ended = False
    for subject in entry.subjects:
        rows = [one for one in view.roster.occupants if one.id == subject.occupant_id]
        rows = rows or list(view.residents(subject.enclosure_id or 0))
        for row in rows:
            count = count_of(view, row)
            low += max(1, count.low)
            open_ended = open_ended or count.high is None
            high += count.high or 0
    return max(1, low), None if open_ended else max(1, high)


def _pair(value: object) -> Number | None:
    if not isinstance(value, list | tuple) or len(value) != 2:
        return None
    low, high = value
    return None if low is None else int(low), None if high is None else int(high)


def _at(entry: EntryRow) -> Place:
    return entry.moment or datetime.min, entry.origin_id  # noqa: DTZ901 - local wall time, which has no zone
