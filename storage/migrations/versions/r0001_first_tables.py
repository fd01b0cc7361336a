"""The first tables."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from storage.migrations.blocks import (
    CLOCK,
    DAY,
    FLAG,
    TEXT,
    UTC,
    WALL,
    WHOLE,
    columns,
    forbid_changes,
    id_column,
    index,
    maybe,
    points,
)

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

APPEND_ONLY = ("entries", "entry_subjects", "retractions", "roster_changes", "vocabulary")


def upgrade() -> None:
    """Make every table, and the triggers that keep the journal append-only."""
    for make in (
        _people,
        _mail,
        _roster,
        _names,
        _roster_changes,
        _entries,
        _entry_subjects,
        _retractions,
        _stays,
        _lineage,
        _questions,
        _vocabulary,
    ):
        make()
    for table in APPEND_ONLY:
        forbid_changes(table)


def downgrade() -> None:
    """Go back to an empty database."""
    tables = sa.MetaData()
    tables.reflect(op.get_bind())
    for table in reversed(tables.sorted_tables):
        if table.name != "alembic_version":
            op.drop_table(table.name)
    if op.get_bind().dialect.name == "postgresql":
        op.execute("DROP FUNCTION rackside_append_only()")


def _people() -> None:
    op.create_table("collections", id_column(), *columns(TEXT, "name", "zone", "units"))
    op.create_table(
        "members",
        id_column(),
        *columns(WHOLE, "collection_id"),
        *columns(TEXT, "channel", "address", "name", "role"),
        *columns(UTC, "joined_at"),
        *points("members", collection_id="collections"),
        sa.UniqueConstraint("channel", "address", name="uq_members_channel_address"),
    )
    index("members", "collection_id")


def _mail() -> None:
    op.create_table(
        "inbox",
        id_column(),
        *columns(WHOLE, "collection_id", "member_id"),
        *columns(TEXT, "channel", "chat", "key"),
        *columns(WHOLE, "revision"),
        *columns(TEXT, "text"),
        *columns(UTC, "sent_at"),
        *maybe(TEXT, "edits", "deletes", "reply_to"),
        *columns(TEXT, "state"),
        *columns(WHOLE, "tries"),
        *maybe(TEXT, "error"),
        sa.CheckConstraint("state IN ('waiting', 'done', 'aside')", name="ck_inbox_state"),
        *points("inbox", collection_id="collections", member_id="members"),
        sa.UniqueConstraint("channel", "chat", "key", "revision", name="uq_inbox_channel_chat_key_revision"),
    )
    index("inbox", "state", "id")
    op.create_table(
        "outbox",
        id_column(),
        *columns(WHOLE, "collection_id"),
        *columns(TEXT, "channel", "chat"),
        *maybe(WHOLE, "inbox_id"),
        *columns(TEXT, "body"),
        *maybe(TEXT, "service_id"),
        *columns(FLAG, "sent"),
        *points("outbox", collection_id="collections", inbox_id="inbox"),
    )
    index("outbox", "channel", "chat", "service_id")
    index("outbox", "inbox_id")
    index("outbox", "sent", "id")


def _roster() -> None:
    op.create_table(
        "enclosures",
        id_column(),
        *columns(WHOLE, "collection_id"),
        *columns(TEXT, "name"),
        *maybe(TEXT, "name_key", "size_cm"),
        *maybe(DAY, "opened_on", "closed_on"),
        *points("enclosures", collection_id="collections"),
        sa.UniqueConstraint("collection_id", "name_key", name="uq_enclosures_collection_id_name_key"),
    )
    op.create_table(
        "occupants",
        id_column(),
        *columns(WHOLE, "collection_id"),
        *columns(TEXT, "name"),
        *maybe(TEXT, "name_key"),
        *columns(TEXT, "kind"),
        *maybe(TEXT, "species"),
        *maybe(WHOLE, "count"),
        *maybe(DAY, "ended_on"),
        *points("occupants", collection_id="collections"),
        sa.UniqueConstraint("collection_id", "name_key", name="uq_occupants_collection_id_name_key"),
    )


def _names() -> None:
    op.create_table(
        "aliases",
        id_column(),
        *columns(WHOLE, "collection_id"),
        *maybe(WHOLE, "enclosure_id", "occupant_id"),
        *columns(TEXT, "alias", "alias_key"),
        sa.CheckConstraint("(enclosure_id IS NULL) <> (occupant_id IS NULL)", name="ck_aliases_one_owner"),
        *points("aliases", collection_id="collections", enclosure_id="enclosures", occupant_id="occupants"),
    )
    index("aliases", "collection_id")
    op.create_table(
        "tags",
        id_column(),
        *columns(WHOLE, "collection_id", "enclosure_id"),
        *columns(TEXT, "tag", "tag_key"),
        *points("tags", collection_id="collections", enclosure_id="enclosures"),
        sa.UniqueConstraint("enclosure_id", "tag_key", name="uq_tags_enclosure_id_tag_key"),
    )
    index("tags", "collection_id")


def _roster_changes() -> None:
    op.create_table(
        "roster_changes",
        id_column(),
        *columns(WHOLE, "collection_id"),
        *maybe(WHOLE, "member_id", "message_id"),
        *maybe(UTC, "told_at"),
        *columns(TEXT, "what", "words"),
        *points("roster_changes", collection_id="collections", member_id="members", message_id="inbox"),
    )
    index("roster_changes", "collection_id")


def _entries() -> None:
    op.create_table(
        "entries",
        id_column(),
        *columns(WHOLE, "collection_id"),
        *maybe(WHOLE, "member_id", "message_id"),
        *columns(UTC, "told_at"),
        *columns(TEXT, "kind", "mood"),
        *maybe(DAY, "happened_on"),
        *maybe(CLOCK, "happened_at"),
        *maybe(TEXT, "part"),
        *columns(TEXT, "zone"),
        *maybe(WALL, "moment"),
        *columns(TEXT, "fields", "words"),
        *maybe(WHOLE, "supersedes", "origin_id"),
        sa.CheckConstraint("mood IN ('log', 'plan')", name="ck_entries_mood"),
        *points(
            "entries",
            collection_id="collections",
            member_id="members",
            message_id="inbox",
            origin_id="entries",
            supersedes="entries",
        ),
    )
    index("entries", "collection_id", "mood", "moment")
    index("entries", "member_id", "id")
    index("entries", "message_id")
    index("entries", "origin_id")
    index("entries", "supersedes")


def _entry_subjects() -> None:
    op.create_table(
        "entry_subjects",
        *columns(WHOLE, "entry_id", "position"),
        *maybe(WHOLE, "occupant_id", "enclosure_id"),
        *columns(FLAG, "named"),
        *columns(TEXT, "mood", "kind"),
        *maybe(WALL, "moment"),
        *columns(WHOLE, "origin_id"),
        sa.CheckConstraint("(enclosure_id IS NULL) <> (occupant_id IS NULL)", name="ck_entry_subjects_one_subject"),
        *points(
            "entry_subjects",
            enclosure_id="enclosures",
            entry_id="entries",
            occupant_id="occupants",
            origin_id="entries",
        ),
        sa.PrimaryKeyConstraint("entry_id", "position", name="pk_entry_subjects"),
    )
    subject, order = ("occupant_id", "enclosure_id"), ("moment", "origin_id", "entry_id")
    op.create_index("ix_entry_subjects_all", "entry_subjects", [*subject, "mood", *order])
    op.create_index("ix_entry_subjects_kind", "entry_subjects", [*subject, "mood", "kind", *order])


def _retractions() -> None:
    op.create_table(
        "retractions",
        id_column(),
        *columns(WHOLE, "entry_id"),
        *maybe(WHOLE, "member_id", "message_id"),
        *columns(UTC, "told_at"),
        *points("retractions", entry_id="entries", member_id="members", message_id="inbox"),
        sa.UniqueConstraint("entry_id", name="uq_retractions_entry_id"),
    )


def _stays() -> None:
    op.create_table(
        "stays",
        id_column(),
        *columns(WHOLE, "collection_id", "occupant_id", "enclosure_id", "entry_id"),
        *maybe(DAY, "since", "until"),
        *columns(WALL, "from_moment"),
        *columns(WHOLE, "from_origin"),
        *columns(WALL, "until_moment"),
        *columns(WHOLE, "until_origin"),
        *points(
            "stays", collection_id="collections", enclosure_id="enclosures", entry_id="entries", occupant_id="occupants"
        ),
    )
    index("stays", "collection_id")
    index("stays", "enclosure_id")
    index("stays", "occupant_id")


def _lineage() -> None:
    op.create_table(
        "lineage",
        id_column(),
        *columns(WHOLE, "child_id", "parent_id"),
        *columns(TEXT, "how"),
        *maybe(WHOLE, "entry_id"),
        *maybe(DAY, "happened_on"),
        *points("lineage", child_id="occupants", entry_id="entries", parent_id="occupants"),
    )
    index("lineage", "child_id")
    index("lineage", "parent_id")


def _questions() -> None:
    op.create_table(
        "questions",
        id_column(),
        *columns(WHOLE, "collection_id", "member_id"),
        *maybe(WHOLE, "inbox_id"),
        *columns(TEXT, "pending"),
        *columns(UTC, "asked_at"),
        *maybe(WHOLE, "settled_by"),
        *maybe(TEXT, "how"),
        *points("questions", collection_id="collections", inbox_id="inbox", member_id="members", settled_by="inbox"),
    )
    index("questions", "member_id", "id")


def _vocabulary() -> None:
    op.create_table(
        "vocabulary",
        id_column(),
        *columns(WHOLE, "collection_id"),
        *columns(TEXT, "phrase", "phrase_key"),
        *maybe(TEXT, "means"),
        *maybe(WHOLE, "member_id", "message_id"),
        *maybe(UTC, "told_at"),
        *points("vocabulary", collection_id="collections", member_id="members", message_id="inbox"),
    )
    index("vocabulary", "collection_id")
