"""The photos of a backup: they lie in it, or in the folder `photos` beside it, and are named by their content."""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Iterator
from contextlib import suppress
from hashlib import file_digest
from pathlib import Path

from bot.backup.archive import Archive
from bot.backup.manifest import PHOTO
from bot.backup.workplace import flush

_FRESH = "photo"


def absent(found: Archive, folder: Path) -> Iterator[str]:
    """The photos in a backup of which a data folder has no file yet."""
    return (name for name in found.manifest.members if PHOTO.fullmatch(name) and not (folder / name).is_file())


def bring(found: Archive, folder: Path, work: Path) -> list[str]:
    """Bring the photos of a backup to a data folder; those that are not to be had as they should be. Raises OSError.

    `work` is a folder to prepare them in, on the same disk.
    """
    for name in filter(PHOTO.fullmatch, found.manifest.members):
        if not is_whole(folder, name):
            found.unpack(name, work / _FRESH)
            _place(work / _FRESH, folder / name)
    return [*carry(found.path.parent, folder, found.manifest.apart, work), *_spoilt(found, folder)]


def carry(source: Path, folder: Path, names: Iterable[str], work: Path, *, trusting: bool = False) -> list[str]:
    """Have photos of one folder in another too, as links where that can be; those that are whole in neither. Raises OSError.

    `trusting` takes a file that is there already, of the size of the other, for whole: to read all photos every day is too much.
    """
    lost = []
    for name in names:
        if trusting and _looks_alike(source / name, folder / name):
            continue
        if is_whole(folder, name):
            continue
        if not is_whole(source, name):
            lost.append(name)
            continue
        try:
            (work / _FRESH).hardlink_to(source / name)
        except OSError:  # on another disk, or where there are no links
            shutil.copyfile(source / name, work / _FRESH)
        _place(work / _FRESH, folder / name)
    return lost


def _looks_alike(one: Path, other: Path) -> bool:
    try:
        return one.stat().st_size == other.stat().st_size
    except OSError:
        return False


def is_whole(folder: Path, name: str) -> bool:
    """Whether the file of a photo is there, with the content that its name promises."""
    named = PHOTO.fullmatch(name)
    try:
        with (folder / name).open("rb") as file:
            return named is not None and file_digest(file, "sha256").hexdigest() == named[2]
    except OSError:
        return False


def _spoilt(found: Archive, folder: Path) -> list[str]:
    """Photos that were missing or spoilt when the backup was made, and that the folder does not have either."""
    return [name for name in found.manifest.missing if not is_whole(folder, name)]


def _place(fresh: Path, path: Path) -> None:
    for made in (path.parent.parent, path.parent):
        made.mkdir(mode=0o700, exist_ok=True)
    with suppress(PermissionError):  # a link to a file of somebody else's
        fresh.chmod(0o600)
    flush(fresh)
    fresh.replace(path)
    fresh.unlink(missing_ok=True)  # `replace` leaves it where both names are links to one file
    flush(path.parent)
