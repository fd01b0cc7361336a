"""How it stands with the daily copies, for the doctor."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sqlalchemy import select

from bot.backup import archive
from bot.backup.daily import copies
from bot.backup.faults import BackupFault
from storage.tables import Entry

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

OLD = timedelta(days=2)
"""After so long without a copy something is amiss, if there was something to copy."""

_HOW = "`rackside run` makes one a day, `rackside backup FILE` makes one now"


def state_of_copies(session: Session, folder: Path | None, zone: ZoneInfo, now: datetime) -> tuple[bool, str]:
    """Whether the copies are as they should be, and what there is to say. The newest is read to its end."""
    if folder is None:
        return True, "no daily copies of the records, as the settings say"
    there = {made: path for made, path in copies(folder).items() if made <= now}
    newest = max(there, default=None)
    late = _told_between(session, newest, now - OLD)
    if newest is None:
        return not late, f"no daily copy of the records yet{f': {_HOW}' if late else ''}"
    said = f"last copy of the records {newest.astimezone(zone):%a %-d %b %Y, %H:%M}"
    amiss = _amiss(there[newest])
    if amiss is not None:
        return False, f"{said}: {amiss}"
    if late:
        return False, f"{said}, and more was told since: {_HOW}; see its log for what hinders it"
    return True, f"{said}: whole, {len(there)} kept in {folder}"


def _amiss(path: Path) -> str | None:
    try:
        with archive.reading(path) as found:
            found.check()
            gone = [name for name in found.manifest.apart if not (path.parent / name).is_file()]
    except BackupFault as fault:
        return str(fault)
    return f"{len(gone)} of its photos are not in {path.parent}" if gone else None


def _told_between(session: Session, since: datetime | None, until: datetime) -> bool:
    """Whether an entry was told in that time and is in no copy yet."""
    after = since or datetime(1, 1, 1, tzinfo=UTC)
    return session.scalar(select(Entry.id).where(Entry.told_at > after, Entry.told_at < until).limit(1)) is not None
