"""Amounts in figures and in words, each as low and high: 2, 1/2, twenty five, a couple of, half a dozen."""

from __future__ import annotations

from dataclasses import dataclass

from bot.language.tokens import FRACTIONS, Token, stands, text_at

ONES = {
    word: value
    for value, word in enumerate(
        (
            *(
                "zero",
                "one",
                "two",
                "three",
                "four",
                "five",
                "six",
                "seven",
                "eight",
                "nine",
                "ten",
                "eleven",
                "twelve",
            ),
            *("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"),
        )
    )
}
TENS = {
    word: 10 * value
    for value, word in enumerate(
        ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"), start=2
    )
} | {"fourty": 40}
MULTIPLES = {"hundred": 100.0, "thousand": 1000.0, "dozen": 12.0, "dozens": 12.0, "score": 20.0}
VAGUE = {"couple": (2.0, 2.0), "pair": (2.0, 2.0), "few": (3.0, 5.0), "trio": (3.0, 3.0)}
LARGEST = 1e15  # nobody keeps more of anything; past it, figures would become infinite
ARTICLES = frozenset({"a", "an"})
ONE_MORE = "another"
LOOSE = frozenset({*ARTICLES, ONE_MORE, "half", *VAGUE})
OPENERS = frozenset({*LOOSE, *ONES, *TENS, "x"})
"""Words that an amount may begin with; else it begins with figures."""


@dataclass(frozen=True, slots=True)
class Amount:
    """How many: low to high, the token after the last of it, and whether it was only "a" or "an"."""

    low: float
    high: float
    last: int
    article: bool = False


def amount_at(tokens: tuple[Token, ...], at: int) -> Amount | None:
    """The amount that begins at a token; None where there is none."""
    if at >= len(tokens):
        return None
    if tokens[at].kind == "number":
        return _figures(tokens, at)
    loose = _loose(tokens, at) if tokens[at].text in LOOSE else None
    return loose or _spoken(tokens, at)


def _loose(tokens: tuple[Token, ...], at: int) -> Amount | None:
    """Amounts in words that are no plain number: a couple of, a few, half a dozen, half a, a, an, another."""
    if tokens[at].text == ONE_MORE:
        one = text_at(tokens, at + 1) == "one"
        return None if not one and amount_at(tokens, at + 1) else Amount(1.0, 1.0, at + 1 + one, article=True)
    index = at + 1 if tokens[at].text in ARTICLES else at
    if index > at and text_at(tokens, index) == "good":
        index += 1
    word = text_at(tokens, index)
    if word in VAGUE:
        return _vague(tokens, index, led=index > at)
    if word == "half":
        return _half(tokens, index, led=index > at)
    if index == at:
        return None
    return _gone_on(tokens, MULTIPLES[word], index + 1) if word in MULTIPLES else Amount(1.0, 1.0, at + 1, article=True)


def _vague(tokens: tuple[Token, ...], at: int, *, led: bool) -> Amount | None:
    """Read "a few", "couple of", "couple crickets"; without an article before it it wants a noun after it."""
    word, after = tokens[at].text, at + 1
    of = text_at(tokens, after) == "of"
    counts = word in {"few", "couple"} and after < len(tokens) and tokens[after].kind == "word"
    if not (led or of or counts):
        return None
    low, high = VAGUE[word]
    after += of
    factor = MULTIPLES.get(text_at(tokens, after))
    return Amount(low, high, after) if factor is None else Amount(low * factor, high * factor, after + 1)


def _half(tokens: tuple[Token, ...], at: int, *, led: bool) -> Amount | None:
    """Read "half a", "a half", "half a dozen"; a bare "half" counts nothing."""
    article = text_at(tokens, at + 1) in ARTICLES
    after = at + 1 + article
    factor = MULTIPLES.get(text_at(tokens, after))
    if factor is not None:
        return Amount(factor / 2, factor / 2, after + 1)
    return Amount(0.5, 0.5, after) if led or article else None


def _figures(tokens: tuple[Token, ...], at: int) -> Amount:
    """Figures: 12, 1/2, 2½, 3 dozen, 2k, 4 and a half, 5x."""
    value, index = tokens[at].value or 0.0, at + 1
    part = _parts_of_one(tokens, index) if value == 1 else 0
    if part:
        return Amount(value / part, value / part, index + 2)
    if index < len(tokens) and tokens[index].raw in FRACTIONS:
        value, index = value + (tokens[index].value or 0), index + 1
    following = text_at(tokens, index)
    if following in MULTIPLES:
        value, index = value * MULTIPLES[following], index + 1
    elif following == "k" and tokens[index].glued:
        value, index = value * 1000, index + 1
    value, index = _and_a_half(tokens, value, index)
    index += text_at(tokens, index) == "x"
    return _exactly(value, index)


def _exactly(value: float, last: int) -> Amount:
    return Amount(min(value, LARGEST), min(value, LARGEST), last)


def _parts_of_one(tokens: tuple[Token, ...], at: int) -> float:
    """The lower figure of a written half, third or quarter (the 4 of "1/4"), else 0."""
    slash = text_at(tokens, at) == "/" and tokens[at].glued and at + 1 < len(tokens) and tokens[at + 1].kind == "number"
    bottom = (tokens[at + 1].value or 0) if slash else 0
    return bottom if bottom in {2, 3, 4} else 0


def _and_a_half(tokens: tuple[Token, ...], value: float, at: int) -> tuple[float, int]:
    return (value + 0.5, at + 3) if stands(tokens, at, ("and", "a", "half")) else (value, at)


def _spoken(tokens: tuple[Token, ...], at: int) -> Amount | None:
    """A number in words ("twenty five"), or figures after a times sign ("x3")."""
    text = tokens[at].text
    if text == "x" and at + 1 < len(tokens) and tokens[at + 1].kind == "number":
        return _figures(tokens, at + 1)
    if text in TENS:
        ones = ONES.get(text_at(tokens, at + 1), 0)
        return (
            _gone_on(tokens, float(TENS[text] + ones), at + 2)
            if 0 < ones < 10
            else _gone_on(tokens, float(TENS[text]), at + 1)
        )
    return _gone_on(tokens, float(ONES[text]), at + 1) if text in ONES else None


def _gone_on(tokens: tuple[Token, ...], value: float, index: int) -> Amount:
    """What follows a spoken number: "two hundred and ten", "two dozen", "one and a half", "two point five"."""
    while text_at(tokens, index) in MULTIPLES:
        value, index = value * MULTIPLES[tokens[index].text], index + 1
    if value >= 100:
        value, index = _and_more(tokens, value, index)
    value, index = _and_a_half(tokens, value, index)
    if text_at(tokens, index) == "point" and index + 1 < len(tokens):
        digit = tokens[index + 1]
        tail = ONES.get(digit.text) if digit.kind == "word" else digit.value
        if tail is not None and tail < 10:
            value, index = value + tail / 10, index + 2
    return _exactly(value, index)


def _and_more(tokens: tuple[Token, ...], value: float, index: int) -> tuple[float, int]:
    """The tens and ones after hundreds."""
    jump = index + (text_at(tokens, index) == "and")
    more = _spoken(tokens, jump) if jump < len(tokens) else None
    return (value + more.low, more.last) if more and more.low < 100 else (value, index)
