"""What a season of plain messages does not reach: services, photos, labels, invitations, as far as a program knows of them.

Run under the program of a release, after its season: `python furnish.py DATA_FOLDER`.
"""

from __future__ import annotations

import sys
from datetime import UTC, datetime, timedelta
from importlib.util import find_spec
from typing import TYPE_CHECKING

from sqlalchemy import select

from storage import tables
from storage.store import Store

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

NOW = datetime(2026, 4, 1, 18, tzinfo=UTC)
SERVICE = "telegram"
DIGEST = "5e" * 32


def furnish(session: Session) -> None:
    """Add one of each thing that this program has a table for."""
    if find_spec("storage.chats") is not None:
        _services(session)
        _photos(session)
        _labels(session)
    if hasattr(tables, "Lease"):
        session.add(tables.Lease(name=SERVICE, holder="first process", until=NOW))
    if hasattr(tables, "Origin"):
        session.add(tables.Origin(collection_id=1, source="an older copy", kind="entries", source_id="17", own_id=1))


def _services(session: Session) -> None:
    from storage import chats, households, invites  # noqa: PLC0415 - the first schemas had none of these

    chats.keep_account(session, SERVICE, "7000000001", "shelf_bot")
    chats.keep_position(session, SERVICE, "48")
    member = households.add_member(session, 1, SERVICE, "501", "Third", "viewer", NOW)
    households.set_chat(session, member, "-9001")
    chats.block(session, SERVICE, "-9001", NOW)
    session.add(tables.TurnedAway(channel=SERVICE, address="999", told_at=NOW))
    gone = households.add_member(session, 1, SERVICE, "502", "Fourth", "keeper", NOW)
    households.leave(session, gone, NOW)
    used = invites.invite(session, 1, "viewer", "join-first", NOW + timedelta(days=1))
    invites.use(session, used, member)
    invites.invite(session, 1, "keeper", "join-second", NOW + timedelta(days=1))


def _photos(session: Session) -> None:
    from storage import photos  # noqa: PLC0415 - as above

    first, last = session.scalars(select(tables.Inbox.id).order_by(tables.Inbox.id).limit(2))
    kept = photos.want(session, 1, first, SERVICE, {"file_id": "small", "size": 2048})
    photos.keep(session, kept, DIGEST, "image/jpeg", 2048)
    photos.show(session, kept, last)
    photos.put_off(session, photos.want(session, 1, last, SERVICE, {"file_id": "late"}), NOW + timedelta(hours=1))


def _labels(session: Session) -> None:
    from storage import labels  # noqa: PLC0415 - as above

    labels.label_of(session, 1, 1, lambda: "K7Q2M9")
    labels.stand_before(session, 1, 1, NOW + timedelta(minutes=10))


if __name__ == "__main__":
    opened = Store.open(sys.argv[1])
    with opened.write() as writing:
        furnish(writing)
    opened.close()
