"""Words taught by the keepers of a collection. Every teaching and forgetting is kept; the last word on a phrase holds."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from sqlalchemy import select

from storage import households
from storage.names import name_key
from storage.tables import Taught

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sqlalchemy.orm import Session


def teach(
    session: Session,
    collection_id: int,
    phrase: str,
    means: str,
    member_id: int | None = None,
    message_id: int | None = None,
    at: datetime | None = None,
) -> None:
    """From now on `phrase` (in any case) means `means`."""
    _write(session, collection_id, phrase, means, (member_id, message_id, at))


def forget(
    session: Session,
    collection_id: int,
    phrase: str,
    member_id: int | None = None,
    message_id: int | None = None,
    at: datetime | None = None,
) -> bool:
    """Take a phrase back; False when it was not taught."""
    households.hold(session, collection_id)
    key = name_key(phrase)
    if all(name_key(known) != key for known in vocabulary(session, collection_id)):
        return False
    _write(session, collection_id, phrase, None, (member_id, message_id, at))
    return True


def vocabulary(session: Session, collection_id: int) -> dict[str, str]:
    """What is taught now: phrase, as last spelled, to its meaning."""
    latest: dict[str, Taught] = {}
    for row in _as_told(
        session.scalars(select(Taught).where(Taught.collection_id == collection_id).order_by(Taught.id))
    ):
        latest[row.phrase_key] = row
    return {row.phrase: row.means for row in latest.values() if row.means is not None}


def _as_told(rows: Iterable[Taught]) -> list[Taught]:
    """In the order of telling: what was brought in later may have been told earlier. One of no known time stays where it is."""
    placed, last = [], datetime.min.replace(tzinfo=UTC)
    for row in rows:
        last = max(last, row.told_at) if row.told_at is not None else last
        placed.append((row.told_at or last, row.id, row))
    return [row for _at, _id, row in sorted(placed, key=lambda one: one[:2])]


def _write(
    session: Session,
    collection_id: int,
    phrase: str,
    means: str | None,
    cause: tuple[int | None, int | None, datetime | None],
) -> None:
    member_id, message_id, at = cause
    session.add(
        Taught(
            collection_id=collection_id,
            phrase=phrase,
            phrase_key=name_key(phrase),
            means=means,
            member_id=member_id,
            message_id=message_id,
            told_at=at,
        )
    )
    session.flush()
