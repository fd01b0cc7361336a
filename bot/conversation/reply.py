"""What the bot says, as data: a channel decides how it looks."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Reply:
    """One message of the bot.

    `text` is plain text, lines parted by newlines. `choices` are the answers a question offers, in order; a channel
    numbers them or makes buttons of them. `rows` is set for tables (history): each row is a tuple of cells, `header` names the
    columns; `text` then holds the same in plain words. `entries` are the journal entries written, in the contract's shape.
    """

    text: str
    choices: tuple[str, ...] = ()
    header: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    entries: tuple[dict[str, Any], ...] = field(default=())
