"""What the due list of a large collection costs: against one plain read of the rows that it needs, and by the journal's age."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, insert, select

from bot.answers import View
from bot.answers.wards import due_list, make_round
from bot.app import SetClock
from bot.household import Household, opened
from bot.language.roster import Enclosure, Occupant, Roster
from bot.settings import Settings
from storage import roster
from storage.tables import Entry
from storage.tables.base import Base
from tests.benchmarks.measure import Measure, interleaved
from tests.benchmarks.rows import READ, subject_row

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

EVERY = {
    "feeding": (10, {"prey": "roach", "quantity": [3, 3], "outcome": "ate"}),
    "misting": (10, {"amount": "light"}),
    "watering": (7, {}),
    "observation": (14, {"signs": ["out"]}),
    "cleaning": (30, {"scope": "spot"}),
    "reading": (30, {"humidity_pct": [60, 60]}),
    "count": (180, {"count": [34, 34]}),
    "moult": (180, {}),
}
"""Days between the acts of each kind in each enclosure, and what each is told with."""

OF_PLACES = frozenset({"misting", "watering", "cleaning", "reading"})
NOW = datetime(2026, 3, 3, 19, 5, tzinfo=UTC)
YEAR = 365
CHUNK = 20_000

Act = tuple[datetime, str, int]


def measure(*, small: bool) -> list[Measure]:
    """Cost of the due list as a multiple of a plain read, and on a long journal as a multiple of that on a short one."""
    places, years, rounds = (10, (2, 3), 3) if small else (500, (2, 5), 15)
    with (
        TemporaryDirectory() as short_folder,
        TemporaryDirectory() as long_folder,
        opened(Path(short_folder), Settings(zone="UTC"), SetClock(NOW)) as short,
        opened(Path(long_folder), Settings(zone="UTC"), SetClock(NOW)) as long,
    ):
        sizes = [fill(household, places, age) for household, age in zip((short, long), years, strict=True)]
        ids = needed(long)
        ours, plain = interleaved(lambda: due(long), lambda: read(long, ids), rounds)
        old, young = interleaved(lambda: due(long), lambda: due(short), rounds)
        tasks = due(long)
    made = f"{places} enclosures, {years[1]} years, {sizes[1]} entries, {len(ids)} needed, {tasks} tasks"
    detail = f"{made}: {ours * 1000:.0f} ms against {plain * 1000:.0f} ms"
    aged = f"{years[0]} years ({sizes[0]} entries): {young * 1000:.0f} ms, {years[1]} years: {old * 1000:.0f} ms"
    return [
        Measure("due list against one read of its rows", ours / plain, 3, at_least=False, unit="times", detail=detail),
        Measure("due list, old against young journal", old / young, 1.2, at_least=False, unit="times", detail=aged),
    ]


def due(household: Household) -> int:
    """The whole due list, from opening a session; how many tasks it holds."""
    with household.app.store.read() as session:
        return len(due_list(View.open(session, 1, NOW)))


def needed(household: Household) -> list[int]:
    """Ids of the entries that the due list is reckoned from."""
    with household.app.store.read() as session:
        wards = make_round(View.open(session, 1, NOW)).wards
    return sorted({fact.id for ward in wards for fact in (*ward.facts, *ward.rules)})


def read(household: Household, ids: list[int]) -> int:
    """One statement that reads these entries as they are needed, through the same store, and nothing else."""
    with household.app.store.read() as session:
        return len(session.execute(_plain_read(ids)).all())


def _plain_read(ids: list[int]) -> Any:  # noqa: ANN401 - a statement over many columns
    wanted = func.json_each(str(ids)).table_valued("value")
    return select(*READ).where(Entry.id.in_(select(wanted.c.value)))


def fill(household: Household, places: int, years: int) -> int:
    """Write a journal of so many years for so many enclosures, each with one group; how many entries it holds."""
    enclosures = tuple(Enclosure(f"tub {number}") for number in range(places))
    groups = tuple(Occupant(f"group {number}", "group", f"tub {number}") for number in range(places))
    household.bring_in(Roster("UTC", enclosures, groups))
    with household.app.store.read() as session:
        rows = roster.load(session, household.collection.id)
    ids = [(group.id, place.id) for group, place in zip(rows.occupants, rows.enclosures, strict=True)]
    acts = sorted(acts_of(places, years))
    for start in range(0, len(acts), CHUNK):
        made = [entry(100_000 + start + at, act, ids) for at, act in enumerate(acts[start : start + CHUNK])]
        with household.app.store.write() as session:
            write(session, made)
    return len(acts)


def acts_of(places: int, years: int) -> Iterator[Act]:
    """Every act, back from now; enclosures are seen to on different days and at different hours."""
    for place in range(places):
        for kind, (every, _fields) in EVERY.items():
            for number in range(years * YEAR // every):
                days = number * every + place % every
                yield NOW.replace(tzinfo=None) - timedelta(days=days, minutes=place % 600), kind, place


def entry(entry_id: int, act: Act, ids: list[tuple[int, int]]) -> tuple[dict[str, Any], dict[str, Any]]:
    """The rows of one entry and of its subject."""
    moment, kind, number = act
    occupant, place = ids[number]
    own = {
        "id": entry_id,
        "collection_id": 1,
        "told_at": moment.replace(tzinfo=UTC),
        "kind": kind,
        "mood": "log",
        "happened_on": moment.date(),
        "zone": "UTC",
        "moment": moment,
        "fields": EVERY[kind][1],
        "words": f"{kind} of group {number} told in a few words",
    }
    of_whom = (None, place) if kind in OF_PLACES else (occupant, None)
    return own, subject_row(entry_id, kind, moment, of_whom)


def write(session: Session, made: list[tuple[dict[str, Any], dict[str, Any]]]) -> None:
    """Put rows into the tables as they are, without going through the journal, which would take an hour."""
    session.execute(insert(Base.metadata.tables["entries"]), [own for own, _ in made])
    session.execute(insert(Base.metadata.tables["entry_subjects"]), [subject for _, subject in made])
