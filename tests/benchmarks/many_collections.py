"""Everybody's morning list at the same minute: one process, many collections, the service's limits held by the fake service."""

from __future__ import annotations

import re
import subprocess
import time as clock
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlalchemy import Column, Integer, insert, select, update

from bot.app import SetClock
from bot.household import Household, opened
from bot.language.roster import Enclosure, Occupant, Roster
from bot.settings import Settings
from storage import households, journal, preferences, pushes, roster
from storage.journal import NewEntry, Subject
from storage.preferences import PreferenceRow
from storage.store import Store
from storage.tables import Member, Preference
from storage.tables.base import Base
from tests.benchmarks.measure import Measure
from tests.benchmarks.serving import bot, megabytes, rackside
from tests.telegram.bot_api import BotApi, Person, process

ENCLOSURES, FEWER = 20, 3
SHIFT = 10_000
"""Ids of one collection lie so far from those of the next."""

NOTICE = timedelta(seconds=25)
"""The bot is started at least so long before the morning comes."""

A_SECOND = 30
"""The service takes so many messages a second from one bot (its questions and answers for bots)."""

CHUNK = 20_000
HERD = re.compile(r"([Hh]erd)0x")
"""What the animals of the first collection are called, by which a message shows whose it is."""


@dataclass(slots=True)
class Morning:
    """What came of it: seconds from the first message to the last, megabytes idle and at most, and what went wrong."""

    wanted: int
    seconds: float
    delay: float
    idle: float
    most: float
    missed: int
    doubled: int
    strange: int
    refused: int


def measure(*, small: bool) -> list[Measure]:
    """All lists once and to the right chat; how long they took against what the service allows; memory against idle."""
    many = 12 if small else 2_000
    with TemporaryDirectory() as folder, process(Path(folder)) as api:
        found = morning(api, Path(folder), many, FEWER if small else ENCLOSURES)
    wrong = found.missed + found.doubled + found.strange + found.refused
    told = (
        f"{many} collections: missed {found.missed}, doubled {found.doubled}, to another {found.strange}, "
        f"refused by the service {found.refused}"
    )
    fastest = max(many / A_SECOND, 1.0)
    pace = f"{found.seconds:.0f} s from the first to the last, the first {found.delay:.1f} s after the minute"
    memory = f"{found.idle:.0f} MB before, at most {found.most:.0f} MB"
    return [
        Measure("morning lists that came once", 1 - wrong / many, 1, at_least=True, unit="of all", detail=told),
        Measure(
            "their time, by the service's limit",
            found.seconds / fastest,
            1.5,
            at_least=False,
            unit="times",
            detail=pace,
        ),
        Measure(
            "memory in that morning, by idle", found.most / found.idle, 2.5, at_least=False, unit="times", detail=memory
        ),
    ]


def morning(api: BotApi, folder: Path, many: int, places: int) -> Morning:
    """Live through one morning of so many collections with one process."""
    people = [api.user(f"P{number}") for number in range(many)]
    api.limits()
    data = folder / "data"
    prepare(data, people, places)
    at = set_morning(data)
    with bot(api, folder, rackside(data)) as running:
        clock.sleep(5)
        idle = megabytes(running)
        wait(api, running, many, at)
        clock.sleep(3)
        most = megabytes(running, "VmHWM")
    return judge(api, people, at, idle, most)


def wait(api: BotApi, running: subprocess.Popen[bytes], many: int, at: datetime) -> None:
    """Until so many messages were sent, or nothing can be hoped for any more."""
    until = at.timestamp() + 120 + many * 0.2
    while api.counts["requests"] < many and clock.time() < until and running.poll() is None:
        clock.sleep(1)
    while sent(api) < many and clock.time() < until and running.poll() is None:
        clock.sleep(2)


def sent(api: BotApi) -> int:
    """How many messages the service took."""
    return sum(1 for one in api.requests if one["method"] == "sendMessage" and one["status"] == 200)


def judge(api: BotApi, people: Sequence[Person], at: datetime, idle: float, most: float) -> Morning:
    """Hold what was sent against what should have been: to each one list, with the mark of the own collection alone."""
    sends = [one for one in api.requests if one["method"] == "sendMessage"]
    taken = [one for one in sends if one["status"] == 200]
    mark = {person.id: number for number, person in enumerate(people)}
    heard = [mark[int(one["parameters"]["chat_id"])] for one in taken]
    strange = sum(
        {int(found) for found in re.findall(r"Herd(\d+)x", one["parameters"]["text"])} != {number}
        for one, number in zip(taken, heard, strict=True)
    )
    moments = [one["moment"] for one in taken] or [at.timestamp()]
    return Morning(
        wanted=len(people),
        seconds=max(moments) - min(moments),
        delay=min(moments) - at.timestamp(),
        idle=idle,
        most=most,
        missed=len(people) - len(set(heard)),
        doubled=len(heard) - len(set(heard)),
        strange=strange,
        refused=len(sends) - len(taken) + len(api.violations),
    )


