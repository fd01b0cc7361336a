"""Pushes, sweeps and preferences: the bot speaks first."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from storage.migrations.blocks import CLOCK, TEXT, UTC, WHOLE, columns, id_column, index, maybe, points

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

STATES = "'planned', 'claimed', 'sent', 'answered', 'skipped', 'snoozed'"
PURPOSES = "'morning', 'look-in', 'plan', 'leftovers'"
KEY = ("collection_id", "member_id", "purpose", "subject", "slot")


def upgrade() -> None:
    """Make the three tables."""
    _pushes()
    op.create_table(
        "sweeps",
        sa.Column("member_id", WHOLE, primary_key=True),
        *columns(UTC, "swept_until"),
        *columns(TEXT, "zone"),
        *points("sweeps", member_id="members"),
    )
    op.create_table(
        "preferences",
        sa.Column("member_id", WHOLE, primary_key=True),
        *maybe(CLOCK, "morning_at", "look_in_at", "quiet_from", "quiet_until"),
        *maybe(TEXT, "receives"),
        *points("preferences", member_id="members"),
    )


def downgrade() -> None:
    """Drop them."""
    for table in ("preferences", "sweeps", "pushes"):
        op.drop_table(table)


def _pushes() -> None:
    op.create_table(
        "pushes",
        id_column(),
        *columns(WHOLE, "collection_id", "member_id"),
        *columns(TEXT, "purpose", "subject", "slot"),
        *columns(UTC, "planned_at", "wakes_at"),
        *columns(TEXT, "state"),
        *maybe(TEXT, "claimed_by"),
        *maybe(UTC, "lease_until", "sent_at"),
        *maybe(WHOLE, "outbox_id"),
        *points("pushes", collection_id="collections", member_id="members", outbox_id="outbox"),
        sa.UniqueConstraint(*KEY, name=f"uq_pushes_{'_'.join(KEY)}"),
        sa.CheckConstraint(f"state IN ({STATES})", name="ck_pushes_state"),
        sa.CheckConstraint(f"purpose IN ({PURPOSES})", name="ck_pushes_purpose"),
    )
    index("pushes", "member_id", "state", "wakes_at")
    index("pushes", "outbox_id")
