"""The tick: something is done every few seconds for as long as a block runs. What is to be said, and when, stands in the database."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC

from apscheduler.schedulers.background import BackgroundScheduler

TICK_SECONDS = 20


@contextmanager
def ticking(act: Callable[[], None], seconds: float = TICK_SECONDS) -> Iterator[None]:
    """Do `act` every so many seconds in a thread of its own, one at a time; what it raises is logged, and the next tick comes.

    Ticks that were missed, as while the machine slept, come as one, however late.
    """
    scheduler = BackgroundScheduler(timezone=UTC)
    scheduler.add_job(act, "interval", seconds=seconds, coalesce=True, max_instances=1, misfire_grace_time=None)
    scheduler.start()
    try:
        yield
    finally:
        scheduler.shutdown()
