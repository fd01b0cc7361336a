"""The tables, as typed models. Plain dataclasses, not these, cross the border of the room.

`entries`, `entry_subjects`, `retractions`, `roster_changes` and `vocabulary` are append-only: triggers made by the migrations refuse every
UPDATE and DELETE. `stays` is a cache of what the journal says and may be rebuilt at any time.
"""

from __future__ import annotations

from storage.tables.base import Base
from storage.tables.journal import NOTES, REPEATING, Entry, EntrySubject, Lineage, Retraction, StayRecord
from storage.tables.messages import Inbox, Outbox, Question
from storage.tables.pushes import Preference, Push, Sweep
from storage.tables.roster import Alias, Collection, Enclosure, Member, Occupant, RosterChange, Tag, Taught
from storage.tables.services import Account, Chat, Focus, Invite, Label, Lease, Origin, Photo, TurnedAway

__all__ = [
    "APPEND_ONLY",
    "NOTES",
    "REPEATING",
    "Account",
    "Alias",
    "Base",
    "Chat",
    "Collection",
    "Enclosure",
    "Entry",
    "EntrySubject",
    "Focus",
    "Inbox",
    "Invite",
    "Label",
    "Lease",
    "Lineage",
    "Member",
    "Occupant",
    "Origin",
    "Outbox",
    "Photo",
    "Preference",
    "Push",
    "Question",
    "Retraction",
    "RosterChange",
    "StayRecord",
    "Sweep",
    "Tag",
    "Taught",
    "TurnedAway",
]

APPEND_ONLY = ("entries", "entry_subjects", "retractions", "roster_changes", "vocabulary")
