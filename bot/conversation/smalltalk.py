"""Talk that is not about the animals: a short line back, and nothing written."""

from __future__ import annotations

import re

_LINES = (
    (
        re.compile(
            r"\b(thanks?|thank you|thx|ta|cheers|great|perfect|brilliant|good bot|nice one|well done)\b", re.IGNORECASE
        ),
        "You are welcome.",
    ),
    (re.compile(r"\b(good ?night|night night|bye|see you|later)\b", re.IGNORECASE), "Good night. I will be here."),
    (
        re.compile(
            r"^(hi|hello|hey|hiya|morning|evening|good (morning|afternoon|evening|day)|moin|yo)\b", re.IGNORECASE
        ),
        "Hello. Tell me what you did, or ask.",
    ),
    (re.compile(r"\b(ok|okay|yes|no|sure|right|fine|got it|yep|nope|lol|haha)\b", re.IGNORECASE), "All right."),
)
_OTHER = (
    "I wrote nothing down, as that did not sound like something about the animals. "
    "Begin with “note” to keep it all the same, or ask “what can you do”."
)


def chat(text: str) -> str:
    """A line in answer to small talk; for anything not known as such, that nothing was written and how to keep it."""
    short = len(text.split()) <= 6
    return next((line for pattern, line in _LINES if short and pattern.search(text)), _OTHER)
