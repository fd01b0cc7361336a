"""What can go wrong with moving out and in."""

from __future__ import annotations

from bot.errors import RacksideError


class MovingFault(RacksideError):
    """A file cannot be written, read or taken in; the message is a sentence for the keeper."""
