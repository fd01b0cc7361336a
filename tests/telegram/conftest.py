"""What tests of the Telegram channel may ask for."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.telegram.bot_api import BotApi, Serving


@pytest.fixture
def bot_api() -> Iterator[BotApi]:
    """A fake Bot API server of the test's own."""
    with Serving() as api:
        yield api
