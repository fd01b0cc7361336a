"""What can go wrong with a backup, as sentences for the keeper."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bot.errors import RacksideError

_NO_ROOM = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_NOT_ALLOWED = {errno.EACCES, errno.EPERM, errno.EROFS}


class BackupFault(RacksideError):
    """A backup cannot be made or put back; nothing was changed unless the sentence says so."""


class BadBackup(BackupFault):
    """The file is no backup, or is not whole any more."""


@contextmanager
def disk_faults(where: Path) -> Iterator[None]:
    """Turn what the disk says while `where` is written into a sentence."""
    try:
        yield
    except OSError as fault:
        raise BackupFault(_sentence(where, fault)) from fault


def _sentence(where: Path, fault: OSError) -> str:
    if fault.errno in _NO_ROOM:
        return f"The disk is full: {where} could not be written. What was there before is as it was."
    if fault.errno in _NOT_ALLOWED:
        return f"{fault.filename or where} may not be written or read; change who may, or choose another place."
    if fault.errno == errno.ENOENT:
        return f"{where} cannot be written: {where.parent} is not there."
    return f"{where} cannot be written: {fault.strerror or fault}."
