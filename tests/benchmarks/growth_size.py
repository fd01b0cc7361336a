"""What the reckoning of one group costs with ten years of daily entries: each answer against one read of that group's rows."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlalchemy import select

from bot.answers import View, answer
from bot.app import SetClock
from bot.household import Household, opened
from bot.language.meaning import Ask
from bot.language.roster import Enclosure, Occupant, Roster
from bot.settings import Settings
from storage import roster
from storage.tables import Entry, EntrySubject
from tests.benchmarks.due_size import write
from tests.benchmarks.measure import Measure, interleaved
from tests.benchmarks.rows import READ, subject_row

NOW = datetime(2026, 3, 3, 19, 5, tzinfo=UTC)
GROUPS = ("group A", "group B")

EVERY: dict[str, tuple[int, dict[str, Any]]] = {
    "feeding": (1, {"prey": "roach", "quantity": [3, 3], "outcome": "ate"}),
    "observation": (2, {"signs": ["out"]}),
    "note": (10, {}),
    "death": (120, {"number": [1, 1]}),
    "count": (180, {"count": [400, 404]}),
    "departure": (365, {"number": [2, 2]}),
    "moult": (30, {"number": [2, 2]}),
    "measurement": (20, {"measure": "legspan", "value": [12, 12]}),
}
"""Days between the entries of each kind in each group, and what each is told with."""

ASKED = (
    Ask("losses", subjects=("group B",)),
    Ask("compare", subjects=GROUPS),
    Ask("compare", subjects=("group B",), fields={"of": "size", "lot": "Rui"}),
    Ask("size", subjects=("group B",)),
    Ask("next", kind="moult", subjects=("group B",)),
    Ask("crowding", subjects=("group B",)),
    Ask("headcount", subjects=("group B",)),
    Ask("why", subjects=("group B",), fields={"of": "losses"}),
)


def measure(*, small: bool) -> list[Measure]:
    """Each answer as a multiple of one read of the rows of the groups that it is about; the worst of them is the measure."""
    years, rounds = (2, 3) if small else (10, 9)
    with TemporaryDirectory() as folder, opened(Path(folder), Settings(zone="UTC"), SetClock(NOW)) as household:
        ids = fill(household, years)
        ratios = {}
        for ask in ASKED:
            about = [ids[name] for name in ask.subjects]
            ours, plain = interleaved(partial(told, household, ask), partial(read, household, about), rounds)
            ratios[named(ask)] = (ours / plain, ours, plain)
        rows = read(household, [ids["group B"]])
    worst = max(ratios.values())
    each = ", ".join(f"{name} {ratio:.2f}" for name, (ratio, _ours, _plain) in ratios.items())
    detail = f"{years} years, {rows} entries of the group: {each}; the worst {worst[1] * 1000:.0f} ms against {worst[2] * 1000:.0f} ms"
    return [Measure("growth and losses against one read", worst[0], 3, at_least=False, unit="times", detail=detail)]


def named(ask: Ask) -> str:
    """A question by its name, and what it is limited to."""
    return " ".join([ask.about, *(str(value) for value in ask.fields.values())])


def told(household: Household, ask: Ask) -> int:
    """One answer, from opening a session; its length."""
    with household.app.store.read() as session:
        return len(answer(ask, View.open(session, 1, NOW)).text)


def read(household: Household, occupants: list[int]) -> int:
    """One statement that reads all entries of these groups, through the same store, and nothing else; how many they are."""
    wanted = select(*READ).join(EntrySubject, EntrySubject.entry_id == Entry.id)
    with household.app.store.read() as session:
        return len(session.execute(wanted.where(EntrySubject.occupant_id.in_(occupants))).all())


def fill(household: Household, years: int) -> dict[str, int]:
    """Write the journal of two groups for so many years; their ids by name."""
    enclosures = tuple(Enclosure(f"tub {number}", size_cm=(30, 20, 15)) for number, _name in enumerate(GROUPS))
    groups = tuple(Occupant(name, "group", f"tub {number}", count=404) for number, name in enumerate(GROUPS))
    household.bring_in(Roster("UTC", enclosures, groups))
    with household.app.store.read() as session:
        ids = {row.name: row.id for row in roster.load(session, household.collection.id).occupants}
    acts = sorted((moment, kind, one) for one in ids.values() for moment, kind in acts_of(years))
    with household.app.store.write() as session:
        write(session, [entry(100_000 + place, *act) for place, act in enumerate(acts)])
    return ids


def acts_of(years: int) -> Iterator[tuple[datetime, str]]:
    """Every act of one group, back from now."""
    for kind, (every, _fields) in EVERY.items():
        for number in range(years * 365 // every):
            yield NOW.replace(tzinfo=None) - timedelta(days=number * every, minutes=7 * len(kind)), kind


def entry(entry_id: int, moment: datetime, kind: str, occupant: int) -> tuple[dict[str, Any], dict[str, Any]]:
    """The rows of one entry and of its subject; every tenth size is of animals that went to somebody."""
    lot = " of those to Rui" if entry_id % 10 == 0 else ""
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
        "words": f"{kind} told in a few words{lot}",
    }
    return own, subject_row(entry_id, kind, moment, (occupant, None))
