"""Talk that is not about the animals: a short line back, and nothing written."""

from __future__ import annotations

import re

# Only what is plainly small talk gets a friendly line: for anything else the keeper must learn that nothing was written.
_LINES = tuple(
    (re.compile(pattern, re.IGNORECASE), line)
    for pattern, line in (
        (r"\b(thanks?|thank you|thx|cheers)\b", "You are welcome."),
        (r"^(ta|great|perfect|brilliant|lovely|good bot|nice one|well done)( job| work| stuff)?$", "You are welcome."),
        (r"^(good ?night|night)( night| all| everyone)?$|^(bye|see you|later)\b", "Good night. I will be here."),
        (
            r"^(hi|hello|hey|hiya|morning|evening|good (morning|afternoon|evening|day)|moin|yo)\b",
            "Hello. Tell me what you did, or ask.",
        ),
        (
            r"^((i|we) (am|are|m|re|will be|go|am going|are going) |i'm |we're )?(going )?(away|on (holiday|vacation|leave)|out of town)$",
            "Say from when to when, such as “away 3 to 10 June”; what falls due then waits until you are back.",
        ),
        (r"^(ok|okay|yes|no|sure|right|fine|got it|yep|nope|lol|haha)$", "All right."),
    )
)
NOTHING_WRITTEN = (
    "I wrote nothing down, as that did not sound like something about the animals. "
    "Begin with “note” to keep it all the same, or ask “what can you do”."
)
"""Said of a text of which nothing was made."""


def chat(text: str) -> str:
    """A line in answer to small talk; for anything not known as such, that nothing was written and how to keep it."""
    words = " ".join(re.sub(r"[^\w\s']+", " ", text).split())
    short = len(words.split()) <= 6
    return next((line for pattern, line in _LINES if short and pattern.search(words)), NOTHING_WRITTEN)
