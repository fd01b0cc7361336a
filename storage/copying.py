"""All rows of one database into another, of either engine, and whether the two hold the same.

Text and JSON are carried as they are stored, everything else by its type, so that a copy of a copy is the same again. A summary of
a table is its number of rows and the sum of the digests of its rows, which is the same in whatever order they come.
`leases` are left out: they say what a process is doing now, which a copy is not.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from sqlalchemy import Column, Integer, MetaData, Table, Text, func, insert, select, text

from storage.columns import FaithfulJson, FaithfulText
from storage.faults import StorageFault
from storage.tables import APPEND_ONLY, Base, Lease

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from storage.store import Store

BATCH = 1000
"""Rows held in memory at a time."""

_MODULUS = 1 << 256


@dataclass(frozen=True, slots=True)
class Summary:
    """What a table holds: how many rows, and the sum of the SHA-256 digests of its rows, modulo 2 to the 256th."""

    rows: int
    digest: int


Summaries = Mapping[str, Summary]
"""By the name of the table, in an order in which they may be written."""


def copied(source: Store, target: Store, told: Callable[[str, int], None] = lambda _table, _rows: None) -> Summaries:
    """Copy everything from one database into an empty one, in one transaction; what both hold now, table by table.

    `told` hears of each table when its rows are there, and how many they are. Raises StorageFault where the target is not
    empty, or where what arrived is not what was sent; then, as after any other fault, the target holds what it held before.
    """
    with reading(source) as giving, target.write() as session:
        taking = session.connection()
        hold(taking)
        if not is_empty(taking):
            raise StorageFault("There are records in it already, and nothing is copied on top of them.")
        return poured(giving, taking, told)


def poured(
    giving: Connection, taking: Connection, told: Callable[[str, int], None] = lambda _table, _rows: None
) -> Summaries:
    """Copy everything over two connections, into tables that are empty; as `copied`, but the transactions are the caller's."""
    sent = {}
    for table in tables():
        sent[table.name] = _pour(table, giving, taking)
        told(table.name, sent[table.name].rows)
    _set_counters(taking)
    arrived = summaries(taking)
    for name, summary in sent.items():
        if arrived[name] != summary:
            raise StorageFault(f"The copy of the table {name} is not what it was made of, so it was thrown away.")
    return arrived


@contextmanager
def reading(store: Store) -> Iterator[Connection]:
    """A connection that sees one unchanging state of a database until it is given back."""
    with store.read() as session:
        yield session.connection()


def summary_of(store: Store) -> Summaries:
    """What every table of a database holds, all at one moment."""
    with reading(store) as connection:
        return summaries(connection)


def summaries(connection: Connection) -> Summaries:
    """What every table holds, as the connection's transaction sees it."""
    found = {}
    for table in tables():
        tally = _Tally()
        for rows in _batches(connection, table):
            tally.add(rows)
        found[table.name] = tally.summary
    return found


def is_empty(connection: Connection) -> bool:
    """Whether no table holds a row."""
    return not any(connection.execute(select(table).limit(1)).first() for table in tables())


def hold(taking: Connection) -> None:
    """Let nobody else write to a target until the transaction ends: SQLite has one writer anyway, a server is told."""
    if taking.dialect.name != "sqlite":
        names = ", ".join(table.name for table in tables())
        taking.execute(text(f"LOCK TABLE {names} IN EXCLUSIVE MODE"))


def others_at_work(connection: Connection) -> bool:
    """Whether other programs of ours are connected to the same database on a server."""
    if connection.dialect.name == "sqlite":
        return False
    others = text(
        "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid() "
        "AND application_name = current_setting('application_name')"
    )
    return bool(connection.scalar(others))


def empty(taking: Connection) -> None:
    """Take every row out of a server's tables, to be put back by a rollback: the one place that passes over the journal's guard."""
    for name in APPEND_ONLY:
        taking.execute(text(f"ALTER TABLE {name} DISABLE TRIGGER USER"))
    taking.execute(text(f"TRUNCATE {', '.join(table.name for table in tables())}"))
    for name in APPEND_ONLY:
        taking.execute(text(f"ALTER TABLE {name} ENABLE TRIGGER USER"))


def tables() -> list[Table]:
    """The tables that are copied, those that others point to first, with text and JSON as plain text."""
    plain = MetaData()
    return [
        Table(
            table.name,
            plain,
            *(
                Column(one.name, _carried(one.type), primary_key=one.primary_key, autoincrement=False)
                for one in table.columns
            ),
        )
        for table in Base.metadata.sorted_tables
        if table.name != Lease.__tablename__
    ]


def _carried(kind: Any) -> Any:  # noqa: ANN401 - a column's type
    return Text() if isinstance(kind, FaithfulText | FaithfulJson) else kind


def _pour(table: Table, giving: Connection, taking: Connection) -> Summary:
    tally = _Tally()
    into = insert(table)
    for rows in _batches(giving, table):
        tally.add(rows)
        taking.execute(into, [dict(zip(table.columns.keys(), row, strict=True)) for row in rows])
    return tally.summary


def _batches(connection: Connection, table: Table) -> Iterator[list[tuple[Any, ...]]]:
    """The rows in the order of their keys, so that an entry comes after the one it corrects."""
    asked = select(table).order_by(*table.primary_key.columns)
    for rows in connection.execute(asked, execution_options={"yield_per": BATCH}).partitions():
        yield [tuple(row) for row in rows]


class _Tally:
    """Rows counted and summed up as they pass."""

    def __init__(self) -> None:
        self._rows = 0
        self._sum = 0

    def add(self, rows: list[tuple[Any, ...]]) -> None:
        for row in rows:
            told = json.dumps(row, ensure_ascii=True, default=_said).encode()
            self._sum += int.from_bytes(sha256(told).digest(), "big")
        self._rows += len(rows)

    @property
    def summary(self) -> Summary:
        return Summary(self._rows, self._sum % _MODULUS)


def _said(value: date | datetime | time) -> str:
    return value.isoformat()


def _set_counters(taking: Connection) -> None:
    """Have a server count new rows on from the last one copied; SQLite does so by itself."""
    if taking.dialect.name == "sqlite":
        return
    for table in tables():
        (key, *others) = table.primary_key.columns
        if others or not isinstance(key.type, Integer):
            continue
        counter = taking.scalar(
            text("SELECT pg_get_serial_sequence(:table, :key)"), {"table": table.name, "key": key.name}
        )
        highest = taking.scalar(select(func.max(key)))
        if counter is not None and highest is not None:
            taking.execute(text("SELECT setval(:counter, :highest)"), {"counter": counter, "highest": highest})
