"""Migrations make what the models describe, from inside the package, and only when there is something to do."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine, inspect, text

from storage import schema
from storage.engines import POSTGRESQL
from storage.faults import StorageFault
from storage.store import FILE_NAME, Store
from storage.tables import APPEND_ONLY, Base
from tests import databases


def test_migrations_make_what_the_models_describe(store: Store) -> None:
    """Alembic's own comparison finds no difference between the migrated database and the models."""
    with store.engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True, "compare_server_default": True})
        assert compare_metadata(context, Base.metadata) == []


def test_indexes_of_the_database_are_those_of_the_models(store: Store) -> None:
    """Names and columns of every index, and of every unique constraint, are the same."""
    found = inspect(store.engine)
    for table in Base.metadata.sorted_tables:
        expected = {(index.name, tuple(column.name for column in index.columns)) for index in table.indexes}
        actual = {
            (index["name"], tuple(index["column_names"]))
            for index in found.get_indexes(table.name)
            if "duplicates_constraint" not in index  # PostgreSQL shows the index of a constraint too
        }
        assert actual == expected


def test_the_revision_checked_at_the_start_is_the_newest() -> None:
    """The program knows the newest revision without asking Alembic, and there is only one."""
    assert ScriptDirectory.from_config(schema.configuration()).get_heads() == [schema.HEAD]


def test_every_append_only_table_has_its_triggers(store: Store) -> None:
    """One against UPDATE and one against DELETE, and where there is such a thing one against TRUNCATE."""
    acts, asked = ("UPDATE", "DELETE"), "SELECT tbl_name, sql FROM sqlite_master WHERE type = 'trigger'"
    if databases.engine() == POSTGRESQL:
        acts = (*acts, "TRUNCATE")
        asked = "SELECT relname, pg_get_triggerdef(t.oid) FROM pg_trigger t JOIN pg_class c ON c.oid = tgrelid WHERE NOT tgisinternal"
    with store.read() as session:
        rows = session.execute(text(asked)).all()
    found = {(table, act) for table, sql in rows for act in re.split(" BEFORE | ON ", sql)[1].split(" OR ")}
    assert found == {(table, act) for table in APPEND_ONLY for act in acts}


def test_migrations_go_down_and_up_again(tmp_path: Path) -> None:
    """Down to an empty database and up to the newest schema."""
    store = Store.open(databases.empty(tmp_path / "data"))
    config = schema.configuration()
    with store.engine.begin() as connection:
        config.attributes["connection"] = connection
        command.downgrade(config, "base")
        assert inspect(connection).get_table_names() == ["alembic_version"]
    with store.engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
        assert set(Base.metadata.tables) < set(inspect(connection).get_table_names())
    store.close()


def test_a_failing_migration_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Migrations run in one transaction: after a failure the database is as it was, and the next start makes it whole."""
    where = databases.empty(tmp_path)

    def fail(*_arguments: object) -> None:
        raise RuntimeError

    with monkeypatch.context() as broken:
        broken.setattr("storage.migrations.blocks.forbid_changes", fail)
        with pytest.raises(RuntimeError):
            Store.open(where)
    url = where if isinstance(where, str) else f"sqlite:///{where / FILE_NAME}"
    plain = create_engine(url)
    assert inspect(plain).get_table_names() == []
    plain.dispose()
    Store.open(where).close()


def test_a_database_of_a_newer_program_is_left_alone(tmp_path: Path) -> None:
    """The sentence says that this program is the older one."""
    where = databases.empty(tmp_path / "data")
    store = Store.open(where)
    with store.write() as session:
        session.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    store.close()
    with pytest.raises(StorageFault, match="newer Rackside"):
        Store.open(where)


@pytest.mark.sqlite_only("it does without the dialect of the other")
def test_a_start_imports_no_alembic(directory: Path) -> None:
    """Opening a database of the newest schema and reading from it imports neither Alembic nor another database's dialect."""
    program = (
        "import sys; from storage.store import Store; from storage import journal, roster\n"
        "with Store.open(sys.argv[1]).read() as session: roster.load(session, 1)\n"
        "print([name for name in sys.modules if name in ('alembic', 'mako', 'sqlalchemy.dialects.postgresql')])"
    )
    said = subprocess.run([sys.executable, "-c", program, str(directory)], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "[]"


def test_nothing_but_the_package_is_needed_for_a_migration(tmp_path: Path) -> None:
    """From another working folder, with no configuration file about, an empty folder gets its database."""
    program = "import sys; sys.path.insert(0, sys.argv[1]); from storage.store import Store; Store.open('data').close()"
    root = Path(schema.__file__).parent.parent
    subprocess.run([sys.executable, "-c", program, str(root)], cwd=tmp_path, check=True)
    assert (tmp_path / "data" / FILE_NAME).exists()
