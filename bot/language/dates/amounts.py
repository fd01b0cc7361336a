"""Numbers and lengths of time in words and figures: "three", "2 1/2", "a couple of", "1 month, 21 days"."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bot.language.dates.scan import DASHES, Scan

FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75}


@dataclass(frozen=True, slots=True)
class Amount:
    """A number over tokens up to `last`; `high` differs from `low` for "2 or 3", `guess` is set for "a few"."""

    low: float
    high: float
    last: int
    guess: bool = False
    bare: bool = False


@dataclass(frozen=True, slots=True)
class Stretch:
    """A length of time in months, days and minutes; `days_high` the longest it may be; `parts` how many units it names."""

    last: int
    months: int = 0
    days: float = 0.0
    days_high: float = 0.0
    minutes: float = 0.0
    guess: bool = False
    parts: int = 1
    unit: str = "day"


def whole(scan: Scan, at: int) -> tuple[int, int] | None:
    """A whole number in figures or words ("21", "twenty one", "two thousand and eighteen") and the position after it."""
    figure = scan.number(at)
    if figure is not None:
        return figure, at + 1
    return _worded(scan, at)


def _worded(scan: Scan, at: int) -> tuple[int, int] | None:
    """A number in words up to the thousands: "twenty-one", "three hundred", "two thousand and eighteen"."""
    found = _below_hundred(scan, at)
    for name, scale in (("hundred", 100), ("thousand", 1000)):
        if found and scan.word(found[1]) == name:
            rest = _below_hundred(scan, scan.skip(found[1] + 1, "and"))
            value = found[0] * scale
            found = (value + rest[0], rest[1]) if rest else (value, found[1] + 1)
    return found


def _below_hundred(scan: Scan, at: int) -> tuple[int, int] | None:
    numbers = scan.tables.numbers
    value = numbers.get(scan.word(at))
    if value is None:
        return None
    if value < 20:
        return value, at + 1
    step = at + 2 if scan.word(at + 1) in DASHES and scan.glued(at + 1) else at + 1
    ones = numbers.get(scan.word(step), 0)
    return (value + ones, step + 1) if 0 < ones < 10 else (value, at + 1)


def amount(scan: Scan, at: int) -> Amount | None:
    """A number or a span of numbers before a unit: "2", "2-3", "two and a half", "a couple of", "a few", "an"."""
    first = _single(scan, at)
    if first is None:
        return None
    if scan.word(first.last) in {"or", "to", *DASHES}:
        second = _single(scan, first.last + 1)
        if second and not second.bare and second.low > first.low:
            return replace(second, low=first.low)
    return first


def _single(scan: Scan, at: int) -> Amount | None:
    word = scan.word(at)
    if word in {"a", "an"}:
        return _after_article(scan, at)
    if word in {"couple", "few", "several", "half"}:
        return _loose(scan, at)
    if scan.phrase(at, "quarter", "of", "an") or scan.phrase(at, "three", "quarters", "of", "an"):
        share = 0.25 if word == "quarter" else 0.75
        return Amount(share, share, at + (3 if word == "quarter" else 4))
    if word in FRACTIONS:
        return Amount(FRACTIONS[word], FRACTIONS[word], at + 1)
    return _figure(scan, at)


def _after_article(scan: Scan, at: int) -> Amount:
    """After "a": "a couple of", "a few", "a dozen", "a half", else one."""
    if scan.word(at + 1) in {"couple", "few", "good"}:
        return _loose(scan, at + 1) or Amount(1, 1, at + 1, bare=True)
    if scan.word(at + 1) == "dozen":
        return Amount(12, 12, at + 2)
    if scan.word(at + 1) in {"half", "quarter"}:
        share = 0.5 if scan.word(at + 1) == "half" else 0.25
        return Amount(share, share, scan.skip(at + 2, "of", "an"))
    return Amount(1, 1, at + 1, bare=True)


def _loose(scan: Scan, at: int) -> Amount | None:
    word = scan.word(at)
    if word == "couple":
        return Amount(2, 2, scan.skip(at + 1, "of"))
    if word == "half":
        return Amount(0.5, 0.5, scan.skip(at + 1, "a", "an", "of"))
    if word in {"few", "several"}:
        return Amount(3, 5, at + 1, guess=True)
    return None


def _figure(scan: Scan, at: int) -> Amount | None:
    """A figure or number word, with a decimal, a fraction or "and a half" after it."""
    found = whole(scan, at)
    if found is None:
        return None
    value, last = float(found[0]), found[1]
    if (
        scan.word(last) in {".", ","}
        and scan.glued(last)
        and scan.glued(last + 1)
        and scan.number(last + 1) is not None
    ):
        value += float(f"0.{scan.word(last + 1)}")
        last += 2
    elif scan.word(last) == "/" and scan.glued(last) and scan.number(last + 1):
        value, last = value / (scan.number(last + 1) or 1), last + 2
    value, last = _and_a_half(scan, value, last)
    return Amount(value, value, last)


def _and_a_half(scan: Scan, value: float, last: int) -> tuple[float, int]:
    if scan.word(last) == "and" and scan.word(scan.skip(last + 1, "a", "an", "one")) == "half":
        return value + 0.5, scan.skip(last + 1, "a", "an", "one") + 1
    if scan.word(last) in FRACTIONS:
        return value + FRACTIONS[scan.word(last)], last + 1
    if scan.number(last) == 1 and scan.word(last + 1) == "/" and scan.number(last + 2) == 2:
        return value + 0.5, last + 3
    return value, last


def stretch(scan: Scan, at: int, *, bare_unit: bool = False) -> Stretch | None:
    """A length of time: "3d", "two and a half weeks", "1 month, 21 days", "an hour and a half", "a day or two".

    With `bare_unit` a unit without a number counts as one ("week ago").
    """
    total = _one_stretch(scan, at, bare_unit=bare_unit)
    while total:
        step = scan.skip(total.last, "and", ",")
        more = (
            _one_stretch(scan, step, bare_unit=False)
            if scan.number(step) or scan.word(step) in scan.tables.numbers
            else None
        )
        if more is None or more.unit == total.unit or total.parts >= 6:
            return total
        total = _sum(total, more)
    return None


def _sum(one: Stretch, other: Stretch) -> Stretch:
    return Stretch(
        last=other.last,
        months=one.months + other.months,
        days=one.days + other.days,
        days_high=one.days_high + other.days_high,
        minutes=one.minutes + other.minutes,
        guess=one.guess or other.guess,
        parts=one.parts + 1,
        unit=other.unit,
    )


def _one_stretch(scan: Scan, at: int, *, bare_unit: bool) -> Stretch | None:
    counted = amount(scan, at)
    if counted is None:
        if not bare_unit or scan.word(at) not in {"week", "wk", "month", "fortnight", "hour", "hr"}:
            return None
        counted = Amount(1, 1, at)
    step = scan.skip(counted.last, "full", "whole", "or", "so") if scan.word(counted.last) != "or" else counted.last
    unit = unit_at(scan, step)
    if unit is None:
        return None
    low, high, last = counted.low, counted.high, step + 1
    if scan.word(last) == "or" and scan.word(last + 1) in {"two", "so", "three"}:
        high, last = (high if scan.word(last + 1) == "so" else scan.tables.numbers[scan.word(last + 1)]), last + 2
    elif scan.word(last) == "and" and scan.word(last + 2) == "half" and scan.word(last + 1) in {"a", "an"}:
        low, high, last = low + 0.5, high + 0.5, last + 3
    last = last + 3 if scan.phrase(last, "and", "a", "bit") else last
    return _measured(unit, low, high, counted.guess, last)


def unit_at(scan: Scan, at: int) -> str | None:
    """The unit of time at a position; single letters count only where they touch a figure."""
    word = scan.word(at)
    if word in scan.tables.units:
        return scan.tables.units[word]
    if scan.glued(at) and scan.digits(at - 1):
        return scan.tables.short_units.get(word)
    return None


def _measured(unit: str, low: float, high: float, guess: bool, last: int) -> Stretch | None:  # noqa: FBT001 - handed on as it came
    if max(low, high) > 5000:
        return None
    if unit in {"month", "year"}:
        months = low * (12 if unit == "year" else 1)
        spare = round((months - int(months)) * 30)
        high_days = spare + (high - low) * 30 * (12 if unit == "year" else 1)
        return Stretch(last, months=int(months), days=spare, days_high=high_days, guess=guess, unit=unit)
    if unit in {"minute", "hour"}:
        return Stretch(last, minutes=(3 if guess else low) * (60 if unit == "hour" else 1), guess=guess, unit=unit)
    if unit == "day" and low == high and low < 1:
        return Stretch(last, minutes=low * 1440, unit="hour")
    length = {"week": 7, "fortnight": 14}.get(unit, 1)
    return Stretch(last, days=low * length, days_high=high * length, guess=guess, unit=unit)
