"""Ctrl-C heeded where it is safe: between two steps of a long command, and not wherever Python happens to be."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event
from types import FrameType


@contextmanager
def heeding_interrupts() -> Iterator[Event]:
    """An event that the first Ctrl-C (SIGINT) sets; a second one interrupts at once, as ever. To be used in the main thread.

    Python raises KeyboardInterrupt wherever it is, also in places where an exception is lost (the garbage collector, a
    callback of a C library), and the command would go on as if nothing had been asked. Where the signal is ignored, as
    for what a script runs in the background, it stays so.
    """
    asked = Event()
    before = signal.getsignal(signal.SIGINT)
    if before is signal.SIG_IGN:
        yield asked
        return

    def note(_number: int, _frame: FrameType | None) -> None:
        asked.set()
        signal.signal(signal.SIGINT, before)

    signal.signal(signal.SIGINT, note)
    try:
        yield asked
    finally:
        signal.signal(signal.SIGINT, before)