def prepare(folder: Path, people: Sequence[Person], places: int) -> None:
    """A data folder with a collection for each person, all alike but for the names of the animals."""
    now = datetime.now(UTC)
    with opened(folder, Settings(zone="UTC"), SetClock(now), lasting=False) as household:
        furnish(household, places, now)
        with household.app.store.write() as session:
            connection = session.connection()
            for table in Base.metadata.sorted_tables:
                rows = [dict(row) for row in connection.execute(select(table)).mappings()]
                for copies in chunks(shifted(table.columns, rows, len(people))):
                    connection.execute(insert(table), copies)
            mine = Member.channel == "telegram"
            for number, person in enumerate(people):
                of = 1 + number * SHIFT
                session.execute(update(Member).where(mine, Member.collection_id == of).values(address=str(person.id)))


def furnish(household: Household, places: int, now: datetime) -> None:
    """The first collection: places, a group in each, and a month of care; a keeper on Telegram."""
    names = [f"tub {number}" for number in range(1, places + 1)]
    animals = [
        Occupant(f"Herd0x {number}", "group", place, species="Neoholothele incei", count=42)
        for number, place in enumerate(names, 1)
    ]
    household.bring_in(Roster("UTC", tuple(Enclosure(name) for name in names), tuple(animals)))
    kept = household.collection.id
    with household.app.store.write() as session:
        member = households.add_member(session, kept, "telegram", "0", "Ann", "owner", now)
        pushes.keep_swept(session, {member: "UTC"}, now)
        preferences.prefer(session, member, PreferenceRow(morning_at=time(8)))
        for row in roster.load(session, kept).occupants:
            done = [care(row.id, day) for day in (30, 22, 15) for care in (fed, misted)]
            journal.append(session, kept, member, None, now, done)


def fed(occupant: int, days_ago: int) -> NewEntry:
    """A feeding, so and so long ago."""
    fields = {"prey": "roach", "quantity": [3, 3], "outcome": "ate"}
    return NewEntry("feeding", "log", _day(days_ago), None, None, "UTC", fields, (Subject(occupant),), "fed 3 roaches")


def misted(occupant: int, days_ago: int) -> NewEntry:
    """A misting, so and so long ago."""
    subject = (Subject(occupant),)
    return NewEntry("misting", "log", _day(days_ago), None, None, "UTC", {"amount": "light"}, subject, "misted")


def _day(days_ago: int) -> date:
    return (datetime.now(UTC) - timedelta(days=days_ago)).date()


def shifted(columns: Any, rows: Sequence[dict[str, Any]], many: int) -> Iterator[dict[str, Any]]:  # noqa: ANN401 - SQLAlchemy's
    """Each row again for every further collection, its ids moved along."""
    ids = [column.name for column in columns if is_id(column)]
    for copy in range(1, many):
        for row in rows:
            moved = {name: row[name] + copy * SHIFT for name in ids if row[name] is not None}
            fields = {"fields": _fields(row["fields"], copy)} if "fields" in row else {}
            own = {name: f"{row[name]} {copy}" for name in ("uid", "address") if name in row}
            marked = {name: HERD.sub(rf"\g<1>{copy}x", row[name]) for name in ("name", "name_key") if row.get(name)}
            yield {**row, **moved, **fields, **own, **marked}


def is_id(column: Column[Any]) -> bool:
    """Whether a column holds ids of rows: its own, those that it refers to, or those by which stays are ordered."""
    whole = isinstance(column.type, Integer)
    return whole and (
        (column.primary_key and column.name == "id") or bool(column.foreign_keys) or column.name == "from_origin"
    )


def _fields(fields: dict[str, Any], copy: int) -> dict[str, Any]:
    return {name: value + copy * SHIFT if name.endswith("_id") else value for name, value in fields.items()}


def chunks(rows: Iterator[dict[str, Any]]) -> Iterator[list[dict[str, Any]]]:
    """The rows, so many at a time."""
    while some := list(islice(rows, CHUNK)):
        yield some


def set_morning(folder: Path) -> datetime:
    """Let everybody's morning be the next full minute but one that leaves time to start; which that is."""
    soon = datetime.now(UTC) + NOTICE
    at = soon.replace(second=0, microsecond=0) + timedelta(minutes=1)
    store = Store.open(folder)
    with store.write() as session:
        session.execute(update(Preference).values(morning_at=at.time()))
    store.close()
    return at
