"""The tick only ticks."""

from __future__ import annotations

import logging
from threading import Event
from typing import TYPE_CHECKING

from bot.reminders.ticker import ticking
from tests.patience import PATIENCE

if TYPE_CHECKING:
    import pytest


def test_something_is_done_again_and_again_until_the_block_ends(caplog: pytest.LogCaptureFixture) -> None:
    """Also after it has raised; and not any more afterwards."""
    done: list[int] = []
    often = Event()

    def act() -> None:
        done.append(1)
        if len(done) == 1:
            raise RuntimeError("once")
        if len(done) >= 3:
            often.set()

    with caplog.at_level(logging.CRITICAL, logger="apscheduler"), ticking(act, 0.02):
        assert often.wait(PATIENCE)
    count = len(done)
    assert not Event().wait(0.1)
    assert len(done) == count
