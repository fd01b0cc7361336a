"""What many processes, many collections and collections brought in from elsewhere need.

`leases` hold what only one process may do at a time, `collections.uid` is a name of a collection that is the same in every copy
of it, and `origins` say which row was made of which row of such a copy. A member's own messages are found among those of many.
"""

from __future__ import annotations

from uuid import uuid4

import sqlalchemy as sa
from alembic import op

from storage.migrations.blocks import TEXT, UTC, WHOLE, columns, index, points

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables, and name the collections there are."""
    op.create_table(
        "leases", sa.Column("name", TEXT, primary_key=True), *columns(TEXT, "holder"), *columns(UTC, "until")
    )
    op.add_column("collections", sa.Column("uid", TEXT))
    collections = sa.table("collections", sa.column("id", WHOLE), sa.column("uid", TEXT))
    bind = op.get_bind()
    for (collection_id,) in bind.execute(sa.select(collections.c.id)).all():
        bind.execute(collections.update().where(collections.c.id == collection_id).values(uid=uuid4().hex))
    # A unique index, as SQLite takes no constraint on a table that exists.
    op.create_index("uq_collections_uid", "collections", ["uid"], unique=True)
    op.create_table(
        "origins",
        sa.Column("collection_id", WHOLE, primary_key=True),
        sa.Column("source", TEXT, primary_key=True),
        sa.Column("kind", TEXT, primary_key=True),
        sa.Column("source_id", TEXT, primary_key=True),
        *columns(WHOLE, "own_id"),
        *points("origins", collection_id="collections"),
    )
    index("inbox", "member_id", "id")


def downgrade() -> None:
    """Drop them."""
    op.drop_index("ix_inbox_member_id_id", "inbox")
    op.drop_table("origins")
    op.drop_index("uq_collections_uid", "collections")
    op.drop_column("collections", "uid")
    op.drop_table("leases")
