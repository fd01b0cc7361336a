"""An index of the notes alone: the few that carry fields of their own are found without passing by every act that ever was."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

NAME = "ix_entries_notes"
NOTES = "kind = 'note'"


def upgrade() -> None:
    """Make it; its first columns are those by which the database would else choose another."""
    where = sa.text(NOTES)
    columns = ["collection_id", "mood", "kind", "moment"]
    op.create_index(NAME, "entries", columns, sqlite_where=where, postgresql_where=where)


def downgrade() -> None:
    """Drop it."""
    op.drop_index(NAME, "entries")
