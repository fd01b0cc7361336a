"""Rows that benchmarks put into the tables as they are, past the journal."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from storage.tables import Entry

READ = (
    Entry.id, Entry.kind, Entry.mood, Entry.on, Entry.at, Entry.part, Entry.moment, Entry.fields, Entry.words,
)  # fmt: skip
"""The columns of an entry that every answer needs: what the plain read of a benchmark fetches."""


def subject_row(entry_id: int, kind: str, moment: datetime, of_whom: tuple[int | None, int | None]) -> dict[str, Any]:
    """The row of an entry's only subject; `of_whom` holds the occupant's or else the enclosure's id."""
    occupant, enclosure = of_whom
    return {
        "entry_id": entry_id,
        "position": 0,
        "occupant_id": occupant,
        "enclosure_id": enclosure,
        "named": True,
        "mood": "log",
        "kind": kind,
        "moment": moment,
        "origin_id": entry_id,
    }
