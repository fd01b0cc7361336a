"""What tests of every room may ask for: a clock that stands still, a store in a temporary folder, the demo roster."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot.app import SetClock
from bot.household import Household, opened
from bot.language.roster import Roster
from bot.roster_file import load_roster
from bot.settings import Settings
from fixtures.demo import roster_path
from storage.store import Store
from tests.front import Front, open_front

EVENING = datetime(2026, 3, 3, 19, 5, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _no_settings_from_outside(monkeypatch: pytest.MonkeyPatch) -> None:
    """The settings of whoever runs the tests do not reach them."""
    for name in [name for name in os.environ if name.startswith("RACKSIDE_")]:
        monkeypatch.delenv(name)


@pytest.fixture
def clock() -> SetClock:
    """A clock that stands at 19:05 on Tuesday, 3 March 2026, in UTC."""
    return SetClock(EVENING)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """An empty store in a temporary folder."""
    made = Store.open(tmp_path / "store")
    yield made
    made.close()


@pytest.fixture
def demo_roster() -> Roster:
    """The roster that the demo begins with."""
    return load_roster(roster_path())


@pytest.fixture(scope="session")
def _furnished(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a household with the demo roster, made once and copied for each test."""
    folder, roster = tmp_path_factory.mktemp("furnished") / "household", load_roster(roster_path())
    with opened(folder, Settings(), SetClock(EVENING), roster.zone, lasting=False) as made:
        made.bring_in(roster)
    return folder


@pytest.fixture
def household(_furnished: Path, tmp_path: Path, clock: SetClock) -> Iterator[Household]:
    """A household with the demo roster and an empty journal."""
    shutil.copytree(_furnished, tmp_path / "household")
    with opened(tmp_path / "household", Settings(), clock) as made:
        yield made


@pytest.fixture
def front(household: Household, clock: SetClock, tmp_path: Path) -> Front:
    """The desk of that household, with Ana (owner) and Ben (keeper) on Telegram."""
    return open_front(household, clock, tmp_path / "household")
