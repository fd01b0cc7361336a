"""Names as they are compared: without regard to case and to spaces."""

from __future__ import annotations


def name_key(name: str) -> str:
    """The form in which two spellings of one name are equal."""
    return " ".join(name.split()).casefold()
