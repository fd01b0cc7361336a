"""What one label says, and the fault for what cannot be a label."""

from __future__ import annotations

from dataclasses import dataclass


class LabelFault(ValueError):
    """A label or a link that cannot be made; the message is the sentence a keeper reads."""


@dataclass(frozen=True, slots=True)
class Label:
    """The name of a place, a short line beneath it (who lives there; may be empty), and the address that its code holds."""

    name: str
    line: str
    url: str
