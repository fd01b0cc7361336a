"""Where records are kept: a data folder, and the database that goes with it, in the folder or on a server."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Self

from bot.settings import Settings
from storage import snapshots
from storage.faults import StorageFault

if TYPE_CHECKING:
    from storage.store import Store

FILE_NAME = "rackside.sqlite3"


@dataclass(frozen=True, slots=True)
class Place:
    """A data folder; `address` is the SQLAlchemy URL of its database, None where that is the folder's own SQLite file."""

    folder: Path
    address: str | None = field(default=None, repr=False)

    @classmethod
    def of(cls, folder: Path, settings: Settings) -> Self:
        """The place of a data folder with its settings."""
        return cls(folder, None if settings.database is None else settings.database.reveal())

    @property
    def file(self) -> Path | None:
        """The SQLite file, None for a database on a server. Raises StorageFault for an address that is none."""
        if self.address is None:
            return self.folder / FILE_NAME
        from storage.engines import SQLITE, url_of  # noqa: PLC0415 - who keeps the records in the folder does without

        url = url_of(self.address)
        return Path(str(url.database)) if url.get_backend_name() == SQLITE else None

    @property
    def name(self) -> str:
        """How the place is spoken of: the file, or the database and its server, and never a password."""
        if self.address is None:
            return str(self.file)
        from storage.engines import url_of  # noqa: PLC0415 - as above
        from storage.trouble import shown  # noqa: PLC0415

        return shown(url_of(self.address))

    def take(self, into: Path) -> None:
        """Put a copy of the database, as it stands at one moment, into a new SQLite file. Raises StorageFault."""
        if self.file is None:
            copy_from_server(self.server(), into)
            return
        if not self.file.exists():
            raise StorageFault(f"There are no records in {self.folder}: {self.file} is not there.")
        snapshots.take(self.file, into)

    def server(self) -> Store:
        """The store of a database on a server, to be closed by the caller."""
        from storage.store import Store  # noqa: PLC0415 - as above

        return Store.open(str(self.address))


def copy_from_server(server: Store, into: Path) -> None:
    """Put a copy of a server's database into a new SQLite file, and close the store of the server. Raises StorageFault."""
    from storage.copying import copied  # noqa: PLC0415 - who keeps the records in the folder does without
    from storage.store import Store  # noqa: PLC0415

    folder = into.with_name(f"{into.name}.d")
    try:
        copy = Store.open(folder)
        try:
            copied(server, copy)
        finally:
            copy.close()
    finally:
        server.close()
    snapshots.take(folder / FILE_NAME, into)
