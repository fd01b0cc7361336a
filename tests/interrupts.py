"""SIGINT as a terminal has it, also where the tests run in the background of a script, with that signal ignored."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any


@contextmanager
def interruptible(how: Any = signal.default_int_handler) -> Iterator[None]:  # noqa: ANN401 - what `signal.signal` takes
    """SIGINT handled so in this process; one that is started meanwhile has it as by default, unless it is ignored here."""
    before = signal.signal(signal.SIGINT, how)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
