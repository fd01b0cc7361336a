"""A collection's document brought into a collection that is kept here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bot.moving.collection_form import read_document
from bot.moving.faults import MovingFault
from bot.moving.photos_beside import take_from_beside
from bot.wording import join_names
from storage import households
from storage.moving_form import PHOTOS
from storage.moving_in import bring_in as add
from storage.moving_in import home_of, is_empty, lost_photos, mark_photos
from storage.moving_names import Names

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from storage.store import Store


@dataclass(frozen=True, slots=True)
class Brought:
    """What was added, in rows by section, or would be; and sentences on what is other than the document says."""

    added: Mapping[str, int]
    remarks: tuple[str, ...]
    dry_run: bool

    def lines(self) -> list[str]:
        """What to tell the keeper."""
        parts = [_counted(self.added[name], *words) for name, words in _SAID.items() if self.added.get(name)]
        if not parts:
            return ["All of that is here already; nothing was added.", *self.remarks]
        head = f"Would be brought in: {join_names(parts)}. Nothing was written." if self.dry_run else ""
        return [head or f"Brought in: {join_names(parts)}.", *self.remarks]


_SAID = {
    "entries": ("entry", "entries"),
    "retractions": ("taken back", "taken back"),
    "enclosures": ("place", "places"),
    "occupants": ("group or animal", "groups and animals"),
    "messages": ("message", "messages"),
    "roster_changes": ("change of the roster", "changes of the roster"),
    "vocabulary": ("taught word", "taught words"),
    "photos": ("photo", "photos"),
    "labels": ("label", "labels"),
    "members": ("member", "members"),
}


def bring_in(
    store: Store,
    collection_id: int,
    path: Path,
    now: datetime,
    *,
    folder: Path | None = None,
    with_members: bool = False,
    dry_run: bool = False,
) -> Brought:
    """Bring a document in, all of it or nothing; twice adds nothing. `folder` is the data folder, for photos.

    The collection must be empty, and becomes a copy of the document's, or be one of its copies, and gets what is new. With
    `with_members` members may write from their addresses, where nobody here has them. Raises MovingFault and StorageFault.
    """
    document = read_document(path)
    with store.write() as session:
        brought = _bring(session, collection_id, document, (path, folder), now, admit=with_members, dry_run=dry_run)
        if dry_run:
            session.rollback()
    return brought


def _bring(
    session: Session,
    collection_id: int,
    document: Mapping[str, Any],
    where: tuple[Path, Path | None],
    now: datetime,
    *,
    admit: bool,
    dry_run: bool,
) -> Brought:
    households.hold(session, collection_id)
    _check_home(session, collection_id, document["collection"])
    before = lost_photos(session, collection_id)
    names = Names(session, collection_id)
    wanted = [
        photo
        for photo in document["photos"]
        if names.find(PHOTOS, photo["id"]) is None or photo.get("digest") in before
    ]
    arriving = add(session, collection_id, document, now, admit=admit)
    path, folder = where
    missing = take_from_beside(wanted, path, folder, keep=not dry_run)
    found = before & {photo["digest"] for photo in wanted if photo["state"] == "kept"} - set(missing)
    mark_photos(session, collection_id, sorted(found), "kept")
    mark_photos(session, collection_id, missing, "lost")
    if found:
        arriving.remarks.append(f"Photos whose files were missing and are here now: {len(found)}.")
    if missing:
        arriving.remarks.append(f"Photos whose files are not in the folder beside {path.name}: {len(missing)}.")
    return Brought(dict(arriving.added), tuple(arriving.remarks), dry_run)


def _check_home(session: Session, collection_id: int, told: Mapping[str, Any]) -> None:
    """See that a document may go into a collection. Raises MovingFault saying where it can go."""
    here = households.collection(session, collection_id)
    home = home_of(session, told["uid"])
    if home == collection_id:
        return
    if home is not None:
        name = households.collection(session, home).name
        raise MovingFault(f"That collection is kept here as “{name}”; bring it in there, with --collection “{name}”.")
    if not is_empty(session, collection_id):
        raise MovingFault(
            f"“{here.name}” has records of its own, and the file is of another collection, “{told['name']}”. Begin one "
            f"for it with `rackside collection add NAME`, and bring it in there, with --collection NAME."
        )


def _counted(count: int, one: str, many: str) -> str:
    return f"{count:,} {one if count == 1 else many}"
