"""Numbers as people write them: ranges, "about", "at least", "a couple", "half a dozen", with the unit that follows."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.tokens import Token

Tokens = "tuple[Token, ...]"

ONES = {word: value for value, word in enumerate("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split())}  # fmt: skip
TENS = {word: 10 * value for value, word in enumerate("twenty thirty forty fifty sixty seventy eighty ninety".split(), start=2)}
TENS["fourty"] = 40
MULTIPLES = {"hundred": 100.0, "thousand": 1000.0, "dozen": 12.0, "dozens": 12.0, "score": 20.0}
VAGUE = {"couple": (2.0, 2.0), "pair": (2.0, 2.0), "few": (3.0, 5.0), "trio": (3.0, 3.0)}
ABOUT = {("about",), ("around",), ("roughly",), ("approximately",), ("approx",), ("aprox",), ("circa",), ("ca",), ("~",), ("maybe",), ("somewhere", "around"), ("somewhere", "near"), ("nearly",), ("almost",), ("just", "about"), ("close", "to"), ("c", "."), ("roundabout",), ("round", "about"), ("in", "the", "region", "of"), ("probably",), ("give", "or", "take"), ("more", "or", "less"), ("an", "estimated"), ("estimated",), ("bout",), ("approx", "."), ("ca", "."), ("appr", "."), ("abt",), ("just", "under"), ("just", "over"), ("around", "about")}  # fmt: skip
AT_LEAST = {("at", "least"), ("min",), ("minimum",), ("minimum", "of"), ("a", "minimum", "of"), ("no", "less", "than"), ("no", "fewer", "than"), ("not", "less", "than"), (">", "="), ("least",), ("upwards", "of"), ("atleast",)}  # fmt: skip
MORE_THAN = {("more", "than"), ("over",), ("upward", "of"), ("above",), (">",), ("well", "over")}
UP_TO = {("up", "to"), ("at", "most"), ("max",), ("maximum",), ("maximum", "of"), ("a", "maximum", "of"), ("no", "more", "than"), ("not", "more", "than"), ("upto",)}  # fmt: skip
LESS_THAN = {("less", "than"), ("fewer", "than"), ("under",), ("below",), ("<",)}
BEFORE = [(words, name) for name, table in {"about": ABOUT, "at least": AT_LEAST, "more than": MORE_THAN, "up to": UP_TO, "less than": LESS_THAN}.items() for words in table]  # fmt: skip
BEFORE.sort(key=lambda pair: -len(pair[0]))
AFTER = {("ish",): "about", ("or", "so"): "about", ("give", "or", "take"): "about", ("odd",): "about", ("approx",): "about", ("roughly",): "about", ("or", "thereabouts"): "about", ("plus",): "at least", ("+",): "at least", ("or", "more"): "at least", ("at", "least"): "at least", ("minimum",): "at least", ("max",): "up to", ("or", "less"): "up to", ("or", "fewer"): "up to", ("at", "most"): "up to", ("tops",): "up to", ("or", "thereabout"): "about", ("ish", "or", "so"): "about", ("and", "counting"): "at least"}  # fmt: skip
TO = {("-",), ("to",), ("or",), ("or", "maybe"), ("maybe",), ("or", "perhaps"), ("till",), ("or", "even")}

UNITS = {
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm", "mil": "mm", "mils": "mm",
    "cm": "cm", "cms": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "inch": "in", "inches": "in", "in": "in", '"': "in", "ins": "in", "inchs": "in", "''": "in", "incher": "in",
    "g": "g", "gram": "g", "grams": "g", "gramme": "g", "grammes": "g", "gr": "g", "gm": "g", "gms": "g", "grm": "g",
    "kg": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg", "mg": "mg", "oz": "oz", "ounce": "oz", "ounces": "oz", "ft": "ft",
    "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb",
    "c": "C", "celsius": "C", "centigrade": "C", "celcius": "C", "f": "F", "fahrenheit": "F", "farenheit": "F", "fahrenheight": "F",
    "degrees": "deg", "degree": "deg", "deg": "deg", "degs": "deg", "°": "deg", "º": "deg",
    "%": "%", "percent": "%", "pct": "%", "per cent": "%", "percentage": "%", "%rh": "%", "rh": "%",
}  # fmt: skip
MM_IN = {"mm": 1.0, "cm": 10.0, "in": 25.4, "ft": 304.8}
G_IN = {"g": 1.0, "kg": 1000.0, "mg": 0.001, "oz": 28.349523125, "lb": 453.59237}


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number or a range as written. `sense` is exact, about, at least, more than, up to or less than."""

    low: float
    high: float
    sense: str = "exact"
    unit: str | None = None
    article: bool = False  # it was only "a" or "an"

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


