"""Files that are there whole or not at all, and that overwrite nothing unless they may."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import IO

from bot.moving.faults import MovingFault


def check_free(paths: Iterable[Path], *, replace: bool) -> None:
    """See to it that nothing would be overwritten. Raises MovingFault naming the first that would."""
    for path in paths:
        if path.is_dir():
            raise MovingFault(f"{path} is a folder; name a file.")
        if path.exists() and not replace:
            raise MovingFault(f"{path} is there already; nothing was written. With --replace it is written anew.")


@contextmanager
def whole(path: Path) -> Iterator[IO[bytes]]:
    """A file to write to: it takes its name, for its owner's eyes alone, when all of it is on the disk. Raises MovingFault."""
    try:
        made = NamedTemporaryFile(dir=path.parent, prefix=f".{path.name}.", delete=False)  # noqa: SIM115 - closed below
    except OSError as fault:
        raise _unwritable(path, fault) from fault
    unfinished = Path(made.name)
    try:
        with made:
            yield made.file
            made.flush()
            os.fsync(made.fileno())
        unfinished.replace(path)
    except OSError as fault:
        raise _unwritable(path, fault) from fault
    finally:
        unfinished.unlink(missing_ok=True)


def make_folder(path: Path) -> None:
    """See to a folder, for its owner alone where it is made. Raises MovingFault."""
    try:
        path.mkdir(mode=0o700, exist_ok=True)
    except FileExistsError as fault:
        raise MovingFault(f"{path} is a file, and a folder is wanted there.") from fault
    except OSError as fault:
        raise _unwritable(path, fault) from fault


def _unwritable(path: Path, fault: OSError) -> MovingFault:
    return MovingFault(f"{path} cannot be written: {fault.strerror or fault}.")
