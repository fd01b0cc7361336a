"""The file of a backup: a zip with the database, the settings, the photos and a manifest that is written last.

Nothing in a file that is read is believed: names, sizes and digests are held against the manifest and against what may be there.
"""

from __future__ import annotations

import shutil
import struct
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC
from hashlib import sha256
from pathlib import Path
from typing import IO
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from bot.backup import manifest as manifests
from bot.backup.faults import BackupFault, BadBackup
from bot.backup.manifest import MANIFEST, PHOTO, Manifest, Member
from bot.backup.workplace import new_file

_CHUNK = 1 << 20
_MOST_FOR_MANIFEST = 64 << 20
_MOST_FOLDED = 1100
"""Deflate folds at most 1032 bytes into one; a member that claims more is no honest one."""

_UNREADABLE = (zipfile.BadZipFile, zlib.error, struct.error, EOFError, RuntimeError, NotImplementedError, ValueError)


def write(path: Path, said: Manifest, files: Mapping[str, Path]) -> Manifest:
    """Write a new archive of these files, by name; `said` with the members and the missing photos filled in. Raises OSError.

    Photos are stored as they are, everything else is packed. A photo that is not what its name says is kept as it is, and told
    as missing.
    """
    members, spoilt = {}, []
    with new_file(path) as raw, ZipFile(raw, "w") as archive:
        for name, file in files.items():
            members[name] = _add(archive, name, file, said)
            found = PHOTO.fullmatch(name)
            if found and found[2] != members[name].sha256:
                spoilt.append(name)
        full = replace(said, members=members, missing=(*said.missing, *spoilt))
        with archive.open(_info(MANIFEST, full, ZIP_DEFLATED), "w") as into:
            into.write(manifests.written(full).encode())
    return full


def _add(archive: ZipFile, name: str, file: Path, said: Manifest) -> Member:
    digest, size = sha256(), 0
    info = _info(name, said, ZIP_STORED if PHOTO.fullmatch(name) else ZIP_DEFLATED)
    with file.open("rb") as source, archive.open(info, "w", force_zip64=True) as into:
        while chunk := source.read(_CHUNK):
            digest.update(chunk)
            size += len(chunk)
            into.write(chunk)
    return Member(size, digest.hexdigest())


def _info(name: str, said: Manifest, method: int) -> ZipInfo:
    """The heading of a member: the same for the same moment, and for its owner alone once it is unpacked."""
    info = ZipInfo(name, max(said.made_at.astimezone(UTC).timetuple()[:6], (1980, 1, 1, 0, 0, 0)))
    info.compress_type = method
    info.external_attr = 0o600 << 16
    return info


class Archive:
    """A backup opened to be read; every method raises BadBackup where the file is not what it should be."""

    def __init__(self, path: Path, archive: ZipFile) -> None:
        self.path = path
        self._archive = archive
        self.manifest = self._read_manifest()

    def check(self) -> None:
        """Read every member and compare it with the manifest."""
        for name in self.manifest.members:
            self.read(name, None)

    def read(self, name: str, into: IO[bytes] | None) -> None:
        """Read a member to its end, compare it with the manifest, and write it to a file that is open, if one is given."""
        wanted = self.manifest.members[name]
        digest, left = sha256(), wanted.size
        with self._faults(), self._archive.open(name) as member:
            while chunk := member.read(_CHUNK):
                left -= len(chunk)
                if left < 0:
                    break
                digest.update(chunk)
                if into is not None:
                    into.write(chunk)
        if left or digest.hexdigest() != wanted.sha256:
            raise BadBackup(f"{self.path} is damaged: {name} in it is not what was put there. Take another backup.")

    def unpack(self, name: str, path: Path) -> None:
        """Unpack a member into a new file. Raises OSError too."""
        with new_file(path) as into:
            self.read(name, into)

    def needs_room(self, folder: Path, names: Iterator[str] | tuple[str, ...]) -> None:
        """Raise BackupFault where these members do not fit on the disk of a folder."""
        needed = sum(self.manifest.members[name].size for name in names)
        free = shutil.disk_usage(folder).free
        if needed > free:
            raise BackupFault(
                f"There is no room on the disk of {folder}: {needed // 1_000_000 + 1:,} MB are needed, {free // 1_000_000:,} MB are free."
            )

    def _read_manifest(self) -> Manifest:
        with self._faults():
            held = self._archive.infolist()
            by_name = {info.filename: info for info in held}
            if MANIFEST not in by_name:
                raise BadBackup(f"{self.path} is no backup made by Rackside.")
            if by_name[MANIFEST].file_size > _MOST_FOR_MANIFEST:
                raise BadBackup(f"{self.path} is damaged.")
            content = self._archive.read(MANIFEST)
        try:
            said = manifests.read(content)
        except BadBackup as fault:
            raise BadBackup(f"{self.path} cannot be used. {fault}") from fault
        if len(by_name) != len(held) or set(by_name) != {MANIFEST, *said.members}:
            raise BadBackup(f"{self.path} cannot be used. What it holds is not what its manifest says.")
        for name, member in said.members.items():
            info = by_name[name]
            if info.file_size != member.size or member.size > _MOST_FOLDED * (info.compress_size + 1):
                raise BadBackup(f"{self.path} is damaged: {name} in it has not the size it should have.")
        return said

    @contextmanager
    def _faults(self) -> Iterator[None]:
        try:
            yield
        except BadBackup:
            raise
        except _UNREADABLE as fault:
            raise BadBackup(f"{self.path} is damaged, or no backup made by Rackside. Take another backup.") from fault


@contextmanager
def reading(path: Path) -> Iterator[Archive]:
    """Open a backup, with its manifest held against what it holds. Raises BadBackup, BackupFault."""
    try:
        raw = path.open("rb")
    except FileNotFoundError as fault:
        raise BackupFault(f"{path} is not there.") from fault
    except OSError as fault:
        raise BackupFault(f"{path} cannot be read: {fault.strerror or fault}.") from fault
    with raw:
        try:
            archive = ZipFile(raw)
        except _UNREADABLE as fault:
            raise BadBackup(f"{path} is damaged, or no backup made by Rackside. Take another backup.") from fault
        with archive:
            yield Archive(path, archive)
