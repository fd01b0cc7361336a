"""A text cut into words, figures and marks, with the small looks at it that the rules share."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from bot.language.dates.lexicon import Words, canonical, words
from bot.language.dates.model import Frame
from bot.language.tokens import DRAWN_OUT

TOKEN = re.compile(r"[0-9]+|[^\W\d_]+(?:['\u2019][^\W\d_]+)*|[^\s]")
"""Digits and letters are split ("9pm" is two tokens, "t13" too); every other mark stands alone."""

LONGEST_FIGURE = 8
"""Digits of the longest figure that is a number; longer ones are just marks."""

MOST_PASSED = 6
"""How many filler words a rule steps over; it keeps the reading of a long text linear."""

DASHES = frozenset("-\u2013\u2014")
ENDS = frozenset(".,;:!?)]}\"'…|/&+")


@dataclass(frozen=True, slots=True)
class Token:
    """One word, figure or mark: `low` its table spelling, `glued` whether it touches the token before."""

    low: str
    start: int
    end: int
    glued: bool
    number: int | None = None
    named: bool = False


OWNED = frozenset(
    {
        "weigh",
        "feed",
        "feeding",
        "feeds",
        "round",
        "rounds",
        "misting",
        "check",
        "checks",
        "count",
        "cleaning",
        "watering",
        "weighing",
    }
)
"""What a day may own, so that it tells when that was."""

MASK = "\u25a0"
"""Stands for every character of a name, which no date is read across."""


class Scan:
    """The tokens of one text, its word tables and the frame; every look beyond the ends answers "nothing"."""

    def __init__(self, text: str, frame: Frame) -> None:
        self.text = text
        self.frame = frame
        self.tables: Words = words()
        self.tokens = _owning(cut(text, self.tables))
        self.lows = [token.low for token in self.tokens]
        self.acts = any(token.low in self.tables.lists["acts"] for token in self.tokens)

    def __len__(self) -> int:
        return len(self.tokens)

    def word(self, at: int) -> str:
        """The word at a position, lower case and mended; "" beyond the text."""
        return self.lows[at] if 0 <= at < len(self.lows) else ""

    def number(self, at: int) -> int | None:
        """The figure at a position, unless it is part of a name ("t13")."""
        if not 0 <= at < len(self.tokens) or self.tokens[at].named:
            return None
        return self.tokens[at].number

    def digits(self, at: int) -> int:
        """How many digits the figure at a position has; 0 where there is none."""
        token = self.tokens[at] if 0 <= at < len(self.tokens) else None
        return token.end - token.start if token and token.number is not None else 0

    def glued(self, at: int) -> bool:
        """Whether a token touches the one before it."""
        return 0 <= at < len(self.tokens) and self.tokens[at].glued

    def ends(self, at: int) -> bool:
        """Whether a clause ends before this position: the text's end, a mark, or a new line."""
        if at >= len(self.tokens):
            return True
        if self.word(at) in ENDS or (self.word(at) in DASHES and not self.glued(at)):
            return True
        return at > 0 and "\n" in self.text[self.tokens[at - 1].end : self.tokens[at].start]

    def listed(self, at: int, name: str) -> bool:
        """Whether the word at a position is in one of the named lists."""
        return self.word(at) in self.tables.lists[name]

    def measured(self, at: int) -> bool:
        """Whether a unit of measure or a degree sign comes here; the "in" of "in the evening" is none."""
        if self.word(at) in {"°", "%", "/"}:
            return True
        if self.word(at) == "in":
            return self.word(at + 1) not in {"the", "morning", "evening", "afternoon"}
        return self.listed(at, "measures")

    def phrase(self, at: int, *expected: str) -> bool:
        """Whether the words from a position on are these."""
        return all(self.word(at + step) == word for step, word in enumerate(expected))

    def skip(self, at: int, *passed: str) -> int:
        """The position after any of these words in a row, at most a few."""
        for _ in range(MOST_PASSED):
            if self.word(at) not in passed or at >= len(self.tokens):
                break
            at += 1
        return at

    def skip_back(self, at: int, *passed: str) -> int:
        """The position before any of these words in a row, going back, at most a few."""
        for _ in range(MOST_PASSED):
            if at <= 0 or self.word(at) not in passed:
                break
            at -= 1
        return at


def _owning(tokens: list[Token]) -> list[Token]:
    """The tokens, a day that owns a task as the day itself: "friday's feed"."""
    following = [token.low for token in tokens[1:]] + [""]
    return [
        replace(token, low=token.low[:-2]) if token.low.endswith("'s") and after in OWNED else token
        for token, after in zip(tokens, following, strict=False)
    ]


def cut(text: str, tables: Words) -> list[Token]:
    """Cut a text into tokens."""
    tokens: list[Token] = []
    last_end = -1
    for found in TOKEN.finditer(text):
        start, end = found.span()
        tokens.append(_token(found.group(), (start, end), start == last_end, tokens, tables))
        last_end = end
    return tokens


def _token(raw: str, span: tuple[int, int], glued: bool, before: list[Token], tables: Words) -> Token:  # noqa: FBT001 - a plain fact of the token
    if raw[0] in "0123456789":
        number = int(raw) if len(raw) <= LONGEST_FIGURE else None
        return Token(raw, *span, glued, number, glued and _names(before, tables))
    low = DRAWN_OUT.sub(r"\1", raw.lower().replace("\u2019", "'"))
    return Token(canonical(low) if len(low) > 2 or low in tables.spelled else low, *span, glued)


def _names(before: list[Token], tables: Words) -> bool:
    """Whether a figure that touches the letters before it is part of a name: "t13", but not "jul24" or "21h30"."""
    if not before or not before[-1].low[0].isalpha() or before[-1].low in tables.months:
        return False
    return not (
        before[-1].low in {"x", "t"} | tables.units.keys() | tables.short_units.keys()
        and before[-1].glued
        and len(before) > 1
        and before[-2].number is not None
    )
