"""A copy of all rows is the same again, nothing is copied on top of anything, and what fails leaves nothing."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import select, text

from storage import households, journal
from storage.copying import copied, is_empty, reading, summary_of
from storage.faults import StorageFault
from storage.journal import Subject
from storage.store import Store
from storage.tables import Base, Entry, Lease
from tests import databases
from tests.storage.everything import ODD, fill
from tests.storage.keeper import NOW, Keeper

Make = Callable[[], Store]


pytestmark = pytest.mark.both_databases


@pytest.fixture
def make(tmp_path: Path) -> Iterator[Make]:
    """Makes one empty store after another, of the database the test runs on."""
    made: list[Store] = []

    def another() -> Store:
        made.append(Store.open(databases.of(tmp_path / f"store {len(made)}")))
        return made[-1]

    yield another
    for store in made:
        store.close()


@pytest.fixture
def file(template: Path, tmp_path: Path) -> Iterator[Make]:
    """Makes one empty SQLite store after another."""
    made: list[Store] = []

    def another() -> Store:
        folder = tmp_path / f"file {len(made)}"
        folder.mkdir(mode=0o700)
        shutil.copy(template, folder)
        made.append(Store.open(folder))
        return made[-1]

    yield another
    for store in made:
        store.close()


@pytest.mark.parametrize("outwards", [True, False, None])
def test_a_copy_holds_the_same_in_every_table(make: Make, file: Make, outwards: bool | None) -> None:  # noqa: FBT001
    """Every column of every table but the leases, read back as the program reads it; from SQLite, to it, and within one kind."""
    source, target = (file if outwards else make)(), (file if outwards is False else make)()
    fill(source)
    arrived = copied(source, target)
    assert arrived == summary_of(source) == summary_of(target)
    assert set(arrived) == {table.name for table in Base.metadata.sorted_tables} - {Lease.__tablename__}
    assert all(summary.rows for summary in arrived.values())
    with source.read() as one, target.read() as other:
        for table in Base.metadata.sorted_tables:
            if table.name != Lease.__tablename__:
                ordered = select(table).order_by(*table.primary_key.columns)
                assert one.execute(ordered).all() == other.execute(ordered).all()


def test_a_copy_can_be_written_on(make: Make) -> None:
    """The next entry of a copy follows the last one, and the journal's guard stands there too."""
    source, target = make(), make()
    fill(source)
    copied(source, target)
    with target.write() as session:
        last = session.scalar(select(Entry.id).order_by(Entry.id.desc()))
        new = journal.NewEntry("note", "log", None, None, None, "UTC", {}, (Subject(1),), "and on")
        assert journal.append(session, 1, 1, None, NOW, [new]) == [(last or 0) + 1]
    with pytest.raises(Exception, match="append-only"), target.write() as session:
        session.execute(text("DELETE FROM entries"))


def test_nothing_is_copied_into_a_store_that_holds_something(make: Make) -> None:
    """One collection without an entry is enough; it stays as it is."""
    source, target = make(), make()
    fill(source)
    with target.write() as session:
        households.create_collection(session, "another", "UTC")
    before = summary_of(target)
    with pytest.raises(StorageFault, match="There are records in it already"):
        copied(source, target)
    assert summary_of(target) == before


def test_a_copy_that_breaks_off_leaves_the_target_empty(make: Make) -> None:
    """Whatever stops it, and at whichever table."""
    source = make()
    fill(source)
    for stop in ("collections", "entries", "origins"):
        target = make()

        def tell(table: str, _rows: int, stop: str = stop) -> None:
            if table == stop:
                raise KeyboardInterrupt

        with pytest.raises(KeyboardInterrupt):
            copied(source, target, tell)
        with reading(target) as connection:
            assert is_empty(connection)


def test_what_is_written_meanwhile_is_not_in_the_copy(make: Make) -> None:
    """A copy is of the moment it began; entries told since show in a second look at the source."""
    source, target = make(), make()
    fill(source)
    began = summary_of(source)

    def tell(table: str, _rows: int) -> None:
        if table == "collections":
            with source.write() as session:
                new = journal.NewEntry("note", "log", None, None, None, "UTC", {}, (Subject(1),), "meanwhile")
                journal.append(session, 1, 1, None, NOW, [new])

    assert copied(source, target, tell) == began
    assert summary_of(source)["entries"].rows == began["entries"].rows + 1


def test_a_changed_byte_shows_in_the_summary(make: Make) -> None:
    """Counts alone would not tell."""
    source = make()
    fill(source)
    before = summary_of(source)
    with source.write() as session:
        session.execute(text("UPDATE members SET name = 'ana' WHERE name = 'Ana'"))
    after = summary_of(source)
    assert {name for name in before if before[name] != after[name]} == {"members"}
    assert before["members"].rows == after["members"].rows


WORDS = st.text(st.characters(codec=None), max_size=20) | st.sampled_from([ODD, "", "'; --", "\n"])
VALUES = st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.floats(allow_nan=False) | WORDS


@pytest.mark.slow
@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(WORDS, st.dictionaries(WORDS, VALUES, max_size=3), st.booleans()), max_size=12))
def test_any_journal_survives_two_copies(
    make: Make, file: Make, told: list[tuple[str, dict[str, object], bool]]
) -> None:
    """Whatever was said, from SQLite to the other database and back, the last copy holds the same as the first."""
    first, second, third = file(), make(), file()
    with first.write() as session:
        keeper = Keeper(session)
        for words, fields, gone in told:
            new = journal.NewEntry("note", "log", None, None, None, "UTC", fields, (Subject(keeper.dwarfs),), words)
            ids = journal.append(session, keeper.collection_id, keeper.member_id, None, NOW, [new])
            if gone:
                keeper.take_back(*ids)
    assert copied(first, second) == copied(second, third) == summary_of(first)
    for store in (first, second, third):
        store.close()
