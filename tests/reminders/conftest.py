"""What the tests of the reminders share."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from tests import databases
from tests.reminders.house import House


@pytest.fixture(scope="session")
def begun(tmp_path_factory: pytest.TempPathFactory, database: str) -> Path:
    """The folder of a household with its roster set up, to be copied."""
    folder = tmp_path_factory.mktemp(f"begun-{database}") / "data"
    House(folder).app.store.close()
    return folder


@pytest.fixture
def house(begun: Path, tmp_path: Path) -> Iterator[House]:
    opened = House(databases.copy(begun, tmp_path / "data"))
    opened.clock.pass_time(timedelta(seconds=10))
    yield opened
    opened.app.store.close()
