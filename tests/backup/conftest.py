"""A data folder with records, photos and settings, to make backups of."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

import pytest

from bot.backup.making import Made, Source, make
from bot.backup.place import FILE_NAME, Place
from bot.conversation.photo_files import path_of
from bot.photo_shelf import PhotoShelf
from storage import photos
from storage.copying import Summaries, summary_of
from storage.store import Store
from tests.storage.everything import fill
from tests.storage.furnish import DIGEST

NOW = datetime(2026, 3, 10, 19, 5, tzinfo=UTC)
SETTINGS = 'zone = "Europe/Lisbon"\n'
PICTURES = (b"a picture of tub 4", b"a picture of the glass cube" * 4000)
SPOKEN_OF = path_of(DIGEST, "image/jpeg")
"""The photo of which `furnish` writes a row, and no file."""


BackUp = Callable[..., Made]


@pytest.fixture
def place(tmp_path: Path) -> Place:
    """A place with a row in every table, two photos and settings."""
    folder = tmp_path / "data"
    store = Store.open(folder)
    fill(store)
    with store.write() as session:
        for content in PICTURES:
            photo = photos.want(session, 1, 1, "telegram", {"file_id": "p"})
            photos.keep(session, photo, PhotoShelf(folder).keep(content, "image/png"), "image/png", len(content))
    store.close()
    (folder / "settings.toml").write_text(SETTINGS)
    return Place(folder)


@pytest.fixture
def back_up(place: Place, tmp_path: Path) -> BackUp:
    """Makes a backup of that place."""

    def made(name: str = "backup.zip", **options: object) -> Made:
        source = Source(place.folder, place.name, place.take)
        return make(source, tmp_path / name, NOW, **options)  # type: ignore[arg-type]

    return made


@pytest.fixture
def elsewhere(tmp_path: Path) -> Place:
    """Another place, where nothing is."""
    return Place(tmp_path / "elsewhere" / "data")


def records(place: Place) -> Summaries:
    """What every table of a place holds; opening it brings it up to this program's schema."""
    store = Store.open(place.folder)
    try:
        return summary_of(store)
    finally:
        store.close()


def contents(folder: Path) -> Mapping[str, str]:
    """Every file below a folder, by its name, with the digest of its content."""
    return {
        str(path.relative_to(folder)): sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def note(place: Place, words: str, told_at: datetime = NOW) -> None:
    """Write one more note into the journal of a place, by plain SQL."""
    with closing(sqlite3.connect(place.folder / FILE_NAME)) as connection, connection:
        connection.execute(
            "INSERT INTO entries (collection_id, member_id, told_at, kind, mood, zone, fields, words)"
            " VALUES (1, 1, ?, 'note', 'log', 'UTC', '{}', ?)",
            (told_at.strftime("%Y-%m-%d %H:%M:%S.%f"), words),
        )


@pytest.fixture
def opened(place: Place) -> Iterator[Store]:
    """That place, open as by a program at work."""
    store = Store.open(place.folder)
    yield store
    store.close()
