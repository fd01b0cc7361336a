"""Making a backup: a copy of the database, the photos it tells of, a check of what was written, and only then the name.

Until the last step nothing but a working folder beside the target is written to, so that a failure leaves an older backup of that
name as it was, and nothing half made.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from bot.backup import archive
from bot.backup.faults import BackupFault, BadBackup, disk_faults
from bot.backup.manifest import DATABASE, PHOTO, SETTINGS, Manifest
from bot.backup.photos import carry
from bot.backup.workplace import flush, publish, workplace
from bot.conversation.photo_files import path_of
from storage import snapshots

_ARCHIVE = "archive.zip"


@dataclass(frozen=True, slots=True)
class Source:
    """What a backup is made of: the data folder, what its database is called, and what copies that into a new SQLite file."""

    folder: Path
    name: str
    take: Callable[[Path], None]


@dataclass(frozen=True, slots=True)
class Made:
    """A backup that was made and checked: where it is, its size in bytes, and what it says of itself."""

    path: Path
    size: int
    manifest: Manifest


class DamagedRecords(BackupFault):
    """The database that was to be copied is damaged."""

    def __init__(self, name: str, what: str) -> None:
        super().__init__(
            f"The database {name} is damaged ({what}), so no backup was made of it and older ones stay as they are. "
            "Put one of those back with `rackside restore`."
        )


def make(source: Source, target: Path, now: datetime, *, replace: bool = False, apart: Path | None = None) -> Made:
    """Make a backup and call it `target`. An existing target is refused unless `replace`. Raises BackupFault, StorageFault.

    With `apart`, a folder, photos are not put into the backup but into the folder `photos` there, each once for all backups.
    """
    if target.is_dir():
        raise BackupFault(f"{target} is a folder; say which file to write.")
    if target.exists() and not replace:
        raise BackupFault(f"{target} is there already; choose another name, or add --replace.")
    with disk_faults(target), workplace(target.parent) as work:
        database = work / DATABASE
        contents = _taken(source, database)
        names = photo_names(database)
        if apart is None:
            apart_names, missing = [], [name for name in names if not (source.folder / name).is_file()]
        else:
            missing = carry(source.folder, apart, names, work, trusting=True)
            apart_names = [name for name in names if name not in set(missing)]
        files = _files(source.folder, database, set(names) - {*apart_names, *missing})
        plan = Manifest(now, contents.schema, contents.rows, {}, tuple(apart_names), tuple(missing))
        said = archive.write(work / _ARCHIVE, plan, files)
        _check(work / _ARCHIVE, target, said)
        try:
            publish(work / _ARCHIVE, target, replace=replace)
        except FileExistsError as fault:
            raise BackupFault(f"{target} was made by somebody else meanwhile, and was left alone.") from fault
        return Made(target, target.stat().st_size, said)


def photo_names(database: Path) -> list[str]:
    """The names, within a data folder, of the photos that a database file says are kept."""
    with closing(sqlite3.connect(f"{database.absolute().as_uri()}?mode=ro", uri=True)) as connection:
        if not connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'photos'").fetchone():
            return []  # the first schemas had no photos
        found = connection.execute("SELECT DISTINCT digest, media_type FROM photos WHERE state = 'kept'")
        names = {path_of(digest, media_type) for digest, media_type in found if digest}
    return sorted(name for name in names if PHOTO.fullmatch(name))


def _taken(source: Source, database: Path) -> snapshots.Contents:
    """Copy the database and look whether the copy is whole: no backup is made of a damaged one."""
    try:
        source.take(database)
        return snapshots.look(database, source.name)
    except snapshots.DamagedDatabase as fault:
        raise DamagedRecords(source.name, fault.what) from fault


def _files(folder: Path, database: Path, photos: Iterable[str]) -> dict[str, Path]:
    """What goes into a backup, by name."""
    files = {DATABASE: database}
    if (folder / SETTINGS).is_file():
        files[SETTINGS] = folder / SETTINGS
    return files | {name: folder / name for name in sorted(photos)}


def _check(made: Path, target: Path, said: Manifest) -> None:
    """Read an archive back from the disk and hold it against what was put there."""
    flush(made)
    with archive.reading(made) as back:
        if back.manifest != said:
            raise BadBackup(f"What was written for {target} does not read back as it was; look to that disk.")
        back.check()