def _starts(tokens: tuple[Token, ...], at: int, words: tuple[str, ...]) -> bool:
    return at + len(words) <= len(tokens) and all(tokens[at + i].text == word for i, word in enumerate(words))


def read_quantity(tokens: tuple[Token, ...], at: int) -> tuple[Quantity, int] | None:
    """The quantity that starts at a token, and the token after it; None where there is none."""
    sense, index = "exact", at
    for words, name in BEFORE:
        if _starts(tokens, at, words):
            sense, index = name, at + len(words)
            break
    if _starts(tokens, index, ("between",)):
        index += 1
    first = _amount(tokens, index)
    if first is None or (sense != "exact" and first[3]):
        return None
    low, high, index, article = first
    low, high, index = _range(tokens, low, high, index)
    for words, name in AFTER.items():
        if _starts(tokens, index, words) and not (words == ("+",) and _number_follows(tokens, index + 1)):
            sense, index = name, index + len(words)
            break
    if sense == "exact" and article and low != 1:
        article = False
    unit, index = _unit(tokens, index)
    quantity = Quantity(low, high, sense, unit, article)
    return _second_bound(tokens, quantity, index) if unit else (quantity, index)


def _second_bound(tokens: tuple[Token, ...], quantity: Quantity, index: int) -> tuple[Quantity, int]:
    """A range with its unit written twice: "24C to 26C", "55% - 60%"."""
    for words in TO:
        if words[0] in {"or", "maybe"} or not _starts(tokens, index, words):
            continue
        second = _amount(tokens, index + len(words))
        if second and second[0] > quantity.high:
            unit, after = _unit(tokens, second[2])
            if unit == quantity.unit:
                return replace(quantity, high=second[1]), after
    return quantity, index


def _number_follows(tokens: tuple[Token, ...], at: int) -> bool:
    return at < len(tokens) and (tokens[at].kind == "number" or len(tokens[at].text) == 1)


def _range(tokens: tuple[Token, ...], low: float, high: float, index: int) -> tuple[float, float, int]:
    for words in (*TO, ("and",)):
        if not _starts(tokens, index, words):
            continue
        if words == ("and",) and not _starts(tokens, index - 2, ("between",)):
            continue
        second = _amount(tokens, index + len(words))
        if second is None or second[3] or second[0] <= low:
            continue
        return low, second[1], second[2]
    return low, high, index


def _amount(tokens: tuple[Token, ...], at: int) -> tuple[float, float, int, bool] | None:
    """Low, high, the token after, and whether it was only an article."""
    if at >= len(tokens):
        return None
    text = tokens[at].text
    if text in {"a", "an", "one"} or text in VAGUE or text == "half":
        loose = _loose(tokens, at)
        if loose:
            return loose
    if tokens[at].kind == "number":
        return _figures(tokens, at)
    return _spoken(tokens, at)


def _loose(tokens: tuple[Token, ...], at: int) -> tuple[float, float, int, bool] | None:
    """Amounts in words that are no plain number: a couple of, a few, half a dozen, half a, a, an."""
    index = at + 1 if tokens[at].text in {"a", "an"} else at
    if _starts(tokens, index, ("good",)) and index > at:
        index += 1
    word = tokens[index].text if index < len(tokens) else ""
    if word in VAGUE:
        bare = tokens[at].text == word
        if bare and not _starts(tokens, index + 1, ("of",)) and not (word in {"few", "couple"} and index + 1 < len(tokens) and tokens[index + 1].kind == "word"):
            return None
        index += 1
        index += _starts(tokens, index, ("of",))
        if index < len(tokens) and tokens[index].text in MULTIPLES:
            low, high = (bound * MULTIPLES[tokens[index].text] for bound in VAGUE[word])
            return low, high, index + 1, False
        return *VAGUE[word], index, False
    if word == "half":
        index += 1
        index += index < len(tokens) and tokens[index].text in {"a", "an"}
        if index < len(tokens) and tokens[index].text in MULTIPLES:
            return MULTIPLES[tokens[index].text] / 2, MULTIPLES[tokens[index].text] / 2, index + 1, False
        return (0.5, 0.5, index, False) if index > at + 1 else None
    if word in MULTIPLES and index > at:
        return _spoken_from(tokens, MULTIPLES[word], index + 1)
    if index > at:
        return 1.0, 1.0, at + 1, True
    return None


