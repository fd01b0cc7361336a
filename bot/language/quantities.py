"""Numbers as people write them: ranges, "about", "at least", "a couple", "half a dozen", with the unit that follows."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from bot.language import amounts
from bot.language.amounts import Amount, amount_at
from bot.language.tokens import Token, stands, text_at
from bot.language.units import unit_at

if TYPE_CHECKING:
    from collections.abc import Iterable

BEFORE = {
    "about": "about, around, roughly, approximately, approx, approx ., aprox, appr ., circa, ca, ca ., c ., ~, maybe, probably, nearly, almost,"
    " somewhere around, somewhere near, just about, around about, close to, roundabout, round about, in the region of, give or take, more or less,"
    " an estimated, estimated, bout, abt, just under, just over",
    "at least": "at least, least, atleast, min, minimum, minimum of, a minimum of, no less than, no fewer than, not less than, > =, upwards of",
    "more than": "more than, over, well over, upward of, above, >",
    "up to": "up to, upto, at most, max, maximum, maximum of, a maximum of, no more than, not more than",
    "less than": "less than, fewer than, under, below, <",
}
"""Words before a number that make it no exact one; at each place the longest that stands there counts."""

AFTER = {
    "about": "ish, or so, give or take, odd, approx, roughly, or thereabouts, or thereabout",
    "at least": "plus, +, or more, at least, minimum, and counting",
    "up to": "max, or less, or fewer, at most, tops",
}
"""The same for words after a number; no two of them can stand at one place."""

TO = "-, to, or, or maybe, maybe, or perhaps, till, or even"

Phrase = tuple[tuple[str, ...], str]


def _by_first_word(tables: dict[str, str]) -> dict[str, tuple[Phrase, ...]]:
    """Phrases with what they mean, longest first, to be found by their first word."""
    phrases = [(tuple(phrase.split()), sense) for sense, table in tables.items() for phrase in table.split(", ")]
    phrases.sort(key=lambda pair: -len(pair[0]))
    return {
        first: tuple(pair for pair in phrases if pair[0][0] == first) for first in {words[0] for words, _ in phrases}
    }


LEADS, TAILS = _by_first_word(BEFORE), _by_first_word(AFTER)
LINKS = _by_first_word({"to": TO, "between": "and"})
OPENERS = frozenset({*LEADS, *amounts.OPENERS, "between"})


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number or a range as written. `sense` is exact, about, at least, more than, up to or less than."""

    low: float
    high: float
    sense: str = "exact"
    unit: str | None = None
    article: bool = False  # it was only "a" or "an"

    @property
    def bare(self) -> bool:
        """Whether it is a number alone: with no unit, and no mere "a"."""
        return self.unit is None and not self.article

    def count(self) -> list[float | None]:
        """[low, high] of a count: "about" widens by a tenth each way, rounded outward (the parse contract)."""
        low, high = self.low, self.high
        if self.sense == "about":
            return [_whole(math.floor(round(low * 0.9, 6))), _whole(math.ceil(round(high * 1.1, 6)))]
        return self._bounded(low, high)

    def measured(self, factor: float = 1.0) -> list[float | None]:
        """[low, high] of a measured value in the unit times factor; "about" widens by a tenth, unrounded."""
        low, high = self.low * factor, self.high * factor
        if self.sense == "about":
            return [_whole(low * 0.9), _whole(high * 1.1)]
        return [_whole(value) if value is not None else None for value in self._bounded(low, high)]

    def _bounded(self, low: float, high: float) -> list[float | None]:
        if self.sense == "at least":
            return [_whole(low), None]
        if self.sense == "more than":
            return [_whole(low + 1), None]
        if self.sense == "up to":
            return [0, _whole(high)]
        if self.sense == "less than":
            return [0, _whole(max(high - 1, 0))]
        return [_whole(low), _whole(high)]


def _whole(value: float) -> float:
    value = round(value, 3)
    return int(value) if value == int(value) else value


def may_open(token: Token) -> bool:
    """Whether a quantity can begin with a token; most words begin none, and cost one look-up."""
    return token.kind == "number" or token.text in OPENERS


def read_quantity(tokens: tuple[Token, ...], at: int) -> tuple[Quantity, int] | None:
    """The quantity that starts at a token, and the token after it; None where there is none."""
    if at >= len(tokens) or not may_open(tokens[at]):
        return None
    sense, index = _standing(tokens, at, LEADS.get(tokens[at].text, ()))
    index += text_at(tokens, index) == "between"
    first = amount_at(tokens, index)
    if first is None or (sense and first.article):
        return None
    high, index = _upper_end(tokens, first)
    tail, index = _tail(tokens, index)
    sense = tail or sense or "exact"
    unit, index = unit_at(tokens, index)
    half = 0.5 if unit and stands(tokens, index, ("and", "a", "half")) else 0.0  # "an ounce and a half"
    index += 3 if half else 0
    article = first.article and (sense != "exact" or first.low == 1)
    quantity = Quantity(first.low + half, high + half, sense, unit, article and not half)
    return _second_bound(tokens, quantity, index) if unit else (quantity, index)


def _standing(tokens: tuple[Token, ...], at: int, phrases: Iterable[Phrase]) -> tuple[str, int]:
    """What the first of the phrases that stands at a place means, and the token after it; empty where none does."""
    for words, sense in phrases:
        if stands(tokens, at, words):
            return sense, at + len(words)
    return "", at


def _tail(tokens: tuple[Token, ...], at: int) -> tuple[str, int]:
    """The sense that words after a number give it; a plus between two numbers or letters only joins them."""
    text = text_at(tokens, at)
    if text == "+" and at + 1 < len(tokens) and (tokens[at + 1].kind == "number" or len(tokens[at + 1].text) == 1):
        return "", at
    return _standing(tokens, at, TAILS.get(text, ()))


def _second_bound(tokens: tuple[Token, ...], quantity: Quantity, index: int) -> tuple[Quantity, int]:
    """A range with its unit written twice: "24C to 26C", "55% - 60%"."""
    if text_at(tokens, index) in {"-", "to", "till"}:
        second = amount_at(tokens, index + 1)
        if second and second.low > quantity.high:
            unit, after = unit_at(tokens, second.last)
            if unit == quantity.unit:
                return replace(quantity, high=second.high), after
    return quantity, index


def _upper_end(tokens: tuple[Token, ...], first: Amount) -> tuple[float, int]:
    """The upper end of a range and the token after it: "2 or 3", "between 5 and 7"; the first amount's own where it is none."""
    for words, link in LINKS.get(text_at(tokens, first.last), ()):
        if not stands(tokens, first.last, words) or (
            link == "between" and text_at(tokens, first.last - 2) != "between"
        ):
            continue
        second = amount_at(tokens, first.last + len(words))
        if second is not None and not second.article and second.low > first.low:
            return second.high, second.last
    return first.high, first.last
