"""What the tests of the conversation share."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conversation.chatting import Chat, open_chat
from tests.conversation.room import Room, open_room


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Room]:
    opened = open_room(tmp_path / "data")
    yield opened
    opened.app.store.close()


@pytest.fixture
def chat(tmp_path: Path) -> Iterator[Chat]:
    opened = open_chat(tmp_path / "data")
    yield opened
    opened.app.store.close()
