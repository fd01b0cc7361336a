"""Numbers, ranges, counted things and measures in words.

A range is [low, high] as the parse contract has it; high None is "at least", and a low of 0 with a larger high is "up to".
"""

from __future__ import annotations

from collections.abc import Sequence

Range = Sequence[float | None]

INCH_IN_MM = 25.4  # exact by definition (international inch, 1959)
OUNCE_IN_GRAMS = 28.349523125  # exact by definition (international avoirdupois ounce)

_IRREGULAR = {"mouse": "mice", "louse": "lice", "larva": "larvae", "pupa": "pupae", "nymph": "nymphs"}
_UNCHANGED = ("fish", "shrimp", "young", "krill", "quail", "s")
_HISSING = ("ch", "sh", "x", "z", "ss")


def say_number(value: float) -> str:
    """Say a number with at most two decimals and no needless zeros: 3, 76.2, 0.05."""
    said = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if said == "-0" else said


def say_range(span: Range) -> str:
    """Say a range in words: "3", "2 to 3", "at least 12", "up to 10"."""
    low, high = span
    low = 0 if low is None and high is not None else low
    if low is None:
        return "an unknown number"
    if high is None:
        return f"at least {say_number(low)}"
    if not low and high:
        return f"up to {say_number(high)}"
    return _between((low, high))


def plural(noun: str) -> str:
    """Form the plural of a noun, the last word deciding: roaches, fruit flies, mice, locusts."""
    head, gap, last = noun.rpartition(" ")
    return f"{head}{gap}{_plural_word(last)}"


def say_count(span: Range, noun: str) -> str:
    """Say so many of something: "1 roach", "2 to 3 fruit flies", "at least 12 young"."""
    low, high = span
    decides = high if high is not None else low
    return f"{say_range(span)} {noun if decides == 1 else plural(noun)}"


def join_names(names: Sequence[str]) -> str:
    """Join names in a row: "tub 1, tub 2 and tub 3"; empty for none."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def say_measure(value: Range, measure: str, units: str = "metric") -> str:
    """Say a `legspan` or `body` length kept in mm, or a `weight` kept in g; for imperial units inches or ounces beside it."""
    if measure == "weight":
        return _beside(value, "g", "oz", 1 / OUNCE_IN_GRAMS, 0.0, units)
    return _beside(value, "mm", "in", 1 / INCH_IN_MM, 0.0, units)


def say_temperature(value: Range, units: str = "metric") -> str:
    """Say a temperature kept in °C; for imperial units °F beside it."""
    return _beside(value, "°C", "°F", 1.8, 32.0, units)


def say_humidity(value: Range) -> str:
    """Say a relative humidity in per cent."""
    return f"{_between(value)} % humidity"


def _plural_word(word: str) -> str:
    for single, many in _IRREGULAR.items():
        if word.endswith(single):
            return word[: -len(single)] + many
    if word.endswith(_HISSING):
        return word + "es"
    if word.endswith(_UNCHANGED):
        return word
    if word.endswith("y") and word[-2:-1] not in tuple("aeiou"):
        return word[:-1] + "ies"
    return word + "s"


def _between(span: Range) -> str:
    """Say a range of a measured value, for which a low of 0 is nothing special."""
    low, high = span
    if high is None or low is None:
        return say_range(span)
    return say_number(low) if low == high else f"{say_number(low)} to {say_number(high)}"


def _beside(value: Range, metric: str, imperial: str, factor: float, offset: float, units: str) -> str:
    """Say the metric value, and for imperial units the same in inches, ounces or °F in brackets."""
    said = f"{_between(value)} {metric}"
    if units != "imperial":
        return said
    other = [None if edge is None else edge * factor + offset for edge in value]
    return f"{said} ({_between(other)} {imperial})"


def sentence(text: str) -> str:
    """Make a sentence of a text: a capital first, a full stop last."""
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('.') else '.'}"
