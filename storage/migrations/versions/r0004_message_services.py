"""What the message services need: accounts, chats, invitations, photos, labels, and a sender's marks on the outbox."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

from storage.migrations.blocks import FLAG, TEXT, UTC, WHOLE, columns, id_column, index, maybe, points

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

NO = sa.false()
TABLES = ("accounts", "chats", "invites", "turned_away", "photos", "labels", "focuses")
NEW_COLUMNS = {
    "members": ("chat", "left_at"),
    "inbox": ("carries", "album", "pressed", "overheard"),
    "outbox": ("token", "replaces", "given_up", "tries", "error", "due_at", "claimed_by", "lease_until"),
}


def upgrade() -> None:
    """Make the tables, and widen members, inbox and outbox."""
    _widen()
    _people()
    _photos()
    _labels()


def downgrade() -> None:
    """Drop them."""
    for table in reversed(TABLES):
        op.drop_table(table)
    op.drop_index("ix_inbox_album", "inbox")
    op.drop_index("ix_outbox_replaces", "outbox")
    op.drop_index("uq_outbox_token", "outbox")
    for table, names in NEW_COLUMNS.items():
        for name in names:
            op.drop_column(table, name)


def _widen() -> None:
    for column in (*maybe(TEXT, "chat"), *maybe(UTC, "left_at")):
        op.add_column("members", column)
    for column in (*maybe(TEXT, "carries", "album"), *maybe(WHOLE, "pressed"), _unset("overheard", FLAG, NO)):
        op.add_column("inbox", column)
    index("inbox", "album")
    for column in (
        *maybe(TEXT, "token"),
        *maybe(WHOLE, "replaces"),
        _unset("given_up", FLAG, NO),
        _unset("tries", WHOLE, sa.text("0")),
        *maybe(TEXT, "error"),
        *maybe(UTC, "due_at"),
        *maybe(TEXT, "claimed_by"),
        *maybe(UTC, "lease_until"),
    ):
        op.add_column("outbox", column)
    index("outbox", "replaces")
    # A unique index, as SQLite takes no constraint on a table that exists.
    op.create_index("uq_outbox_token", "outbox", ["token"], unique=True)


def _unset(name: str, sort: sa.types.TypeEngine[Any], value: Any) -> sa.Column[Any]:  # noqa: ANN401 - any constant in SQL
    """A column that always holds a value, this one in the rows there are."""
    return sa.Column(name, sort, nullable=False, server_default=value)


def _people() -> None:
    op.create_table(
        "accounts", sa.Column("channel", TEXT, primary_key=True), *maybe(TEXT, "address", "name", "position")
    )
    op.create_table(
        "chats",
        sa.Column("channel", TEXT, primary_key=True),
        sa.Column("chat", TEXT, primary_key=True),
        *maybe(UTC, "blocked_since"),
        *maybe(TEXT, "moved_to"),
    )
    op.create_table(
        "invites",
        id_column(),
        *columns(WHOLE, "collection_id"),
        *columns(TEXT, "role", "code_key"),
        *columns(UTC, "expires_at"),
        *maybe(WHOLE, "used_by"),
        *points("invites", collection_id="collections", used_by="members"),
        sa.UniqueConstraint("code_key", name="uq_invites_code_key"),
    )
    op.create_table(
        "turned_away",
        sa.Column("channel", TEXT, primary_key=True),
        sa.Column("address", TEXT, primary_key=True),
        *columns(UTC, "told_at"),
    )


def _photos() -> None:
    op.create_table(
        "photos",
        id_column(),
        *columns(WHOLE, "collection_id", "inbox_id", "about_id"),
        *columns(TEXT, "channel", "reference", "state"),
        *maybe(TEXT, "digest", "media_type"),
        *maybe(WHOLE, "size_bytes"),
        *columns(WHOLE, "tries"),
        *maybe(UTC, "due_at"),
        *points("photos", collection_id="collections", inbox_id="inbox", about_id="inbox"),
        sa.CheckConstraint("state IN ('wanted', 'kept', 'lost')", name="ck_photos_state"),
    )
    index("photos", "state", "id")
    index("photos", "about_id")
    index("photos", "inbox_id")
    index("photos", "collection_id", "id")


def _labels() -> None:
    op.create_table(
        "labels",
        sa.Column("code", TEXT, primary_key=True),
        *columns(WHOLE, "collection_id", "enclosure_id"),
        *points("labels", collection_id="collections", enclosure_id="enclosures"),
        sa.UniqueConstraint("enclosure_id", name="uq_labels_enclosure_id"),
    )
    index("labels", "collection_id")
    op.create_table(
        "focuses",
        sa.Column("member_id", WHOLE, primary_key=True),
        *columns(WHOLE, "enclosure_id"),
        *columns(UTC, "looks_until"),
        *points("focuses", member_id="members", enclosure_id="enclosures"),
    )
