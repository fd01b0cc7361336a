"""A year in ten zones: forty enclosures with plans at all times of day, a bot that dies at random moments, and what came out.

What should come is reckoned here from the calendar alone, minute by minute through the zone where the clock changes, and not by the
program's own conversion of local times.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import astuple, dataclass
from datetime import UTC, date, datetime, time, timedelta
from multiprocessing import get_context
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import event, select

from bot.answers.view import View
from bot.reminders import sweep as sweeping
from bot.reminders.model import Agenda, Item
from storage import households, journal, preferences
from storage.engines import SQLITE
from storage.journal import NewEntry
from storage.preferences import PreferenceRow
from storage.store import Store
from storage.tables import Outbox, Push
from tests import databases

CHANGES = {
    "Europe/Lisbon": (time(1, 30), time(1, 15)),
    "Europe/Berlin": (time(2, 30), time(2, 15)),
    "America/New_York": (time(2, 30), time(1, 30)),
    "America/Sao_Paulo": (time(0, 30), time(23, 30)),
    "America/St_Johns": (time(2, 30), time(1, 45)),
    "Asia/Kathmandu": (time(2, 30), time(1, 30)),
    "America/Santiago": (time(0, 30), time(23, 30)),
    "Australia/Lord_Howe": (time(2, 15), time(1, 45)),
    "Pacific/Auckland": (time(2, 45), time(2, 30)),
    "Pacific/Chatham": (time(3, 30), time(3)),
}
"""Ten zones, each with a time that its clock jumps over in spring and one that comes twice in autumn, on a Sunday (two never change)."""

ZONES = tuple(CHANGES)
SUNDAY = date(2026, 1, 4)
ENCLOSURES = 40
FIRST = date(2026, 1, 1)
TIMES = (
    time(0),
    time(0, 30),
    time(1, 15),
    time(1, 59),
    time(2),
    time(2, 30),
    time(2, 45),
    time(3),
    time(12),
    time(23, 45),
)
EVERY = (4, 7, 10, 14, 21)
MORNING = time(8)
TICK = timedelta(seconds=20)
LATEST = timedelta(seconds=180)
"""A push may go out this much later than planned: a tick, and for one whose sender died as long as it takes another to take over."""


Key = tuple[int, str, str]
"""Collection, subject and slot of a push."""


class DiedError(RuntimeError):
    """The process is gone at this very point."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan of one enclosure: again every so many days from the first on, at a time of day."""

    entry_id: int
    collection_id: int
    first: date
    every: int
    at: time


@dataclass(frozen=True, slots=True)
class Outcome:
    """How many pushes were wanted, missed, doubled, and sent at another local time than planned; how often the bot died."""

    wanted: int
    missed: int
    doubled: int
    astray: int
    shifted: int
    deaths: int


def whole_year(folder: Path) -> Outcome:
    """A year in all ten zones, in two processes, each with a bot and a database of its own for five of them."""
    halves = [(folder / name, ZONES[start::2]) for start, name in enumerate(("first", "second"))]
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        outcomes = list(pool.map(_half, halves))
    return Outcome(*(sum(values) for values in zip(*map(astuple, outcomes), strict=True)))


def _half(part: tuple[Path, tuple[str, ...]]) -> Outcome:
    return year(part[0], 365, part[1])


def year(folder: Path, days: int, zones: tuple[str, ...] = ZONES, seed: int = 11) -> Outcome:
    """Live through so many days in these zones; `folder` is empty."""
    chance = random.Random(seed)  # noqa: S311 - moments of a test, not secrets
    store = _open(folder)
    plans = _set_up(store, zones, chance)
    mortal = Mortal(chance, plans)
    start = datetime.combine(FIRST, time(), tzinfo=UTC) - timedelta(hours=15)
    end = start + timedelta(days=days)
    wanted = _wanted(store, plans, end)
    deaths, now = 0, start
    for tick in _ticks([start, *wanted.values()], end, chance):
        now, left = max(now, tick), 1
        while left:
            try:
                sweeping.sweep(store, now, mortal.source)
                left -= 1
            except DiedError:
                deaths += 1
                store.close()
                store = _open(folder)
                left = 2  # the next tick finds the claim still held, the one after takes it over
            now += TICK if left else timedelta(0)
    outcome = _judge(store, wanted, end, deaths)
    store.close()
    return outcome


@dataclass
class Mortal:
    """Gives the agenda that the plans make, and dies now and then: while it is made, or once the pushes are claimed."""

    chance: random.Random
    plans: list[Planned]

    def source(self, view: View) -> Agenda:
        if self.chance.random() < 0.01:
            raise DiedError
        own = [plan for plan in self.plans if plan.collection_id == view.collection_id]
        return Agenda(_Brittle([_item(plan, view.today) for plan in own], self._die))

    def _die(self) -> None:
        if self.chance.random() < 0.004:
            raise DiedError


class _Brittle(list[Item]):
    """A list whose reading may kill: the sweep reads it to lay out, and again to put the message together."""

    def __init__(self, items: list[Item], die: Callable[[], None]) -> None:
        super().__init__(items)
        self._die = die

    def __iter__(self) -> Iterator[Item]:
        self._die()
        return super().__iter__()


def _item(plan: Planned, today: date) -> Item:
    state = "due" if today == plan.first else "overdue" if today > plan.first else "not yet"
    key = f"plan {plan.entry_id}"
    return Item(key, f"tub {plan.entry_id}", "feeding", state, plan.first, plan=plan.entry_id, at=plan.at)


