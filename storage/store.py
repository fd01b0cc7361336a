"""The database: opening it, and sessions to read and to write.

A directory holds `rackside.sqlite3`; an SQLAlchemy URL names any other database, of SQLite or PostgreSQL (`storage.engines`).
Opening makes what is missing and brings an older schema up to date.
"""

from __future__ import annotations

import os
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Self

from sqlalchemy import URL, Engine, make_url
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as NoneFree
from sqlalchemy.orm import Session

from storage.engines import Engines, directory_of, engines, url_of
from storage.faults import StorageFault
from storage.schema import bring_up_to_date
from storage.trouble import NONE_FREE, sentence, shown

if TYPE_CHECKING:
    from collections.abc import Iterator

FILE_NAME = "rackside.sqlite3"


class Store:
    """An open database. `directory` is the folder that holds it, None when it is not a file."""

    def __init__(self, url: URL, made: Engines) -> None:
        self.directory = directory_of(url)
        self._url = url
        self._engines = made

    @classmethod
    def open(cls, where: str | Path, *, make_parents: bool = False) -> Self:
        """Open the database of a directory or of an SQLAlchemy URL, and make or upgrade it where needed.

        The directory is made, for its owner alone, when it is missing; folders above it only with `make_parents`.
        Raises StorageFault when the database cannot be used.
        """
        if isinstance(where, str) and "://" in where:
            return cls._of_url(url_of(where))
        directory = Path(where)
        prepare_folder(directory, make_parents=make_parents)
        return cls._of_url(make_url("sqlite://").set(database=str(directory / FILE_NAME)))

    @classmethod
    def _of_url(cls, url: URL) -> Self:
        store = cls(url, engines(url))
        try:
            with _faults(url):
                _check_writable(url)
                bring_up_to_date(store._engines.readers, store._engines.writers)
        except BaseException:
            store.close()
            raise
        return store

    @property
    def name(self) -> str:
        """The database in words that may be shown: its file, or its name and its server, and never a password."""
        return shown(self._url)

    @property
    def engine(self) -> Engine:
        """The engine below, for tests and tools."""
        return self._engines.base

    @contextmanager
    def write(self) -> Iterator[Session]:
        """A session that writes: committed at the end, rolled back on an error. StorageFault when the disk or the file fails."""
        with _faults(self._url), Session(self._engines.writers) as session, session.begin():
            yield session

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A session that reads one unchanging state; what it writes is dropped, and on a server refused."""
        with _faults(self._url), Session(self._engines.readers) as session:
            yield session

    def close(self) -> None:
        """Let go of the database."""
        self._engines.base.dispose()


def prepare_folder(directory: Path, *, make_parents: bool) -> None:
    """See to a data folder: made for its owner alone where it is missing. Raises StorageFault."""
    try:
        directory.mkdir(mode=0o700, parents=make_parents, exist_ok=True)
    except FileExistsError as error:
        raise StorageFault(f"The data folder {directory} is a file, not a folder.") from error
    except FileNotFoundError as error:
        raise StorageFault(f"The data folder {directory} cannot be made: {directory.parent} is not there.") from error
    except OSError as error:
        raise StorageFault(f"The data folder {directory} cannot be made: {error.strerror}.") from error


def _check_writable(url: URL) -> None:
    """Raise StorageFault when the folder or the file of an SQLite database may not be written."""
    directory = directory_of(url)
    if directory is None:
        return
    for path in (directory, Path(str(url.database))):
        if path.exists() and not os.access(path, os.W_OK, effective_ids=os.access in os.supports_effective_ids):
            raise StorageFault(
                f"{path} cannot be written to; choose another data folder, or change who may write there."
            )


@contextmanager
def _faults(url: URL) -> Iterator[None]:
    """Turn what the database says into a sentence; errors of our own statements pass as they are."""
    try:
        yield
    except DBAPIError as error:
        said = sentence(url, error)
        if said is None:
            raise
        raise StorageFault(said) from error
    except NoneFree as error:
        raise StorageFault(NONE_FREE.format(where=shown(url))) from error
