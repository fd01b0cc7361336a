"""What the tests of the Matrix channel share: a homeserver for each test process, and people for each test."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.matrix.homeserver.cast import Story, told
from tests.matrix.homeserver.environment import NoSynapse, synapse_python
from tests.matrix.homeserver.server import Homeserver

STORY_LIMIT = 600.0
"""Seconds; a test that takes longer hangs."""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What talks to a real homeserver is slow: it takes half a minute, of the five that the quick tests may take."""
    for item in items:
        if "homeserver" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.slow)


@pytest.fixture(scope="session")
def synapse() -> Path:
    """The Python with Synapse; where none can be had, the test is skipped, but fails in CI."""
    try:
        return synapse_python()
    except NoSynapse as reason:
        if os.environ.get("CI"):
            raise
        pytest.skip(f"no homeserver to test against: {reason}")


@pytest.fixture(scope="session")
def homeserver(synapse: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Homeserver]:
    """A running homeserver, one for each test process, with a folder and a port of its own."""
    server = Homeserver(tmp_path_factory.mktemp("homeserver"), synapse)
    server.start()
    yield server
    server.stop()


@pytest.fixture(autouse=True)
def _server_is_up(request: pytest.FixtureRequest) -> None:
    """A test that asks for the homeserver finds it running, whatever the one before did to it."""
    if "homeserver" in request.fixturenames:
        request.getfixturevalue("homeserver").start()


@pytest.fixture
def story(homeserver: Homeserver, tmp_path: Path) -> Story:
    """Runs a test's coroutine with people of its own: `story(tale)` where `async def tale(cast: Cast)`."""
    return told(homeserver, tmp_path / "people", STORY_LIMIT)