def _figures(tokens: tuple[Token, ...], at: int) -> tuple[float, float, int, bool]:
    value = tokens[at].value or 0.0
    index = at + 1
    if _starts(tokens, index, ("/",)) and index + 1 < len(tokens) and tokens[index + 1].kind == "number" and tokens[index].glued and value == 1:
        bottom = tokens[index + 1].value or 0
        if bottom in {2, 3, 4}:
            return value / bottom, value / bottom, index + 2, False
    if index < len(tokens) and tokens[index].kind == "number" and tokens[index].raw in "½¼¾":
        value, index = value + (tokens[index].value or 0), index + 1
    if index < len(tokens) and tokens[index].text in MULTIPLES:
        value, index = value * MULTIPLES[tokens[index].text], index + 1
    elif _starts(tokens, index, ("k",)) and tokens[index].glued:
        value, index = value * 1000, index + 1
    if _starts(tokens, index, ("and", "a", "half")):
        value, index = value + 0.5, index + 3
    if _starts(tokens, index, ("x",)):
        index += 1
    return value, value, index, False


def _spoken(tokens: tuple[Token, ...], at: int) -> tuple[float, float, int, bool] | None:
    text = tokens[at].text
    if text == "x" and at + 1 < len(tokens) and tokens[at + 1].kind == "number":
        return _figures(tokens, at + 1)
    if text in TENS:
        value, index = float(TENS[text]), at + 1
        if index < len(tokens) and 0 < ONES.get(tokens[index].text, 0) < 10:
            value, index = value + ONES[tokens[index].text], index + 1
        return _spoken_from(tokens, value, index)
    if text in ONES:
        return _spoken_from(tokens, float(ONES[text]), at + 1)
    return None


def _spoken_from(tokens: tuple[Token, ...], value: float, index: int) -> tuple[float, float, int, bool]:
    """Go on after a spoken number: "two hundred and ten", "two dozen", "one and a half", "two point five"."""
    while index < len(tokens) and tokens[index].text in MULTIPLES:
        value, index = value * MULTIPLES[tokens[index].text], index + 1
    if value >= 100:
        jump = index + _starts(tokens, index, ("and",))
        more = _spoken(tokens, jump) if jump < len(tokens) else None
        if more and more[0] < 100:
            value, index = value + more[0], more[2]
    if _starts(tokens, index, ("and", "a", "half")):
        value, index = value + 0.5, index + 3
    if _starts(tokens, index, ("point",)) and index + 1 < len(tokens):
        tail = ONES.get(tokens[index + 1].text) if tokens[index + 1].kind == "word" else tokens[index + 1].value
        if tail is not None and tail < 10:
            value, index = value + tail / 10, index + 2
    return value, value, index, False


def _unit(tokens: tuple[Token, ...], index: int) -> tuple[str | None, int]:
    if index >= len(tokens):
        return None, index
    text = tokens[index].text
    unit = UNITS.get(text)
    if text == "in" and not _inches(tokens, index):
        return None, index
    if text in {"c", "f", "g"} and not tokens[index].glued and tokens[index].raw.islower() and text != "g":
        return None, index
    if unit == "deg":
        after = index + 1
        if after < len(tokens) and UNITS.get(tokens[after].text) in {"C", "F"}:
            return UNITS[tokens[after].text], after + 1
        return "deg", after
    if unit == "in" and text == "'" and _starts(tokens, index + 1, ("'",)):
        return unit, index + 2
    return unit, index + 1 if unit else index


def _inches(tokens: tuple[Token, ...], index: int) -> bool:
    """ "in" is inches when it touches the number, or when no place can follow it."""
    after = tokens[index + 1] if index + 1 < len(tokens) else None
    before = tokens[index - 1]
    if tokens[index].glued:
        return True
    return before.kind == "number" and "." in before.raw and (after is None or after.kind == "mark")
