"""Putting a backup back. All of it is read and tried before anything of what is there is touched.

What was there is made a backup of first. The database is exchanged in one transaction of its own: whenever the process ends, the
old records or the new ones are there, whole. Photos are only ever added, since a photo is named by its content.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from bot.backup import archive
from bot.backup.archive import Archive
from bot.backup.exchange import exchange
from bot.backup.faults import BadBackup, disk_faults
from bot.backup.manifest import DATABASE, SETTINGS, Manifest
from bot.backup.photos import absent, bring
from bot.backup.place import Place
from bot.backup.workplace import flush, workplace
from storage import snapshots

_TIMES_DATABASE = 3
"""The database needs room as it is tried, in the write-ahead log, and in its place."""


@dataclass(frozen=True, slots=True)
class Restored:
    """What was put back; `aside` is where that lies which was there before, None where nothing was.

    `missing` are photos that the records tell of and that are not there; `own_settings` says that the folder's own settings.toml
    was left in place of the backup's.
    """

    manifest: Manifest
    aside: Path | None
    missing: tuple[str, ...]
    own_settings: bool


def restore(path: Path, place: Place, now: datetime, *, replace: bool = False) -> Restored:
    """Put a backup back into a place, which must hold no records unless `replace`. Raises BackupFault, StorageFault.

    With `replace`, what the place holds is kept in a file of its own in the data folder.
    """
    with archive.reading(path) as found, disk_faults(place.folder):
        found.check()
        place.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        _see_to_room(found, place.folder)
        with workplace(place.folder) as work:
            fresh = _tried(found, work)
            missing: list[str] = []

            def bring_photos() -> None:
                missing[:] = bring(found, place.folder, work)

            aside = exchange(fresh, place, now, replace=replace, before=bring_photos)
            own_settings = not _put_settings(found, place.folder, work, may_replace=aside is not None)
        return Restored(found.manifest, aside, tuple(missing), own_settings)


def _see_to_room(found: Archive, folder: Path) -> None:
    found.needs_room(folder, (*[DATABASE] * _TIMES_DATABASE, *absent(found, folder)))


def _tried(found: Archive, work: Path) -> Path:
    """The database of a backup, unpacked, found whole, and brought up to this program's schema."""
    from storage.store import Store  # noqa: PLC0415 - not before the backup is known to be good

    folder = work / "tried"
    folder.mkdir(mode=0o700)
    found.unpack(DATABASE, folder / DATABASE)
    try:
        contents = snapshots.look(folder / DATABASE, found.path)
    except snapshots.DamagedDatabase as fault:
        raise BadBackup(f"{found.path} is damaged: {fault.what}. Take another backup.") from fault
    if (contents.schema, dict(contents.rows)) != (found.manifest.schema, dict(found.manifest.rows)):
        raise BadBackup(f"{found.path} cannot be used. Its database is not the one that its manifest tells of.")
    Store.open(folder).close()
    return folder / DATABASE


def _put_settings(found: Archive, folder: Path, work: Path, *, may_replace: bool) -> bool:
    """Put settings.toml back; False where the folder has one of its own, which no backup holds, and keeps it."""
    if SETTINGS not in found.manifest.members:
        return True
    found.unpack(SETTINGS, work / SETTINGS)
    own = folder / SETTINGS
    if own.exists() and not may_replace and own.read_bytes() != (work / SETTINGS).read_bytes():
        return False
    flush(work / SETTINGS)
    (work / SETTINGS).replace(own)
    flush(folder)
    return True
