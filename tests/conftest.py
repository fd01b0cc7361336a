"""What tests of every room may ask for: a clock that stands still, a store in a temporary folder, the demo roster."""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from bot.app import SetClock
from bot.household import Household, opened
from bot.language.roster import Roster
from bot.roster_file import load_roster
from fixtures.demo import roster_path
from storage.engines import POSTGRESQL, SQLITE
from storage.store import Store
from tests import databases, postgresql
from tests.front import Front, open_front

# How long one example takes says more of what else the machine does than of the code.
settings.register_profile("default", deadline=None)

EVENING = datetime(2026, 3, 3, 19, 5, tzinfo=UTC)
_SERVER_FOLDER = pytest.StashKey[Path]()


def pytest_addoption(parser: pytest.Parser) -> None:
    """Say on which database the tests run."""
    parser.addoption("--database", choices=(SQLITE, POSTGRESQL), default=SQLITE, help="what the tests keep records in")


def pytest_configure(config: pytest.Config) -> None:
    """Settle where the PostgreSQL of this run has its folder; the processes of one run are told by the first."""
    told = getattr(config, "workerinput", {}).get("server_folder")
    config.stash[_SERVER_FOLDER] = Path(told) if told else postgresql.folder_of_run()


@pytest.hookimpl(optionalhook=True)
def pytest_configure_node(node: Any) -> None:  # noqa: ANN401 - of a plugin that may not be there
    """Tell a process of this run."""
    node.workerinput["server_folder"] = str(node.config.stash[_SERVER_FOLDER])


def pytest_unconfigure(config: pytest.Config) -> None:
    """End the server, if one was started, with the run."""
    if not hasattr(config, "workerinput"):
        postgresql.clear_away(config.stash[_SERVER_FOLDER])


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Run what is marked so on both databases, unless all is run on the other anyway."""
    if metafunc.definition.get_closest_marker("both_databases") is not None:
        # In a run on SQLite, the rooms above storage are tried on the other only with the slow ones: there are many of them.
        slow = () if "storage" in metafunc.definition.path.parts else (pytest.mark.slow,)
        both = [SQLITE, pytest.param(POSTGRESQL, marks=slow)]
        chosen = both if metafunc.config.getoption("--database") == SQLITE else [POSTGRESQL]
        metafunc.parametrize("database", chosen, indirect=True, scope="session")


@pytest.fixture(scope="session", autouse=True)
def database(request: pytest.FixtureRequest) -> str:
    """The kind of database in use; where it cannot be had, the test is skipped, but fails in CI."""
    chosen = str(getattr(request, "param", request.config.getoption("--database")))
    try:
        databases.choose(chosen, request.config.stash[_SERVER_FOLDER])
    except postgresql.NoServer as reason:
        if os.environ.get("CI"):
            raise
        pytest.skip(f"no PostgreSQL to test against: {reason}")
    return chosen


@pytest.fixture(autouse=True)
def _fresh_databases(request: pytest.FixtureRequest, database: str) -> Iterator[None]:
    """What a test keeps is gone when it has ended; what looks at SQLite itself is left out on another database."""
    only = request.node.get_closest_marker("sqlite_only")
    if only is not None and database != SQLITE:
        pytest.skip(f"of SQLite alone: {only.args[0]}")
    databases.lasting()
    yield
    databases.drop_made()


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
    made = Store.open(databases.of(tmp_path / "store"))
    yield made
    made.close()


@pytest.fixture
def demo_roster() -> Roster:
    """The roster that the demo begins with."""
    return load_roster(roster_path())


@pytest.fixture(scope="session")
def _furnished(tmp_path_factory: pytest.TempPathFactory, database: str) -> Path:
    """The folder of a household with the demo roster, made once and copied for each test."""
    folder, roster = tmp_path_factory.mktemp(f"furnished-{database}") / "household", load_roster(roster_path())
    with opened(folder, databases.settings(folder), SetClock(EVENING), roster.zone, lasting=False) as made:
        made.bring_in(roster)
    return folder


@pytest.fixture
def household(_furnished: Path, tmp_path: Path, clock: SetClock) -> Iterator[Household]:
    """A household with the demo roster and an empty journal."""
    folder = databases.copy(_furnished, tmp_path / "household")
    with opened(folder, databases.settings(folder), clock) as made:
        yield made


@pytest.fixture
def front(household: Household, clock: SetClock, tmp_path: Path) -> Front:
    """The desk of that household, with Ana (owner) and Ben (keeper) on Telegram."""
    return open_front(household, clock, tmp_path / "household")
