"""Building blocks of migrations. What a migration that is out has used must not change its meaning."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

TEXT, WHOLE, FLAG = sa.Text(), sa.Integer(), sa.Boolean()
DAY, CLOCK, WALL, UTC = sa.Date(), sa.Time(), sa.DateTime(), sa.DateTime(timezone=True)


def forbid_changes(table: str) -> None:
    """Refuse every UPDATE and DELETE on a table, by a trigger in the database's own language."""
    refusal = f"{table} is append-only"
    dialect = op.get_bind().dialect.name
    if dialect == "sqlite":
        for act in ("UPDATE", "DELETE"):
            name = f"{table}_refuses_{act.lower()}"
            op.execute(f"CREATE TRIGGER {name} BEFORE {act} ON {table} BEGIN SELECT RAISE(ABORT, '{refusal}'); END")
    elif dialect == "postgresql":
        op.execute(
            "CREATE OR REPLACE FUNCTION rackside_append_only() RETURNS trigger LANGUAGE plpgsql AS "
            "$$ BEGIN RAISE EXCEPTION '% is append-only', TG_TABLE_NAME USING ERRCODE = 'integrity_constraint_violation'; END $$"
        )
        op.execute(
            f"CREATE TRIGGER {table}_refuses_changes BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION rackside_append_only()"
        )


def id_column() -> sa.Column[int]:
    """Primary key, counted up by the database."""
    return sa.Column("id", WHOLE, primary_key=True)


def columns(sort: sa.types.TypeEngine[Any], *names: str) -> list[sa.Column[Any]]:
    """Columns that always hold a value."""
    return [sa.Column(name, sort, nullable=False) for name in names]


def maybe(sort: sa.types.TypeEngine[Any], *names: str) -> list[sa.Column[Any]]:
    """Columns that may be empty."""
    return [sa.Column(name, sort) for name in names]


def points(table: str, **targets: str) -> list[sa.ForeignKeyConstraint]:
    """Foreign keys: the column, and the table whose id it holds."""
    return [
        sa.ForeignKeyConstraint([column], [f"{target}.id"], name=f"fk_{table}_{column}")
        for column, target in targets.items()
    ]


def index(table: str, *names: str) -> None:
    """Make an index on these columns, named after them."""
    op.create_index(f"ix_{table}_{'_'.join(names)}", table, list(names))
