"""What tests of the Telegram channel may ask for."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.telegram.bot_api import BotApi, Serving


@pytest.fixture(autouse=True)
def _waits_as_time_spans(monkeypatch: pytest.MonkeyPatch) -> None:
    """The library tells waits as timedelta; in its old form it warns each time, and warnings are errors here."""
    monkeypatch.setenv("PTB_TIMEDELTA", "true")


@pytest.fixture
def bot_api() -> Iterator[BotApi]:
    """A fake Bot API server of the test's own."""
    with Serving() as api:
        yield api
