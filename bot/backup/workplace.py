"""A folder to prepare files in, beside where they are to go, so that they get there by a change of name alone."""

from __future__ import annotations

import errno
import fcntl
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import mkdtemp
from typing import IO

_NOT_SUPPORTED = {errno.EINVAL, errno.ENOTSUP}
"""What some file systems say to having a folder on the disk."""

_BEGIN, _END = ".rackside-", ".partial"


@contextmanager
def workplace(beside: Path) -> Iterator[Path]:
    """A new folder for its owner alone in the folder `beside`, gone at the end. Raises OSError.

    It is locked for as long as its process lives. What processes left that were killed is cleared away first.
    """
    clear(beside)
    made = Path(mkdtemp(prefix=_BEGIN, suffix=_END, dir=beside))
    handle = os.open(made, os.O_RDONLY)
    try:
        _lock(handle)
        yield made
    finally:
        os.close(handle)
        shutil.rmtree(made, ignore_errors=True)


def clear(folder: Path) -> None:
    """Throw away what killed processes left in a folder, as far as that may be done."""
    for left in folder.glob(f"{_BEGIN}*{_END}"):
        with suppress(OSError):
            handle = os.open(left, os.O_RDONLY)
            try:
                if _lock(handle):
                    shutil.rmtree(left)
            finally:
                os.close(handle)


def _lock(handle: int) -> bool:
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:  # another's, or a file system that knows no locks
        return False
    return True


def new_file(path: Path) -> IO[bytes]:
    """A new file open for writing, for its owner alone. Raises OSError.

    It is made so, not changed so afterwards: a memory stick knows no owners, and refuses changes of them.
    """
    return os.fdopen(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb")


def flush(path: Path) -> None:
    """Have a file, or the names in a folder, on the disk."""
    handle = os.open(path, os.O_RDONLY)
    try:
        try:
            os.fsync(handle)
        except OSError as fault:
            if fault.errno not in _NOT_SUPPORTED or path.is_file():
                raise
        if path.is_file() and hasattr(os, "posix_fadvise"):
            os.posix_fadvise(handle, 0, 0, os.POSIX_FADV_DONTNEED)  # so that whoever reads it next reads the disk
    finally:
        os.close(handle)


def publish(made: Path, path: Path, *, replace: bool) -> None:
    """Give a file that is ready its name. Raises FileExistsError where that is taken and `replace` is not asked for."""
    flush(made)
    if replace:
        made.replace(path)
    else:
        try:
            path.hardlink_to(made)
        except FileExistsError:
            raise
        except OSError:  # a file system without links, as on many memory sticks
            if path.exists():
                raise FileExistsError(path) from None
            made.replace(path)
    flush(path.parent)
