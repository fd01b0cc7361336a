"""Names and figures that may be dates: an animal called May, and "12/5"."""

from __future__ import annotations

import re

from bot.language.names import NameSpan
from bot.language.tokens import Token, text_at

MONTHS = frozenset({
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december",
    "jan", "feb", "mar", "apr", "jun", "jul", "aug", "sep", "sept", "oct", "nov", "dec",
})  # fmt: skip
CALENDAR_NAMES = MONTHS | {
    "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday",
    "mon", "tue", "tues", "wed", "weds", "thu", "thur", "thurs", "fri", "sat", "sun",
    "summer", "autumn", "winter", "spring", "noon", "midnight", "dawn",
}  # fmt: skip
MONTH_LEADS = {"in", "since", "until", "till", "during", "next", "last", "early", "late", "mid", "this"}
CALENDAR_LEADS = MONTH_LEADS | {"on", "every", "by", "from", "of", "to", "through", "coming"}
CALENDAR_PARTS = {"morning", "evening", "night", "afternoon", "am", "pm", "eve"}
ORDINALS = ("st", "nd", "rd", "th")
DENIALS = {"no", "mean", "meant", "wait", "sorry"}
LONGER_DENIALS = {("that", "was"), ("it", "was"), ("no", "the"), ("they", "were"), ("mean", "the"), ("not", "the")}
CLOSERS = {",", ".", ";", "!", "\n", ":", ""}


def is_calendar_word(tokens: tuple[Token, ...], span: NameSpan) -> bool:
    """Whether a name that is also a month or a weekday is the calendar's here ("in may", "3 june") and not the animal's."""
    first, last = span.first, span.last
    word = tokens[first].text
    if last - first > 1 or word not in CALENDAR_NAMES:
        return False
    before, after = text_at(tokens, first - 1), text_at(tokens, last)
    led = before in (MONTH_LEADS if word in MONTHS else CALENDAR_LEADS) or before.isdigit()
    dated = first > 1 and (before in ORDINALS or (before == "of" and text_at(tokens, first - 2).endswith(ORDINALS)))
    counted = after.isdigit() and text_at(tokens, last + 1) in ORDINALS
    return led or dated or counted or after in CALENDAR_PARTS


def stands_alone(tokens: tuple[Token, ...], first: int, last: int, words: str) -> bool:
    """Weak dates that their place makes sure: 12/5 or 8.5. opening a message or closing a clause, a day after "that was" or "no"."""
    before = text_at(tokens, first - 1)
    if before in DENIALS or (text_at(tokens, first - 2), before) in LONGER_DENIALS:
        return words.lower() != "now"
    if not re.fullmatch(r"\d{1,2}[/.]\d{1,2}\.?", words):
        return False
    if first == 0 and ("/" in words or words.endswith(".")):
        return True
    return "/" in words and first > 0 and text_at(tokens, last) in CLOSERS and tokens[first - 1].kind == "word"
