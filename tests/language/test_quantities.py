"""Numbers and ranges as people write them, by the parse contract's conventions."""

from __future__ import annotations

from typing import Any

import pytest

from bot.language.quantities import Quantity, read_quantity
from bot.language.tokens import tokenise
from tests.language.house import fields

Bounds = list[Any]


def quantity(text: str) -> Quantity:
    """The quantity that a text begins with."""
    found = read_quantity(tokenise(text), 0)
    assert found is not None, text
    return found[0]


EXACT = {
    "3 crickets": 3, "three crickets": 3, "twelve": 12, "nineteen": 19, "twenty": 20, "twenty one": 21, "twenty-one": 21, "fourty two": 42,
    "forty two": 42, "ninety-nine": 99, "a dozen": 12, "two dozen": 24, "half a dozen": 6, "half dozen": 6, "a couple of": 2, "a couple crickets": 2,
    "a pair of": 2, "a trio of": 3, "one hundred": 100, "a hundred": 100, "two hundred": 200, "two hundred and ten": 210, "two hundred ten": 210,
    "a thousand": 1000, "1,000": 1000, "1,500 roaches": 1500, "2k": 2000, "0": 0, "zero": 0, "a score": 20, "27,8": 27.8, "27.8": 27.8, "0.5": 0.5,
    "two point five": 2.5, "one and a half": 1.5, "two and a half": 2.5, "1/2": 0.5, "1 1/2": 1, "1½": 1.5, "½": 0.5, "¼": 0.25, "half a": 0.5,
    "3x crickets": 3, "x3": 3, "a cricket": 1, "an ounce": 1,
}  # fmt: skip


@pytest.mark.parametrize("text", EXACT)
def test_a_plain_number(text: str) -> None:
    """Figures, words, dozens and decimals with a point or a comma are one exact number."""
    found = quantity(text)
    assert (found.low, found.high, found.sense) == (EXACT[text], EXACT[text], "exact")


RANGES = {
    "2-3": (2, 3), "2 - 3": (2, 3), "2\u20133": (2, 3), "2 to 3": (2, 3), "two or three": (2, 3), "two to three": (2, 3), "5 or maybe 6": (5, 6),
    "between 5 and 8": (5, 8), "between five and eight": (5, 8), "60-70": (60, 70), "60 to 70 eggs": (60, 70), "a few": (3, 5), "a few dozen": (36, 60),
    "a couple of dozen": (24, 24), "a couple hundred": (200, 200), "24C to 26C": (24, 26), "55% - 60%": (55, 60), "24-26C": (24, 26),
}  # fmt: skip


@pytest.mark.parametrize("text", RANGES)
def test_a_range(text: str) -> None:
    """Two bounds joined by a dash, "to", "or" or "between … and"."""
    found = quantity(text)
    assert (found.low, found.high, found.sense) == (*RANGES[text], "exact")


@pytest.mark.parametrize(
    ("bounds", "texts"),
    [
        ([36, 44], ["about 40", "around 40", "roughly forty", "approx 40", "approximately 40", "~40", "circa 40", "40ish", "40-ish", "40 or so", "40 odd", "forty odd", "40 give or take", "maybe 40", "40 approx"]),
        ([27, 33], ["about 30", "30ish", "thirty or so"]),
        ([4, 6], ["about 5", "5ish"]),
        ([38, 48], ["about 43"]),
        ([12, None], ["at least 12", "at least a dozen", "minimum of 12", "no less than 12", "no fewer than twelve", "12 at least", "12 or more", "12+", "min 12", "12 plus", "upwards of 12"]),
        ([21, None], ["more than 20", "over 20", "over twenty", "above 20", "> 20"]),
        ([0, 10], ["up to 10", "at most 10", "no more than ten", "max 10", "maximum of 10", "not more than 10"]),
        ([0, 9], ["less than 10", "fewer than ten", "under 10", "< 10", "below 10"]),
        ([54, 77], ["about 60-70", "roughly 60 to 70"]),
        ([3, 5], ["a few"]),
        ([2, 2], ["a couple of"]),
        ([3, 3], ["3", "three"]),
    ],
)  # fmt: skip
def test_a_count_in_words(bounds: Bounds, texts: list[str]) -> None:
    """Told as "about" it widens by a tenth each way, rounded outward; "at least" and "more than" leave the top open."""
    for text in texts:
        assert quantity(text).count() == bounds, text


