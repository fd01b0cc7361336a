"""The first tables."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

TEXT, WHOLE, FLAG = sa.Text(), sa.Integer(), sa.Boolean()
DAY, CLOCK, WALL, UTC = sa.Date(), sa.Time(), sa.DateTime(), sa.DateTime(timezone=True)

TABLES = (
    "collections",
    "members",
    "inbox",
    "outbox",
    "enclosures",
    "occupants",
    "aliases",
    "tags",
    "roster_changes",
    "entries",
    "entry_subjects",
    "retractions",
    "stays",
    "lineage",
    "questions",
    "vocabulary",
)
APPEND_ONLY = ("entries", "entry_subjects", "retractions", "roster_changes", "vocabulary")


def upgrade() -> None:
    """Make every table, and the triggers that keep the journal append-only."""
    for make in (
        _collections,
        _members,
        _inbox,
        _outbox,
        _enclosures,
        _occupants,
        _aliases,
        _tags,
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
        _forbid_changes(table)


def downgrade() -> None:
    """Go back to an empty database."""
    for table in reversed(TABLES):
        op.drop_table(table)
    if op.get_bind().dialect.name == "postgresql":
        op.execute("DROP FUNCTION rackside_append_only()")


def _forbid_changes(table: str) -> None:
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


def _id() -> sa.Column[int]:
    return sa.Column("id", WHOLE, primary_key=True)


def _points(table: str, column: str, target: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{target}.id"], name=f"fk_{table}_{column}")


def _where(condition: str) -> dict[str, Any]:
    """A partial index, on either database."""
    return {"sqlite_where": sa.text(condition), "postgresql_where": sa.text(condition)}


def _collections() -> None:
    op.create_table(
        "collections",
        _id(),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("zone", TEXT, nullable=False),
        sa.Column("units", TEXT, nullable=False),
    )


def _members() -> None:
    op.create_table(
        "members",
        _id(),
        sa.Column("collection_id", WHOLE, nullable=False),
        sa.Column("channel", TEXT, nullable=False),
        sa.Column("address", TEXT, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("role", TEXT, nullable=False),
        sa.Column("joined_at", UTC, nullable=False),
        _points("members", "collection_id", "collections"),
        sa.PrimaryKeyConstraint("id", name="pk_members"),
        sa.UniqueConstraint("channel", "address", name="uq_members_channel_address"),
    )
    op.create_index("ix_members_collection_id", "members", ["collection_id"])


def _inbox() -> None:
    op.create_table(
        "inbox",
        _id(),
        sa.Column("collection_id", WHOLE, nullable=False),
        sa.Column("member_id", WHOLE, nullable=False),
        sa.Column("channel", TEXT, nullable=False),
        sa.Column("chat", TEXT, nullable=False),
        sa.Column("key", TEXT, nullable=False),
        sa.Column("revision", WHOLE, nullable=False),
        sa.Column("text", TEXT, nullable=False),
        sa.Column("sent_at", UTC, nullable=False),
        sa.Column("edits", TEXT),
        sa.Column("deletes", TEXT),
        sa.Column("reply_to", TEXT),
        sa.Column("state", TEXT, nullable=False),
        sa.Column("tries", WHOLE, nullable=False),
        sa.Column("error", TEXT),
        sa.CheckConstraint("state IN ('waiting', 'done', 'aside')", name="ck_inbox_state"),
        _points("inbox", "collection_id", "collections"),
        _points("inbox", "member_id", "members"),
        sa.PrimaryKeyConstraint("id", name="pk_inbox"),
        sa.UniqueConstraint("channel", "chat", "key", "revision", name="uq_inbox_channel_chat_key_revision"),
    )
    op.create_index("ix_inbox_waiting", "inbox", ["id"], **_where("state = 'waiting'"))


def _outbox() -> None:
    op.create_table(
        "outbox",
        _id(),
        sa.Column("collection_id", WHOLE, nullable=False),
        sa.Column("channel", TEXT, nullable=False),
        sa.Column("chat", TEXT, nullable=False),
        sa.Column("inbox_id", WHOLE),
        sa.Column("body", TEXT, nullable=False),
        sa.Column("service_id", TEXT),
        sa.Column("sent", FLAG, nullable=False),
        _points("outbox", "collection_id", "collections"),
        _points("outbox", "inbox_id", "inbox"),
    )
    op.create_index("ix_outbox_channel_chat_service_id", "outbox", ["channel", "chat", "service_id"])
    op.create_index("ix_outbox_inbox_id", "outbox", ["inbox_id"])
    op.create_index("ix_outbox_waiting", "outbox", ["id"], **_where("NOT sent"))


def _enclosures() -> None:
    op.create_table(
        "enclosures",
        _id(),
        sa.Column("collection_id", WHOLE, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("name_key", TEXT, nullable=False),
        sa.Column("size_cm", TEXT),
        sa.Column("opened_on", DAY),
        sa.Column("closed_on", DAY),
        _points("enclosures", "collection_id", "collections"),
    )
    op.create_index(
        "uq_enclosures_open_name",
        "enclosures",
        ["collection_id", "name_key"],
        unique=True,
        **_where("closed_on IS NULL"),
    )


def _occupants() -> None:
    op.create_table(
        "occupants",
        _id(),
        sa.Column("collection_id", WHOLE, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("name_key", TEXT, nullable=False),
        sa.Column("kind", TEXT, nullable=False),
        sa.Column("species", TEXT),
        sa.Column("count", WHOLE),
        sa.Column("ended_on", DAY),
        _points("occupants", "collection_id", "collections"),
    )
    op.create_index(
        "uq_occupants_open_name", "occupants", ["collection_id", "name_key"], unique=True, **_where("ended_on IS NULL")
    )


def _aliases() -> None:
    op.create_table(
        "aliases",
        _id(),
        sa.Column("collection_id", WHOLE, nullable=False),
        sa.Column("enclosure_id", WHOLE),
        sa.Column("occupant_id", WHOLE),
        sa.Column("alias", TEXT, nullable=False),
        sa.Column("alias_key", TEXT, nullable=False),
        sa.CheckConstraint("(enclosure_id IS NULL) <> (occupant_id IS NULL)", name="ck_aliases_one_owner"),
        _points("aliases", "collection_id", "collections"),
        _points("aliases", "enclosure_id", "enclosures"),
        _points("aliases", "occupant_id", "occupants"),
    )
    op.create_index("ix_aliases_collection_id", "aliases", ["collection_id"])


def _tags() -> None:
    op.create_table(
        "tags",
        _id(),
        sa.Column("collection_id", WHOLE, nullable=False),
        sa.Column("enclosure_id", WHOLE, nullable=False),
        sa.Column("tag", TEXT, nullable=False),
        sa.Column("tag_key", TEXT, nullable=False),
        _points("tags", "collection_id", "collections"),
        _points("tags", "enclosure_id", "enclosures"),
        sa.PrimaryKeyConstraint("id", name="pk_tags"),
        sa.UniqueConstraint("enclosure_id", "tag_key", name="uq_tags_enclosure_id_tag_key"),
    )
    op.create_index("ix_tags_collection_id", "tags", ["collection_id"])


def _roster_changes() -> None:
    op.create_table(
        "roster_changes",
        _id(),
        sa.Column("collection_id", WHOLE, nullable=False),
        sa.Column("member_id", WHOLE),
        sa.Column("message_id", WHOLE),
        sa.Column("told_at", UTC),
        sa.Column("what", TEXT, nullable=False),
        sa.Column("words", TEXT, nullable=False),
        _points("roster_changes", "collection_id", "collections"),
        _points("roster_changes", "member_id", "members"),
        _points("roster_changes", "message_id", "inbox"),
    )
    op.create_index("ix_roster_changes_collection_id", "roster_changes", ["collection_id"])


def _entries() -> None:
    op.create_table(
        "entries",
        _id(),
        sa.Column("collection_id", WHOLE, nullable=False),
        sa.Column("member_id", WHOLE),
        sa.Column("message_id", WHOLE),
        sa.Column("told_at", UTC, nullable=False),
        sa.Column("kind", TEXT, nullable=False),
        sa.Column("mood", TEXT, nullable=False),
        sa.Column("happened_on", DAY),
        sa.Column("happened_at", CLOCK),
        sa.Column("part", TEXT),
        sa.Column("zone", TEXT, nullable=False),
        sa.Column("moment", WALL),
        sa.Column("fields", TEXT, nullable=False),
        sa.Column("words", TEXT, nullable=False),
        sa.Column("supersedes", WHOLE),
        sa.Column("origin_id", WHOLE),
        sa.CheckConstraint("mood IN ('log', 'plan')", name="ck_entries_mood"),
        _points("entries", "collection_id", "collections"),
        _points("entries", "member_id", "members"),
        _points("entries", "message_id", "inbox"),
        _points("entries", "origin_id", "entries"),
        _points("entries", "supersedes", "entries"),
    )
    op.create_index("ix_entries_collection_id_mood_moment", "entries", ["collection_id", "mood", "moment"])
    op.create_index("ix_entries_member_id_id", "entries", ["member_id", "id"])
    op.create_index("ix_entries_message_id", "entries", ["message_id"])
    op.create_index("ix_entries_origin_id", "entries", ["origin_id"])
    op.create_index("ix_entries_supersedes", "entries", ["supersedes"])


def _entry_subjects() -> None:
    op.create_table(
        "entry_subjects",
        sa.Column("entry_id", WHOLE, nullable=False),
        sa.Column("position", WHOLE, nullable=False),
        sa.Column("occupant_id", WHOLE),
        sa.Column("enclosure_id", WHOLE),
        sa.Column("named", FLAG, nullable=False),
        sa.Column("mood", TEXT, nullable=False),
        sa.Column("kind", TEXT, nullable=False),
        sa.Column("moment", WALL),
        sa.Column("origin_id", WHOLE, nullable=False),
        sa.CheckConstraint("(enclosure_id IS NULL) <> (occupant_id IS NULL)", name="ck_entry_subjects_one_subject"),
        _points("entry_subjects", "enclosure_id", "enclosures"),
        _points("entry_subjects", "entry_id", "entries"),
        _points("entry_subjects", "occupant_id", "occupants"),
        _points("entry_subjects", "origin_id", "entries"),
        sa.PrimaryKeyConstraint("entry_id", "position", name="pk_entry_subjects"),
    )
    op.create_index(
        "ix_entry_subjects_enclosure_all",
        "entry_subjects",
        ["enclosure_id", "mood", "moment", "origin_id", "entry_id"],
        **_where("enclosure_id IS NOT NULL"),
    )
    op.create_index(
        "ix_entry_subjects_enclosure_kind",
        "entry_subjects",
        ["enclosure_id", "mood", "kind", "moment", "origin_id", "entry_id"],
        **_where("enclosure_id IS NOT NULL"),
    )
    op.create_index(
        "ix_entry_subjects_occupant_all",
        "entry_subjects",
        ["occupant_id", "mood", "moment", "origin_id", "entry_id"],
        **_where("occupant_id IS NOT NULL"),
    )
    op.create_index(
        "ix_entry_subjects_occupant_kind",
        "entry_subjects",
        ["occupant_id", "mood", "kind", "moment", "origin_id", "entry_id"],
        **_where("occupant_id IS NOT NULL"),
    )


def _retractions() -> None:
    op.create_table(
        "retractions",
        _id(),
        sa.Column("entry_id", WHOLE, nullable=False),
        sa.Column("member_id", WHOLE),
        sa.Column("message_id", WHOLE),
        sa.Column("told_at", UTC, nullable=False),
        _points("retractions", "entry_id", "entries"),
        _points("retractions", "member_id", "members"),
        _points("retractions", "message_id", "inbox"),
        sa.PrimaryKeyConstraint("id", name="pk_retractions"),
        sa.UniqueConstraint("entry_id", name="uq_retractions_entry_id"),
    )


def _stays() -> None:
    op.create_table(
        "stays",
        _id(),
        sa.Column("collection_id", WHOLE, nullable=False),
        sa.Column("occupant_id", WHOLE, nullable=False),
        sa.Column("enclosure_id", WHOLE, nullable=False),
        sa.Column("entry_id", WHOLE, nullable=False),
        sa.Column("since", DAY),
        sa.Column("until", DAY),
        sa.Column("from_moment", WALL, nullable=False),
        sa.Column("from_origin", WHOLE, nullable=False),
        sa.Column("until_moment", WALL, nullable=False),
        sa.Column("until_origin", WHOLE, nullable=False),
        _points("stays", "collection_id", "collections"),
        _points("stays", "enclosure_id", "enclosures"),
        _points("stays", "entry_id", "entries"),
        _points("stays", "occupant_id", "occupants"),
    )
    op.create_index("ix_stays_collection_id", "stays", ["collection_id"])
    op.create_index("ix_stays_enclosure_id", "stays", ["enclosure_id"])
    op.create_index("ix_stays_occupant_id", "stays", ["occupant_id"])


def _lineage() -> None:
    op.create_table(
        "lineage",
        _id(),
        sa.Column("child_id", WHOLE, nullable=False),
        sa.Column("parent_id", WHOLE, nullable=False),
        sa.Column("how", TEXT, nullable=False),
        sa.Column("entry_id", WHOLE),
        sa.Column("happened_on", DAY),
        _points("lineage", "child_id", "occupants"),
        _points("lineage", "entry_id", "entries"),
        _points("lineage", "parent_id", "occupants"),
    )
    op.create_index("ix_lineage_child_id", "lineage", ["child_id"])
    op.create_index("ix_lineage_parent_id", "lineage", ["parent_id"])


def _questions() -> None:
    op.create_table(
        "questions",
        _id(),
        sa.Column("collection_id", WHOLE, nullable=False),
        sa.Column("member_id", WHOLE, nullable=False),
        sa.Column("inbox_id", WHOLE),
        sa.Column("pending", TEXT, nullable=False),
        sa.Column("asked_at", UTC, nullable=False),
        sa.Column("settled_by", WHOLE),
        sa.Column("how", TEXT),
        _points("questions", "collection_id", "collections"),
        _points("questions", "inbox_id", "inbox"),
        _points("questions", "member_id", "members"),
        _points("questions", "settled_by", "inbox"),
    )
    op.create_index("ix_questions_member_id_id", "questions", ["member_id", "id"])


def _vocabulary() -> None:
    op.create_table(
        "vocabulary",
        _id(),
        sa.Column("collection_id", WHOLE, nullable=False),
        sa.Column("phrase", TEXT, nullable=False),
        sa.Column("phrase_key", TEXT, nullable=False),
        sa.Column("means", TEXT),
        sa.Column("member_id", WHOLE),
        sa.Column("message_id", WHOLE),
        sa.Column("told_at", UTC),
        _points("vocabulary", "collection_id", "collections"),
        _points("vocabulary", "member_id", "members"),
        _points("vocabulary", "message_id", "inbox"),
    )
    op.create_index("ix_vocabulary_collection_id", "vocabulary", ["collection_id"])