def _open(folder: Path) -> Store:
    store = Store.open(databases.of(folder))

    told = "PRAGMA synchronous = OFF" if databases.engine() == SQLITE else "SET synchronous_commit = off"

    def hurry(connection: Any, _record: object) -> None:  # noqa: ANN401 - the driver's connection
        connection.cursor().execute(told)
        connection.commit()

    event.listen(store.engine, "connect", hurry)
    store.engine.dispose()
    return store


def _set_up(store: Store, zones: tuple[str, ...], chance: random.Random) -> list[Planned]:
    told = datetime.combine(FIRST, time(), tzinfo=UTC) - timedelta(days=2)
    plans = []
    with store.write() as session:
        for zone in zones:
            collection = households.create_collection(session, zone, zone)
            member = households.add_member(session, collection, "test", zone, zone, "owner", told)
            preferences.prefer(session, member, PreferenceRow(receives=("morning", "plan")))
            plain = [(FIRST, chance.choice(EVERY), chance.choice(TIMES)) for _ in range(ENCLOSURES // len(ZONES) - 2)]
            for first, every, at in [*plain, *((SUNDAY, 7, at) for at in CHANGES[zone])]:
                new = NewEntry("feeding", "plan", first, at, None, zone, {"every_days": every}, (), "feed them")
                (entry_id,) = journal.append(session, collection, member, None, told, [new])
                plans.append(Planned(entry_id, collection, first, every, at))
    return plans


def _ticks(moments: Iterable[datetime], end: datetime, chance: random.Random) -> Iterator[datetime]:
    """A tick within the twenty seconds after every moment at which something is wanted, and some at any time."""
    for moment in sorted(set(moments)):
        if chance.random() < 0.05:
            yield moment - chance.random() * timedelta(hours=1)
        yield moment + chance.random() * TICK
    yield end


def _judge(store: Store, wanted: dict[Key, datetime], end: datetime, deaths: int) -> Outcome:
    with store.read() as session:
        rows = list(session.scalars(select(Push).where(Push.sent_at.is_not(None))))
        found = Counter((row.collection_id, row.subject, row.slot) for row in rows)
        sent = {(row.collection_id, row.subject, row.slot): row.sent_at or end for row in rows}
    counted = Counter({key: found[key] for key in wanted})
    late = [key for key, at in wanted.items() if key in sent and not timedelta(0) <= sent[key] - at < LATEST]
    strange = [key for key in found if key not in wanted]
    return Outcome(
        wanted=len(wanted),
        missed=sum(1 for key in wanted if not counted[key]),
        doubled=sum(count - 1 for count in found.values()) + _messages_doubled(store),
        astray=len(late) + len(strange),
        shifted=sum(1 for key, at in wanted.items() if _is_shifted(store, key, at)),
        deaths=deaths,
    )


def _messages_doubled(store: Store) -> int:
    """Messages of the outbox that no push has for its own: each would be one that a member read twice."""
    with store.read() as session:
        messages = set(session.scalars(select(Outbox.id)))
        owned = set(session.scalars(select(Push.outbox_id).where(Push.outbox_id.is_not(None))))
    return len(messages - owned)


def _wanted(store: Store, plans: list[Planned], end: datetime) -> dict[Key, datetime]:
    """Every push that should have gone out a minute before the end, with its moment."""
    with store.read() as session:
        zones = {row.id: ZoneInfo(row.zone) for row in households.collections(session)}
    found: dict[Key, datetime] = {}
    for number in range(-1, (end.date() - FIRST).days + 2):
        day = FIRST + timedelta(days=number)
        for collection, zone in zones.items():
            if number >= 0:
                found[collection, "", day.isoformat()] = shown_first(day, MORNING, zone)
        for plan in plans:
            if day >= plan.first and (day - plan.first).days % plan.every == 0:
                slot = f"{day.isoformat()}T{plan.at:%H:%M}"
                found[plan.collection_id, f"plan {plan.entry_id}", slot] = shown_first(
                    day, plan.at, zones[plan.collection_id]
                )
    return {key: moment for key, moment in found.items() if moment < end - LATEST}


def shown_first(day: date, at: time, zone: ZoneInfo) -> datetime:
    """The first moment, by the minute, at which the clock on the wall shows that time; in the spring gap as much later as it jumps."""
    wall = datetime.combine(day, at)
    guess = wall.replace(tzinfo=UTC) - timedelta(hours=16)
    before = _wall(guess, zone)
    straight = guess + (wall - before)  # right wherever the clock does not change in between
    for moment in sorted(straight + timedelta(minutes=minutes) for minutes in range(-120, 121, 15)):
        if _wall(moment, zone) == wall:
            return moment
    return straight  # never shown: so long after midnight as if the clock had not jumped


def _wall(moment: datetime, zone: ZoneInfo) -> datetime:
    return moment.astimezone(zone).replace(tzinfo=None)


def _is_shifted(store: Store, key: Key, at: datetime) -> bool:
    """Whether a push lies in the spring gap: the clock on the wall never showed the time it was planned for."""
    if "T" not in key[2]:
        return False
    with store.read() as session:
        zone = ZoneInfo(households.collection(session, key[0]).zone)
    return _wall(at, zone).isoformat(timespec="minutes") != key[2]
