"""Which entries answer which tasks."""

from __future__ import annotations

CARE_KINDS = frozenset({"feeding", "misting", "watering", "cleaning", "count", "measurement", "reading", "check"})
"""Kinds done again and again: one done long before a planned day does not stand for the planned one."""

LOOKED_IN = frozenset({"observation", "feeding", "moult", "count", "death", "sac"})
"""What shows that the keeper has looked in on them: answers a planned `check`."""


def answering_kinds(kind: str) -> frozenset[str]:
    """Kinds of entry that answer a plan of a kind."""
    return LOOKED_IN if kind == "check" else frozenset({kind})
