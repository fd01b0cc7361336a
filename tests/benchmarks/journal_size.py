"""What "when did B last eat" costs on a journal of a million entries, against one of a thousand, by turns in one run."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlalchemy import insert

from bot.answers import View, answer
from bot.app import SetClock
from bot.household import Household, opened
from bot.language.meaning import Ask
from bot.language.roster import Enclosure, Occupant, Roster
from bot.settings import Settings
from storage import roster
from storage.tables import Entry, EntrySubject
from tests.benchmarks.measure import Measure, interleaved
from tests.benchmarks.rows import subject_row

GROUPS = 40
KINDS = ("feeding", "observation", "misting", "moult", "cleaning")
OF_PLACES = frozenset({"misting", "cleaning"})
FIRST = datetime(2023, 3, 1, 8, 0)  # noqa: DTZ001 - the keeper's clock, which has no zone
DAYS = 1000
NOW = datetime(2026, 3, 3, 19, 5, tzinfo=UTC)
CHUNK = 20_000
ASKED = Ask("last", "feeding", ("group 2",))


def measure(*, small: bool) -> list[Measure]:
    """Cost of the answer on the big journal as a multiple of that on the small one."""
    sizes = (100, 1000) if small else (1000, 1_000_000)
    with (
        TemporaryDirectory() as few_folder,
        TemporaryDirectory() as many_folder,
        opened(Path(few_folder), Settings(zone="UTC"), SetClock(NOW)) as few,
        opened(Path(many_folder), Settings(zone="UTC"), SetClock(NOW)) as many,
    ):
        for household, size in zip((few, many), sizes, strict=True):
            fill(household, size)
        quick, slow = interleaved(lambda: ask(few), lambda: ask(many), 3 if small else 301)
        said = ask(many)
    detail = f"{sizes[0]}: {quick * 1000:.2f} ms, {sizes[1]}: {slow * 1000:.2f} ms; {said!r}"
    return [
        Measure("last fed, long against short journal", slow / quick, 1.5, at_least=False, unit="times", detail=detail)
    ]


def ask(household: Household) -> str:
    """Put the question to the journal, from opening a session to the words of the answer."""
    with household.app.store.read() as session:
        return answer(ASKED, View.open(session, 1, NOW)).text


def fill(household: Household, size: int) -> None:
    """Write a journal of `size` entries, evenly over the groups, the kinds and a thousand days.

    The group asked about was fed for the last time half-way, so that all that came after lies above the answer.
    """
    places = [Enclosure(f"tub {number}") for number in range(GROUPS)]
    groups = [Occupant(f"group {number}", "group", f"tub {number}") for number in range(GROUPS)]
    household.bring_in(Roster("UTC", tuple(places), tuple(groups)))
    collection = household.collection.id
    with household.app.store.read() as session:
        rows = roster.load(session, collection)
    ids = [(group.id, place.id) for group, place in zip(rows.occupants, rows.enclosures, strict=True)]
    for start in range(0, size, CHUNK):
        made = [entry(number, size, collection, ids) for number in range(start, min(start + CHUNK, size))]
        with household.app.store.write() as session:
            session.execute(insert(Entry), [own for own, _ in made])
            session.execute(insert(EntrySubject), [subject for _, subject in made])


def entry(number: int, size: int, collection: int, ids: list[tuple[int, int]]) -> tuple[dict[str, Any], dict[str, Any]]:
    """The rows of one entry and of its subject; the ids lie above those that the roster's own entries took."""
    group = number % GROUPS
    kind = KINDS[number // GROUPS % len(KINDS)]
    if kind == "feeding" and group == 2 and number > size // 2:
        kind = "observation"
    moment = FIRST + number * (timedelta(days=DAYS) / size)
    occupant, place = ids[group]
    entry_id = 1000 + number
    own = {
        "id": entry_id,
        "collection_id": collection,
        "told_at": moment.replace(tzinfo=UTC),
        "kind": kind,
        "mood": "log",
        "on": moment.date(),
        "zone": "UTC",
        "moment": moment,
        "fields": {},
        "words": f"entry {number}",
    }
    of_whom = (None, place) if kind in OF_PLACES else (occupant, None)
    return own, subject_row(entry_id, kind, moment, of_whom)
