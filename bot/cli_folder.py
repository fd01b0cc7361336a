"""What the commands share: the collection that is meant, and a file that is written where the keeper wants it."""

from __future__ import annotations

import os
from argparse import Namespace
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bot.errors import RacksideError
from bot.household import Household, opened
from bot.settings import data_folder, load_settings


class NotWritten(RacksideError):
    """A file cannot be written."""

    def __init__(self, path: Path, fault: OSError) -> None:
        super().__init__(f"{path} cannot be written: {fault.strerror or fault}.")


@contextmanager
def meant(options: Namespace, *, zone: str | None = None) -> Iterator[Household]:
    """The collection of --data and --collection; `zone` as in `opened`. Raises StorageFault and SettingsFault."""
    folder = data_folder(options.data, os.environ)
    with opened(folder, load_settings(folder, os.environ), zone=zone, collection=options.collection) as household:
        yield household


def save(path: Path, content: bytes | str) -> None:
    """Write a file, text as UTF-8. Raises NotWritten."""
    try:
        path.write_bytes(content.encode() if isinstance(content, str) else content)
    except OSError as fault:
        raise NotWritten(path, fault) from fault
