"""What stands now of what a message said: the last entry of each chain of corrections.

A correction by a later message ("no, D not B") supersedes; taking that correction back appends the former reading anew, as one more
entry of the chain, whose field `restores` names the entry that it says again. So a chain has one head, and a head knows which reading it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from storage.journal import EntryRow, entries_of_message, entry

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True)
class Head:
    """An entry that holds now. `former` is the reading that it corrected by a message of its own; None for a first reading."""

    row: EntryRow
    former: EntryRow | None


def heads(session: Session, message_id: int) -> list[Head]:
    """What holds now of everything that the message told, or that the messages which it corrected told, in order."""
    starts = {entry(session, row.origin_id).message_id for row in _ever(session, message_id)}
    found: dict[int, Head] = {}
    for start in sorted(start for start in starts if start is not None):
        for row in _ever(session, start):
            newest = _newest(session, row)
            if newest.current:
                found[newest.id] = Head(newest, _former(session, newest))
    return list(found.values())


def heads_by(session: Session, message_id: int) -> list[Head]:
    """What holds now and was last worded by this very message; if it started the chain, however it is worded now."""
    return [
        head
        for head in heads(session, message_id)
        if message_id in (head.row.message_id, entry(session, head.row.origin_id).message_id)
    ]


def _ever(session: Session, message_id: int) -> list[EntryRow]:
    return entries_of_message(session, message_id, current=False)


def _newest(session: Session, row: EntryRow) -> EntryRow:
    while row.superseded_by is not None:
        row = entry(session, row.superseded_by)
    return row


def _former(session: Session, row: EntryRow) -> EntryRow | None:
    """The reading before the correction that a row is; None where its own message began the chain."""
    reading = _reading(session, row)
    if reading.supersedes is None or reading.message_id == entry(session, reading.origin_id).message_id:
        return None
    return _reading(session, entry(session, reading.supersedes))


def _reading(session: Session, row: EntryRow) -> EntryRow:
    """The entry that a row says again, or the row itself."""
    restored = row.fields.get("restores")
    return row if restored is None else entry(session, restored)
