"""A store in a folder of its own, made from a copy of one that was migrated once; a keeper who writes in it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from storage.store import FILE_NAME, Store
from tests import databases
from tests.storage.keeper import Keeper

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file of an empty SQLite database of the newest schema."""
    directory = tmp_path_factory.mktemp("template") / "data"
    Store.open(directory).close()
    return directory / FILE_NAME


@pytest.fixture(scope="session")
def empty_folder(tmp_path_factory: pytest.TempPathFactory, database: str) -> Path:
    """A data folder with an empty database of the newest schema, to be copied."""
    folder = tmp_path_factory.mktemp(f"template-{database}") / "data"
    Store.open(databases.of(folder)).close()
    return folder


@pytest.fixture
def directory(empty_folder: Path, tmp_path: Path) -> Path:
    """A data folder with an empty database."""
    return databases.copy(empty_folder, tmp_path / "data")


@pytest.fixture
def store(directory: Path) -> Iterator[Store]:
    """An open, empty store."""
    opened = Store.open(databases.of(directory))
    yield opened
    opened.close()


@pytest.fixture
def session(store: Store) -> Iterator[Session]:
    """A session that writes."""
    with store.write() as opened:
        yield opened


@pytest.fixture
def keeper(session: Session) -> Keeper:
    """A keeper with two places, two groups and a message under way."""
    return Keeper(session)
