"""The record of roster changes: what was changed, by whom, with which words. Append-only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from storage.tables import RosterChange

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class Cause:
    """Who brought a change about, by which message (inbox id), when and with which words."""

    member_id: int | None = None
    message_id: int | None = None
    told_at: datetime | None = None
    words: str = ""


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """One change: `what` holds `action` and what it was done to and with, as JSON."""

    id: int
    collection_id: int
    cause: Cause
    what: dict[str, Any]


def record(session: Session, collection_id: int, cause: Cause | None, action: str, **details: object) -> None:
    """Write a change down; None as cause: the program did it by itself (an import, a test)."""
    by = cause or Cause()
    session.add(
        RosterChange(
            collection_id=collection_id,
            member_id=by.member_id,
            message_id=by.message_id,
            told_at=by.told_at,
            what={"action": action, **details},
            words=by.words,
        )
    )
    session.flush()


def changes(session: Session, collection_id: int) -> list[ChangeRow]:
    """Every change of a collection's roster, oldest first."""
    wanted = select(RosterChange).where(RosterChange.collection_id == collection_id).order_by(RosterChange.id)
    return [
        ChangeRow(row.id, row.collection_id, Cause(row.member_id, row.message_id, row.told_at, row.words), row.what)
        for row in session.scalars(wanted)
    ]
