"""The signs that stand for the choices of a question: the bot puts them as reactions, and a keeper taps one."""

from __future__ import annotations

_PLAIN, _KEYCAP, _EMOJI = "\N{DIGIT ONE}", "\N{COMBINING ENCLOSING KEYCAP}", "\N{VARIATION SELECTOR-16}"
_CIRCLED = "\N{CIRCLED DIGIT ONE}"

MOST = 9
"""There are signs for so many choices; those after them are answered by their number in words."""


def sign(place: int) -> str:
    """The sign for the choice at a place from 0 to 8: 1️⃣ to 9️⃣."""
    return f"{chr(ord(_PLAIN) + place)}{_EMOJI}{_KEYCAP}"


def place_of(key: str) -> int | None:
    """The place, from 0, that a reaction stands for; None for any other. ①, 1️⃣ and a bare 1 are the same."""
    bare = key.replace(_EMOJI, "").replace(_KEYCAP, "").strip()
    if len(bare) != 1:
        return None
    for first in (_PLAIN, _CIRCLED):
        place = ord(bare) - ord(first)
        if 0 <= place < MOST:
            return place
    return None
