"""Alembic runs this: it upgrades over the connection that storage.schema hands it, inside that connection's transaction."""

from __future__ import annotations

from alembic import context

from storage.tables import Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    transactional_ddl=True,
    render_as_batch=True,
)
with context.begin_transaction():
    context.run_migrations()
