"""The schema's revision: checked at every start, upgraded by Alembic when it is an older one.

Alembic is imported only when there is something to upgrade: a start should not pay for it.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import inspect

from storage.faults import StorageFault

if TYPE_CHECKING:
    from alembic.config import Config
    from sqlalchemy import Connection, Engine

HEAD = "0006"
"""The revision that this program works with: the newest in `migrations/versions`."""

_TURN = 7_225_325  # any number that all our processes use for this lock and nobody else does


def bring_up_to_date(readers: Engine, writers: Engine) -> None:
    """Make or upgrade the schema where needed. Raises StorageFault for a database of a newer program, or of another one."""
    with readers.connect() as connection:
        if revision(connection) == HEAD:
            return
    with writers.begin() as connection:
        if connection.dialect.name == "postgresql":  # SQLite's writers take turns by themselves
            connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_TURN})")
        if revision(connection) != HEAD:  # another process may have done it while we waited for the lock
            _upgrade(connection)


def revision(connection: Connection) -> str | None:
    """The stored revision, None for an empty database. Raises StorageFault for the database of another program."""
    found = inspect(connection)
    if found.has_table("alembic_version"):
        stored = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()
        return None if stored is None else str(stored)
    if found.get_table_names():
        raise StorageFault("The database belongs to another program; choose another data folder.")
    return None


def configuration() -> Config:
    """Alembic's configuration, made here so that it works from an installed package."""
    from alembic.config import Config  # noqa: PLC0415 - only a migration pays for it

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations").replace("%", "%%"))
    return config


def _upgrade(connection: Connection) -> None:
    from alembic import command  # noqa: PLC0415 - only a migration pays for it
    from alembic.script import ScriptDirectory  # noqa: PLC0415
    from alembic.util import CommandError  # noqa: PLC0415

    config = configuration()
    stored = revision(connection)
    if stored is not None:
        try:
            ScriptDirectory.from_config(config).get_revision(stored)
        except CommandError as error:
            raise StorageFault(
                f"The database was written by a newer Rackside (schema {stored}, this one knows {HEAD}); update Rackside."
            ) from error
    config.attributes["connection"] = connection
    command.upgrade(config, "head")
