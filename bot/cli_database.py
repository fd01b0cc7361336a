"""`rackside move-database`: all records from one database into another, of either kind, compared row by row."""

from __future__ import annotations

import os
from argparse import Namespace
from contextlib import closing
from pathlib import Path

from bot.backup.faults import disk_faults
from bot.backup.photos import carry
from bot.backup.place import Place
from bot.backup.workplace import workplace
from bot.conversation.photo_files import FOLDER, path_of
from bot.errors import RacksideError
from bot.settings import data_folder
from storage import photos, snapshots
from storage.copying import Summaries, copied, is_empty, others_at_work, reading, summary_of
from storage.faults import StorageFault
from storage.store import Store

NOT_ALL = 1
"""The status where something was written to the old database while it was copied."""


class MoveFault(RacksideError):
    """The records cannot be copied from there, or to there; what both hold is what they held."""


def move_database(options: Namespace) -> int:
    """Copy all records into an empty database, and compare; 1 where something was written to the old one meanwhile."""
    old, new = _place(options.source, options.data), _place(options.target, options.data)
    with closing(_source(old)) as source, closing(_open(new)) as target:
        try:
            arrived = copied(source, target, _tell)
        except StorageFault as fault:
            raise MoveFault(f"Nothing was copied to {new.name}. {fault}") from fault
        _move_photos(target, old.folder, new.folder)
        rows = sum(summary.rows for summary in arrived.values())
        print(f"{rows:,} rows copied from {old.name} to {new.name}, and compared.")
        return _look_back(old, arrived, summary_of(source))


def _place(said: str, data: Path | None) -> Place:
    """A database by what the keeper says: an address, a file that holds one, or a data folder."""
    if "://" in said:
        return Place(data_folder(data, os.environ), said)
    path = Path(said).expanduser()
    if path.is_file():
        try:
            return Place(data_folder(data, os.environ), path.read_text(encoding="utf-8").strip())
        except (OSError, UnicodeDecodeError) as fault:
            raise MoveFault(f"{path} is no data folder, and no file with the address of a database.") from fault
    return Place(path)


def _source(old: Place) -> Store:
    """The database to copy from, which must be there and which nobody else may be using."""
    if old.file is not None:
        if not old.file.exists():
            raise MoveFault(f"There are no records to copy: {old.file} is not there.")
        try:
            with snapshots.alone(old.file):
                pass
        except snapshots.DatabaseInUse as fault:
            raise MoveFault(_in_use(old)) from fault
    store = _open(old)
    with reading(store) as connection:
        in_use, empty = others_at_work(connection), is_empty(connection)
    if in_use or empty:
        store.close()
        raise MoveFault(_in_use(old) if in_use else f"There are no records in {old.name}.")
    return store


def _in_use(old: Place) -> str:
    return f"{old.name} is in use. Stop `rackside run` and leave `rackside chat` first, so that nothing said meanwhile stays behind."


def _open(place: Place) -> Store:
    return Store.open(place.folder, make_parents=True) if place.address is None else Store.open(place.address)


def _tell(table: str, rows: int) -> None:
    print(f"  {table:<16}{rows:>10,}", flush=True)


def _move_photos(target: Store, old: Path, new: Path) -> None:
    """Bring the photos to the new data folder, and say where they are."""
    with target.read() as session:
        names = [path_of(digest, media_type) for digest, media_type in photos.kept(session)]
    if not names:
        return
    if old == new:
        print(f"The photos stay where they are, in {old / FOLDER}: go on with that data folder.")
        return
    with disk_faults(new), workplace(new) as work:
        lost = carry(old, new, sorted(names), work)
    print(f"{len(names) - len(lost):,} of {len(names):,} photos are in {new / FOLDER} now.")


def _look_back(old: Place, arrived: Summaries, now: Summaries) -> int:
    """Compare once more, since somebody may have begun to write to the old database meanwhile."""
    changed = [name for name, summary in now.items() if arrived[name] != summary]
    if not changed:
        print(f"{old.name} was left as it is. From now on use only the new one.")
        return 0
    print(
        f"Meanwhile something was written to {old.name} that did not come along ({', '.join(changed)}). Stop what uses it, and "
        "copy again into an empty database."
    )
    return NOT_ALL
