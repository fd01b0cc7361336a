"""The words a correction opens or closes with, and how surely they make one."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bot.language.regrets import regret_end

if TYPE_CHECKING:
    from bot.language.items import Item, Tagged
    from bot.language.tokens import Token

OPENERS = {
    "i beg your pardon", "beg your pardon", "pardon", "pardon me", "apologies", "my apologies", "i made a mistake",
    "made a mistake", "mistake", "a mistake", "forgive me", "excuse me", "no", "nope", "sorry", "oops", "whoops",
    "actually", "wait", "correction", "make that", "make it", "i meant", "i mean", "should be", "should have been",
    "change that", "change it", "change the", "that was", "it was", "they were", "those were", "that is",
    "that should be", "not", "oh wait", "hang on", "hold on", "meant", "i meant to say", "my mistake", "set it to",
    "set that to", "turns out", "that were", "these were", "it is", "she was", "that should have been",
    "it should be", "it should say", "it should have been", "i said", "wrong", "nah", "scratch that", "scrap that",
    "change", "correct that", "amend", "edit", "fix that", "tell a lie", "i tell a lie", "my bad", "typo",
    "meant to say", "that wasn't", "the last one was", "last one was", "the last one should", "them", "they was",
    "in fact", "on second thoughts", "update that", "update", "put that down as", "put that down for", "put it down for", "put it down as", "put that one down as", "put that one down for", "date should be", "make those",
    "make them", "ah no", "oh no", "er no", "wrong day", "wrong tub",
    "should say", "should read", "got that wrong", "got it wrong", "that one was", "this one was", "i am so sorry", "i am sorry", "i spoke too soon", "spoke too soon", "i do apologise", "i apologise",
}  # fmt: skip
FIELDS = {
    "prey",
    "food",
    "date",
    "day",
    "number",
    "count",
    "quantity",
    "amount",
    "time",
    "name",
    "outcome",
    "weight",
    "value",
}
LONGEST_OPENER = 4  # words
STEPPED_OVER = {
    "oh", "um", "er", "ah", "eh", "ugh", "ok", "and", "please", "that", "the", "to", "be", "was", "hmm", "yeah",
    "kindly", "of", "said", "mentioned", "so", "well", "just", "should", "damn", "argh", "have", "been", "right",
}  # fmt: skip
CLOSINGS = (
    "it actually", "them actually", "that was", "that is", "it was", "meant to say", "i meant", "i should say", "i should have said",
)  # fmt: skip
DECIDED = ("meant", "make that", "make it", "should", "change", "correct", "mistake")
STRONG = (*DECIDED, "was", "were")
REACHING_BACK = re.compile(r"\b(?:after all|in the end|eventually)\b")


@dataclass(frozen=True, slots=True)
class Opener:
    """The words a correction opens with, and the character where they end."""

    words: str
    end: int

    @property
    def decided(self) -> bool:
        """Whether the words can only mean a correction ("make that", "should have been")."""
        return any(word in self.words for word in DECIDED)

    @property
    def strong(self) -> bool:
        """Whether the words very likely mean a correction: the decided ones, and "that was"."""
        return any(word in self.words for word in STRONG)


def opener_of(tagged: Tagged) -> Opener | None:
    """The words a message opens with that make it a correction, as many as follow each other; else a closing one."""
    return _opener_from(tagged, regrets_of(tagged)) or _closing(tagged)


def regrets_of(tagged: Tagged) -> int:
    """The character at which the regrets end that an opener follows, one that needs none of them; 0 where there are none."""
    end = regret_end(tagged.text.lower().replace("\u2019", "'"))
    told = any(_tells(item) for item in tagged.items if item.start < end)
    opener = _opener_from(tagged, end) if end and not told else None
    return end if opener is not None and opener.strong else 0


def _tells(item: Item) -> bool:
    """Whether an item tells of the animals or their care, so that it is no part of a regret."""
    told = any(item.sense(sort) for sort in ("thing", "prey", "outcome", "sign"))
    counted = item.quantity is not None and not item.quantity.article
    return item.kind == "name" or counted or (item.kind == "word" and told)


def _opener_from(tagged: Tagged, start: int) -> Opener | None:
    tokens = [token for token in tagged.tokens if token.kind in {"word", "number"} and token.start >= start]
    found: Opener | None = None
    at = 0
    while at < len(tokens):
        length = _opener_at(tokens, at)
        if length:
            words = _words(tokens, at, length)
            found = Opener(f"{found.words} {words}" if found else words, tokens[at + length - 1].end)
        step = length or _stepped_over(tokens, at, opened=found is not None)
        if not step:
            break
        at += step
    return found


def _words(tokens: list[Token], at: int, length: int) -> str:
    return " ".join(token.text for token in tokens[at : at + length])


def _opener_at(tokens: list[Token], at: int) -> int:
    """How many words of an opener stand here: the longest that fits, 0 where there is none."""
    if tokens[at].text in FIELDS and _words(tokens, at + 1, 2) in {"should say", "should be", "should read"}:
        return 3
    if (
        _words(tokens, at, 2) == "got the"
        and at + 3 < len(tokens)
        and tokens[at + 2].text in FIELDS
        and tokens[at + 3].text == "wrong"
    ):
        return 4
    longest = min(LONGEST_OPENER, len(tokens) - at)
    return next((length for length in range(longest, 0, -1) if _words(tokens, at, length) in OPENERS), 0)


def _stepped_over(tokens: list[Token], at: int, *, opened: bool) -> int:
    """How many words between two openers mean nothing, as in "nope, Jo says it was Tuesday"."""
    if tokens[at].text in STEPPED_OVER:
        return 1
    following = tokens[at + 1].text if at + 1 < len(tokens) else ""
    asked = tokens[at].text in {"would", "could", "can", "will"} and following == "you"
    return 2 if opened and (asked or following in {"says", "said", "reckons", "thinks"}) else 0


def _closing(tagged: Tagged) -> Opener | None:
    """A short correction that says so at its end: "heavily, meant to say"."""
    words = " ".join(token.text for token in tagged.tokens if token.kind == "word")
    return Opener("meant", 0) if len(tagged.tokens) <= 8 and words.endswith(CLOSINGS) else None


def reaches_back(tagged: Tagged) -> bool:
    """Whether "after all" without a name tells how something logged went on."""
    found = REACHING_BACK.search(tagged.text.lower())
    return bool(found) and not any(item.kind == "name" for item in tagged.items)
