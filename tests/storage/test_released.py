"""Every schema ever released comes up to the newest one, and nothing that a keeper said is changed by it.

The pairs in fixtures/schemas are made by `python -m tests.storage.release`: a database, and what its own program saw in it.
"""

from __future__ import annotations

import json
import sqlite3
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from alembic.script import ScriptDirectory
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from bot.app import SetClock
from bot.household import Household, opened
from bot.settings import Settings
from fixtures import schemas
from storage import households, schema, stays
from storage.store import FILE_NAME, Store
from storage.tables import APPEND_ONLY
from tests.storage import release, test_schema, witness

pytestmark = pytest.mark.sqlite_only("the schemas are kept as SQLite; test_released_on_postgresql has the other")

FOLDER = schemas.folder()
KEPT = sorted(path.stem for path in FOLDER.glob("*.sql"))


@pytest.fixture(params=KEPT)
def revision(request: pytest.FixtureRequest) -> str:
    """One of the schemas kept."""
    return str(request.param)


@pytest.fixture
def data(revision: str, tmp_path: Path) -> Path:
    """A data folder as the program of that schema left it."""
    made = tmp_path / "data"
    made.mkdir(mode=0o700)
    with closing(sqlite3.connect(made / FILE_NAME)) as database:
        database.executescript((FOLDER / f"{revision}.sql").read_text(encoding="utf-8"))
    return made


@pytest.fixture
def store(data: Path) -> Iterator[Store]:
    """The same, opened by the present program."""
    opened_store = Store.open(data)
    yield opened_store
    opened_store.close()


def as_seen_then(revision: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads((FOLDER / f"{revision}.json").read_text(encoding="utf-8"))
    assert found
    return found


def all_rows(file: Path, columns: dict[str, list[str]] | None = None) -> dict[str, Counter[tuple[Any, ...]]]:
    """Every row of every table as it lies in the file; of the columns named, or of all."""
    with closing(sqlite3.connect(file)) as database:
        wanted = columns or all_columns(database)
        return {
            table: Counter(database.execute(f"SELECT {', '.join(names)} FROM {table}").fetchall())  # noqa: S608
            for table, names in wanted.items()
        }


def all_columns(database: sqlite3.Connection) -> dict[str, list[str]]:
    tables = database.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND name <> 'alembic_version'")
    return {
        table: [f'"{row[1]}"' for row in database.execute(f"PRAGMA table_info({table})")]
        for (table,) in tables.fetchall()
    }


def said(household: Household, words: str) -> str:
    return "\n".join(reply.text for reply in household.say(words))


def test_every_revision_is_kept() -> None:
    """A schema that is released without its pair fails here; `python -m tests.storage.release` makes the pair."""
    revisions = {one.revision for one in ScriptDirectory.from_config(schema.configuration()).walk_revisions()}
    assert set(KEPT) == revisions
    assert {path.stem for path in FOLDER.glob("*.json")} == revisions


def test_a_kept_schema_is_of_the_revision_that_its_name_says(data: Path, revision: str) -> None:
    """And not of a newer one by mistake."""
    with closing(sqlite3.connect(data / FILE_NAME)) as database:
        assert database.execute("SELECT version_num FROM alembic_version").fetchall() == [(revision,)]


def test_upgraded_it_is_what_the_models_describe(store: Store) -> None:
    """Tables, columns, indexes and triggers are those that a new database gets."""
    test_schema.test_migrations_make_what_the_models_describe(store)
    test_schema.test_indexes_of_the_database_are_those_of_the_models(store)
    test_schema.test_every_append_only_table_has_its_triggers(store)


def test_the_present_program_sees_what_the_old_one_saw(store: Store, revision: str) -> None:
    """Journal, roster, stays, taught words, members and head counts."""
    then, now = as_seen_then(revision), witness.seen(store)
    assert [{what: one[what] for what in before} for one, before in zip(now, then, strict=True)] == then


def test_stays_made_anew_from_the_journal_are_the_same(store: Store, revision: str) -> None:
    """What the cache held was what the journal says, then as now."""
    with store.write() as session:
        for kept in households.collections(session):
            stays.rebuild(session, kept.id)
    assert [one["stays"] for one in witness.seen(store)] == [one["stays"] for one in as_seen_then(revision)]


def test_an_upgrade_changes_no_row_that_was_there(data: Path) -> None:
    """Every column of every row lies in the file as before."""
    before = all_rows(data / FILE_NAME)
    with closing(sqlite3.connect(data / FILE_NAME)) as database:
        columns = all_columns(database)
    assert sum(map(len, before.values())) > 150  # the season is there
    Store.open(data).close()
    assert all_rows(data / FILE_NAME, columns) == before


def test_the_upgraded_file_is_whole(store: Store) -> None:
    """SQLite's own checks find nothing."""
    with store.read() as session:
        assert session.execute(text("PRAGMA foreign_key_check")).all() == []
        assert session.execute(text("PRAGMA integrity_check")).all() == [("ok",)]


@pytest.mark.parametrize("table", APPEND_ONLY)
def test_what_was_written_then_cannot_be_changed_now(store: Store, table: str) -> None:
    """The triggers still refuse each UPDATE and DELETE."""
    with store.read() as session:
        column = session.execute(text(f"SELECT name FROM pragma_table_info('{table}')")).scalar()  # noqa: S608
    for act in (f"UPDATE {table} SET {column} = {column}", f"DELETE FROM {table}"):  # noqa: S608
        with pytest.raises(IntegrityError, match="append-only"), store.write() as session:
            session.execute(text(act))


def test_one_can_go_on_talking(data: Path) -> None:
    """Telling, asking, mending, and being told unasked, with all that was said before."""
    clock = SetClock(datetime(2026, 4, 2, 12, tzinfo=UTC))
    with opened(data, Settings(), clock) as household:
        assert said(household, "when did Flutes last eat").startswith("Flutes: last feeding Wed 25 Mar")
        assert said(household, "fed the pipers 3 RR") == "Written: Flutes: fed 3 red runner roaches, Thu 2 Apr 2026."
        assert "Thu 2 Apr" in said(household, "when did Flutes last eat")
        assert said(household, "undo").startswith("Taken back: Flutes: fed 3 red runner roaches")
        household.app.sweep("replay")  # the first schema knew of no pushes: from now on they are laid out
        clock.moment = datetime(2026, 4, 3, 6, tzinfo=UTC)
        household.app.sweep("replay")
        assert "Fri 3 Apr 2026" in "\n".join(reply.text for reply in household.app.collect("replay", "warden"))


@pytest.mark.slow
def test_the_next_release_is_kept_by_one_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It plays the season with this program, and refuses to write over a pair that is there."""
    assert release.main(["--out", str(tmp_path)]) == 0
    assert {path.name for path in tmp_path.iterdir()} == {f"{schema.HEAD}.sql", f"{schema.HEAD}.json"}
    kept = (tmp_path / f"{schema.HEAD}.sql").read_bytes()
    assert release.main(["--out", str(tmp_path)]) == 1
    assert (tmp_path / f"{schema.HEAD}.sql").read_bytes() == kept
    assert "is kept already" in capsys.readouterr().out
