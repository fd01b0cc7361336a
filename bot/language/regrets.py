"""What a keeper is sorry for before a correction: "oh dear, …", "sorry to be a nuisance, but …", "I've muddled my days again, …"."""

from __future__ import annotations

import re

_RUEFUL = (
    r"\b(?:sorry|oh dear|dear me|dear oh dear|silly|daft|stupid|dumb|idiot|muddled?|mixed up|confused|brain|my head|nuisance|bother"
    r"|apolog\w+|losing it|half asleep|not awake|typo|(?:fat|clumsy) (?:fingers|thumbs))\b"
)
_SEGMENT = rf"(?=[^,.;:!?\n]*{_RUEFUL})(?![^,.;:!?\n]*\d)[^,.;:!?\n]{{3,60}}[,.;:!]+ *"
REGRETS = re.compile(rf"(?:{_SEGMENT}){{1,3}}(?:(?:but|and|so|well|please)\b,? *)*")


def regret_end(text: str) -> int:
    """The character at which a message goes on after its regrets; 0 where it opens with none.  `text` is in small letters."""
    found = REGRETS.match(text)
    return found.end() if found is not None else 0
