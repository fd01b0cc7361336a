"""Ctrl-C in a long command."""

from __future__ import annotations

import os
import signal

import pytest

from bot.interrupting import heeding_interrupts
from tests.interrupts import interruptible


def test_the_first_is_noted_and_the_second_interrupts() -> None:
    """The first raises nothing wherever it comes; whoever insists is not kept waiting."""
    with interruptible(), heeding_interrupts() as asked:
        assert not asked.is_set()
        os.kill(os.getpid(), signal.SIGINT)
        assert asked.wait(1)
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGINT)


def test_afterwards_all_is_as_before() -> None:
    """Also where the block ends with a fault."""
    with interruptible():
        before = signal.getsignal(signal.SIGINT)
        with pytest.raises(ZeroDivisionError), heeding_interrupts():
            raise ZeroDivisionError
        assert signal.getsignal(signal.SIGINT) is before


def test_where_it_is_ignored_it_stays_so() -> None:
    """As a shell has it for what a script runs in the background."""
    with interruptible(signal.SIG_IGN), heeding_interrupts() as asked:
        os.kill(os.getpid(), signal.SIGINT)
        assert not asked.is_set()
        assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN
