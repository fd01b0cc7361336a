"""Files brought in, in tests: the samples, the readers' choices, and what a collection holds afterwards."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from sqlalchemy import select

from bot.app import SetClock
from bot.cli import main
from bot.household import Household
from bot.moving.bringing import bring, up_to_now
from bot.moving.dated_lines import read_lines
from bot.moving.hearing import Outcome
from bot.moving.told import Contents, Told
from bot.moving.written_days import DayAt, Order, order_of
from storage.copying import Summaries, summary_of
from storage.entries import rows
from storage.roster import load
from storage.store import Store
from storage.tables import Entry
from tests import databases

SAMPLES = Path(__file__).resolve().parents[2] / "fixtures" / "moving"
ROSTER = SAMPLES / "roster.toml"
ZONE = ZoneInfo("Europe/Lisbon")
LATER = datetime(2026, 6, 1, 9, 0, tzinfo=UTC)

Said = tuple[str, str, tuple[str, ...], str, str]
"""An entry that stands: day, kind, subjects by name, its fields, its words."""


def settled(days: Sequence[DayAt], in_time: bool) -> Order:  # noqa: FBT001 - as OrderFor has it
    """The order that the days settle themselves; a test in which they do not fails."""
    found = order_of(days, in_time)
    assert found is not None
    return found


def day_first(_days: Sequence[DayAt], _in_time: bool) -> Order:  # noqa: FBT001 - as above
    return "day"


def month_first(_days: Sequence[DayAt], _in_time: bool) -> Order:  # noqa: FBT001 - as above
    return "month"


def kept_in(folder: Path) -> Path:
    """A data folder with the roster of the samples, for the command."""
    assert main(["roster", "import", str(ROSTER), "--data", str(folder)]) == 0
    return folder


def summary(store: Store) -> Summaries:
    """Every table: how many rows, and a digest of them."""
    return summary_of(store)


def summary_in(folder: Path) -> Summaries:
    store = Store.open(databases.of(folder))
    try:
        return summary_of(store)
    finally:
        store.close()


def standing(store: Store) -> Counter[Said]:
    """The entries of a store that stand, without the placings of its roster."""
    with store.read() as session:
        names = _names(store)
        found = rows(session, list(session.scalars(select(Entry.id).order_by(Entry.id))))
    return Counter(
        (
            str(row.on),
            row.kind if row.mood == "log" else f"{row.mood} {row.kind}",
            tuple(sorted(names[subject.occupant_id, subject.enclosure_id] for subject in row.subjects)),
            str(sorted((name, value) for name, value in row.fields.items() if not name.endswith("_id"))),
            row.words,
        )
        for row in found
        if row.current and row.kind != "placed"
    )


def standing_in(folder: Path) -> Counter[Said]:
    store = Store.open(databases.of(folder))
    try:
        return standing(store)
    finally:
        store.close()


def _names(store: Store) -> dict[tuple[int | None, int | None], str]:
    with store.read() as session:
        kept = load(session, 1, include_closed=True)
    animals = {(row.id, None): row.name for row in kept.occupants}
    return animals | {(None, row.id): row.name for row in kept.enclosures}


def message(at: str, text: str, key: str, **more: object) -> Told:
    """Something said, by the clock on the wall."""
    told = Told(datetime.fromisoformat(at), text, key, f"message {key}", sender="Wren")
    return replace(told, **more)  # type: ignore[arg-type]  # fields of Told, by name


def chat(*told: Told) -> Contents:
    return Contents("a chat as JSON", "jars", told)


def diary(text: str) -> Contents:
    return read_lines(text, settled)


def taken(household: Household, contents: Contents, now: datetime = LATER, *, again: bool = False) -> list[Outcome]:
    """Bring contents in; what became of each message."""
    assert isinstance(household.app.clock, SetClock)
    household.app.clock.moment = now
    kept = up_to_now(contents, ZoneInfo(household.collection.zone), now)
    return list(bring(household.app, household.collection, kept, "owner", again=again))
