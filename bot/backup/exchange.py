"""One database in place of another, with what was there put aside."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import ExitStack
from datetime import UTC, datetime
from pathlib import Path

from bot.backup.faults import BackupFault
from bot.backup.making import DamagedRecords, Source, make
from bot.backup.manifest import SETTINGS
from bot.backup.place import Place, copy_from_server
from bot.backup.workplace import flush, new_file, workplace
from storage import snapshots
from storage.snapshots import DamagedDatabase, DatabaseInUse

_LOGS = ("-wal", "-shm", "-journal")


def exchange(fresh: Path, place: Place, now: datetime, *, replace: bool, before: Callable[[], None]) -> Path | None:
    """Put the database file `fresh`, of this program's schema, in the place of what is there; where that was put aside.

    None where nothing was there. `before` is called when all that can refuse has been asked, just before the exchange. Raises
    BackupFault where there are records and `replace` is not asked for, or where somebody has the database open.
    """
    if place.file is None:
        return _on_server(fresh, place, now, replace=replace, before=before)
    try:
        return _in_file(fresh, place, now, place.file, replace=replace, before=before)
    except DatabaseInUse as fault:
        raise BackupFault(
            f"{fault} Stop `rackside run` and leave `rackside chat` first; nothing was changed."
        ) from fault
    except DamagedDatabase as fault:
        if not replace:
            raise BackupFault(_damaged(fault)) from fault
        before()
        with ExitStack() as opened:
            aside = _put_files_aside(place, place.file, now, opened)
        _swap(fresh, place.file)
        return aside


def _in_file(
    fresh: Path, place: Place, now: datetime, file: Path, *, replace: bool, before: Callable[[], None]
) -> Path | None:
    # The system drops a process's locks on a file when the process closes it anywhere, so that is left to the very end.
    with ExitStack() as opened, snapshots.alone(file) as live:
        try:
            aside = _put_aside(live, place, now, file, replace=replace)
        except (DamagedDatabase, DamagedRecords) as fault:
            if not replace:
                raise BackupFault(_damaged(fault)) from fault
            aside = _put_files_aside(place, file, now, opened)
        before()
        snapshots.put(fresh, live)
    return aside


def _put_aside(live: sqlite3.Connection, place: Place, now: datetime, file: Path, *, replace: bool) -> Path | None:
    """Make a backup of what there is, if there is anything; where it is."""
    if not snapshots.holds_records(live, file):
        return None
    _refuse_unless(replace, place)
    source = Source(place.folder, place.name, lambda into: snapshots.take_from(live, file, into))
    return make(source, _aside(place.folder, now, ".zip"), now, apart=place.folder).path


def _on_server(fresh: Path, place: Place, now: datetime, *, replace: bool, before: Callable[[], None]) -> Path | None:
    from storage import copying  # noqa: PLC0415 - who keeps the records in the folder does without
    from storage.store import Store  # noqa: PLC0415

    aside = None
    copy, server = Store.open(fresh.parent), place.server()
    try:
        with copying.reading(copy) as giving, server.write() as session:
            taking = session.connection()
            if copying.others_at_work(taking):
                raise BackupFault(
                    f"The database {place.name} is in use by another program. Stop `rackside run` first; nothing was changed."
                )
            copying.hold(taking)
            if not copying.is_empty(taking):
                _refuse_unless(replace, place)
                source = Source(place.folder, place.name, lambda into: copy_from_server(place.server(), into))
                aside = make(source, _aside(place.folder, now, ".zip"), now, apart=place.folder).path
                copying.empty(taking)
            before()
            copying.poured(giving, taking)
    finally:
        copy.close()
        server.close()
    return aside


def _damaged(fault: Exception) -> str:
    return f"{fault} Nothing was changed. With --replace, what is left of it is put aside first."


def _refuse_unless(replace: bool, place: Place) -> None:  # noqa: FBT001 - the one thing it asks
    if not replace:
        raise BackupFault(
            f"There are records in {place.name} already, and nothing was changed. With --replace they are put aside first."
        )


def _aside(folder: Path, now: datetime, ending: str) -> Path:
    """A name in the data folder for what was there before, that nothing has yet."""
    stem = f"before-restore-{now.astimezone(UTC):%Y-%m-%dT%H-%M-%SZ}"
    names = (folder / f"{stem}{'' if number == 1 else f'-{number}'}{ending}" for number in range(1, 1000))
    return next(path for path in names if not path.exists())


def _put_files_aside(place: Place, file: Path, now: datetime, opened: ExitStack) -> Path:
    """Copy what there is of a damaged database, byte for byte, and the settings. Raises OSError.

    What it reads stays open until `opened` is closed.
    """
    kept = _aside(place.folder, now, "")
    kept.mkdir(mode=0o700)
    for path in (*_files(file), place.folder / SETTINGS):
        if path.is_file():
            with new_file(kept / path.name) as copy:
                shutil.copyfileobj(opened.enter_context(path.open("rb")), copy)
            flush(kept / path.name)
    flush(kept)
    return kept


def _swap(fresh: Path, file: Path) -> None:
    """Put a database where SQLite cannot even open the old one. The old logs go first, so that they are never taken for the new one's."""
    with workplace(file.parent) as work:
        with new_file(work / file.name) as copy, fresh.open("rb") as made:
            shutil.copyfileobj(made, copy)
        flush(work / file.name)
        for log in _files(file)[1:]:
            log.unlink(missing_ok=True)
        flush(file.parent)
        (work / file.name).replace(file)
        flush(file.parent)


def _files(file: Path) -> list[Path]:
    return [file, *(file.with_name(file.name + ending) for ending in _LOGS)]
