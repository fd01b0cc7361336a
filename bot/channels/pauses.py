"""How long to wait before something that failed is tried again: twice as long each time, up to a limit."""

from __future__ import annotations

import random
from dataclasses import dataclass

JITTER = 0.25
"""By this share a pause is drawn out or cut short at random, so that many who wait do not come back at once."""


def pause(failures: int, first: float, longest: float) -> float:
    """Seconds to wait after so many failures (0 for the first one), without jitter."""
    return min(longest, first * 2.0 ** min(failures, 30))


@dataclass(slots=True)
class Backoff:
    """The pauses of something that goes on for ever, in seconds."""

    first: float = 1.0
    longest: float = 60.0
    failures: int = 0

    def next(self) -> float:
        """Another failure: how long to wait now."""
        planned = pause(self.failures, self.first, self.longest)
        self.failures += 1
        return planned * random.uniform(1 - JITTER, 1 + JITTER)  # noqa: S311 - spreads requests, hides nothing

    def reset(self) -> None:
        """It went well."""
        self.failures = 0
