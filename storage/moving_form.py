"""Which columns of a collection go into its document, and how each is written there: one description for both ways.

A row is named in the document, not numbered (see `storage.moving_names`), and every reference to a row is such a name.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select

from storage.tables import (
    Base,
    Enclosure,
    Entry,
    Inbox,
    Lineage,
    Member,
    Occupant,
    Photo,
    Retraction,
    RosterChange,
    Taught,
)

PLAIN, DAY, CLOCK, MOMENT, NAMED = "plain", "day", "clock", "moment", "named"
"""How a value is written: as it is; as 2026-03-02; as 21:30:00; as a moment in UTC; as JSON in which rows are named."""


@dataclass(frozen=True, slots=True)
class Part:
    """One column: what it is called in the document, in the model, and how it is written; `sort` may be a section referred to."""

    name: str
    column: str
    sort: str = PLAIN


@dataclass(frozen=True, slots=True)
class Section:
    """One table of rows that have names: `parts` are its columns beside the row's own name, `id`."""

    name: str
    model: type[Base]
    parts: tuple[Part, ...]


def _parts(*told: str) -> tuple[Part, ...]:
    """Parts from "name", "name:sort" or "name=column:sort"."""
    found = []
    for one in told:
        head, _, sort = one.partition(":")
        name, _, column = head.partition("=")
        found.append(Part(name, column or name, sort or PLAIN))
    return tuple(found)


_CAUSE = ("member=member_id:members", "message=message_id:messages", "told_at:moment")

MEMBERS = Section(
    "members", Member, _parts("channel", "address", "name", "role", "joined_at:moment", "chat", "left_at:moment")
)
ENCLOSURES = Section("enclosures", Enclosure, _parts("name", "size_cm", "opened_on:day", "closed_on:day"))
OCCUPANTS = Section("occupants", Occupant, _parts("name", "kind", "species", "count", "ended_on:day"))
MESSAGES = Section(
    "messages",
    Inbox,
    _parts(
        "member=member_id:members",
        *("channel", "chat", "key", "revision", "text", "sent_at:moment", "edits", "deletes", "reply_to"),
        *("carries", "album", "overheard", "state", "error"),
    ),
)
ENTRIES = Section(
    "entries",
    Entry,
    _parts(
        *_CAUSE,
        *("kind", "mood", "on:day", "at:clock", "part", "zone", "fields:named", "words"),
        "supersedes:entries",
    ),
)
RETRACTIONS = Section("retractions", Retraction, _parts("entry=entry_id:entries", *_CAUSE))
CHANGES = Section("roster_changes", RosterChange, _parts(*_CAUSE, "what:named", "words"))
VOCABULARY = Section("vocabulary", Taught, _parts("phrase", "means", *_CAUSE))
LINEAGE = Section(
    "lineage",
    Lineage,
    _parts("child=child_id:occupants", "parent=parent_id:occupants", "how", "entry=entry_id:entries", "on:day"),
)
PHOTOS = Section(
    "photos",
    Photo,
    _parts(
        "message=inbox_id:messages",
        "about=about_id:messages",
        *("channel", "state", "digest", "media_type", "bytes"),
    ),
)

SECTIONS: tuple[Section, ...] = (
    MEMBERS,
    ENCLOSURES,
    OCCUPANTS,
    MESSAGES,
    ENTRIES,
    RETRACTIONS,
    CHANGES,
    VOCABULARY,
    LINEAGE,
    PHOTOS,
)
"""In an order in which each refers only to itself and to those before it."""

PREFERENCES = _parts("morning_at:clock", "look_in_at:clock", "quiet_from:clock", "quiet_until:clock", "receives")

REFERRING: Mapping[str, str] = {
    "to_enclosure_id": "enclosures",
    "enclosure_id": "enclosures",
    "to_occupant_id": "occupants",
    "new_occupant_id": "occupants",
    "occupant_id": "occupants",
    "plan": "entries",
    "restores": "entries",
}
"""Names within the JSON of `fields` and `what` whose values are rows, with the section of each."""


def of_collection(section: Section, collection_id: int) -> Any:  # noqa: ANN401 - a condition, or one that looks elsewhere
    """SQL condition: the rows of a section that belong to a collection."""
    model: Any = section.model
    if section is RETRACTIONS:
        return model.entry_id.in_(select(Entry.id).where(Entry.collection_id == collection_id))
    if section is LINEAGE:
        return model.child_id.in_(select(Occupant.id).where(Occupant.collection_id == collection_id))
    return model.collection_id == collection_id