@pytest.mark.parametrize(
    ("bounds", "text", "factor"),
    [
        ([36, 44], "about 4", 10),
        ([40, 40], "4", 10),
        ([35.1, 42.9], "about 3.9", 10),
        ([76.2, 76.2], "3", 25.4),
        ([31.4, 31.4], "31,4", 1),
    ],
)
def test_a_measured_value_is_widened_but_not_rounded(bounds: Bounds, text: str, factor: float) -> None:
    """A measure told as "about" widens by a tenth each way, unrounded."""
    assert quantity(text).measured(factor) == bounds


UNIT_OF = {
    "3cm": "cm", "3 cm": "cm", "3 centimetres": "cm", "12mm": "mm", "4 inches": "in", "4in": "in", '4"': "in", "4.5 inch": "in", "12g": "g",
    "12 grams": "g", "1kg": "kg", "3 oz": "oz", "1 lb": "lb", "24C": "C", "24°C": "C", "24 degrees C": "C", "24 celsius": "C", "78F": "F",
    "78 fahrenheit": "F", "24 degrees": "deg", "24°": "deg", "61%": "%", "61 %": "%", "61 percent": "%", "1 ft": "ft",
    "3 crickets": None, "3 in the tub": None, "4 c": None, "5 g": "g",
}  # fmt: skip


@pytest.mark.parametrize("text", UNIT_OF)
def test_the_unit_that_follows_a_number(text: str) -> None:
    """Metric and imperial units, signs and words; "in" before a place and a lone letter are no units."""
    assert quantity(text).unit == UNIT_OF[text]


@pytest.mark.parametrize(
    "text",
    [
        "cricket",
        "the",
        "some crickets",
        "lots",
        "few",
        "couple",
        "pair",
        "-",
        "B",
        "and a half",
        "to 3",
        "",
        "about cricket",
    ],
)
def test_no_number(text: str) -> None:
    """Words that hold no number give none, "some" and "lots" among them."""
    assert read_quantity(tokenise(text), 0) is None


def test_the_indefinite_article_is_marked() -> None:
    """The one of "a cricket" is known to be only an article; that of "one cricket" is a number."""
    assert quantity("a cricket").article
    assert not quantity("one cricket").article
    assert not quantity("a dozen").article


@pytest.mark.parametrize(
    ("want", "texts"),
    [
        ({"prey": "cricket", "quantity": [3, 3]}, ["fed B 3 crickets", "fed B three crickets", "B got 3 crickets", "gave B 3x crickets", "3 crickets for B"]),
        ({"prey": "cricket", "quantity": [2, 3]}, ["fed B 2-3 crickets", "fed B two or three crickets", "gave B 2 to 3 crickets"]),
        ({"prey": "cricket", "quantity": [2, 2]}, ["fed B a couple of crickets", "fed B a couple crickets", "gave B a pair of crickets"]),
        ({"prey": "cricket", "quantity": [3, 5]}, ["fed B a few crickets"]),
        ({"prey": "cricket", "quantity": [12, 12]}, ["fed B a dozen crickets", "fed B twelve crickets"]),
        ({"prey": "cricket", "quantity": [6, 6]}, ["fed B half a dozen crickets"]),
        ({"prey": "cricket", "quantity": [9, 11]}, ["fed B about 10 crickets", "fed B 10ish crickets", "fed B 10 or so crickets"]),
        ({"prey": "cricket", "quantity": [1, 1]}, ["fed B a cricket", "fed B one cricket"]),
        ({"prey": "cricket"}, ["fed B some crickets", "fed B lots of crickets", "fed B crickets", "fed B plenty of crickets"]),
        ({"prey": "cricket", "quantity": [3, 3], "each": True}, ["fed B 3 crickets each", "fed B 3 crickets apiece", "fed B 3 crickets per head"]),
        ({"prey": "cricket", "quantity": [0, 10]}, ["fed B up to 10 crickets"]),
        ({"prey": "cricket", "quantity": [10, None]}, ["fed B at least 10 crickets", "fed B 10+ crickets"]),
    ],
)  # fmt: skip
def test_how_much_was_fed(want: dict[str, object], texts: list[str]) -> None:
    """The number before the prey is the quantity; vague amounts are left out, "each" is kept where it is said."""
    for text in texts:
        assert fields(text) == want, text
