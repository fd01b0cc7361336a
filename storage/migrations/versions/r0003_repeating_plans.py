"""An index of the repeating plans alone: an old one is found without passing by all plans that ever were."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

NAME = "ix_entries_repeating"
REPEATING = "fields LIKE '%\"every_days\"%'"


def upgrade() -> None:
    """Make it."""
    where = sa.text(REPEATING)
    op.create_index(NAME, "entries", ["collection_id"], sqlite_where=where, postgresql_where=where)


def downgrade() -> None:
    """Drop it."""
    op.drop_index(NAME, "entries")
