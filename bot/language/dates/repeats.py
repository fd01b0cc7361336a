"""Rules for repeats: "every other day", "weekly", "twice a week", "mondays", "every 2-3 days", "each morning"."""

from __future__ import annotations

from bot.language.dates.amounts import amount, unit_at
from bot.language.dates.model import Piece, Recurrence
from bot.language.dates.scan import DASHES, Scan
from bot.language.dates.written import ordinal

LENGTHS = {"hour": 1 / 24, "day": 1, "night": 1, "week": 7, "fortnight": 14, "month": 30, "year": 365}
ADVERBS = {
    "daily": (1, "day"),
    "everyday": (1, "day"),
    "nightly": (1, "day"),
    "hourly": (1, "hour"),
    "weekly": (1, "week"),
    "fortnightly": (2, "week"),
    "biweekly": (2, "week"),
    "bimonthly": (2, "month"),
    "quarterly": (3, "month"),
    "monthly": (1, "month"),
    "yearly": (1, "year"),
    "annually": (1, "year"),
}
TIMES = {"once": 1, "twice": 2, "thrice": 3}
PLURAL_PARTS = {"mornings": "morning", "afternoons": "afternoon", "evenings": "evening", "nights": "night"}


def repeat(scan: Scan, at: int) -> Piece | None:
    """A repeat that begins here."""
    word = scan.word(at)
    if word in {"every", "each"} or (word == "once" and scan.word(at + 1) in {"every", "each"}):
        return _every(scan, at, at + 2 if word == "once" else at + 1)
    return _adverb(scan, at) or _times(scan, at) or _plural(scan, at)


def _adverb(scan: Scan, at: int) -> Piece | None:
    """Read "weekly", "once daily", "bi-weekly", "alternate days", "weekdays"."""
    step = scan.skip(at, "once")
    word, last = scan.word(step), step + 1
    if word == "bi" and scan.word(step + 1) == "-":
        word, last = "bi" + scan.word(step + 2), step + 3
    if word in ADVERBS:
        return _made(at, last, *ADVERBS[word], part="night" if word == "nightly" else None)
    if word == "alternate" and unit_at(scan, last) in {"day", "week", "night"}:
        return _unit_or_day(scan, at, last, 2)
    return _unit_or_day(scan, at, step, 1) if word == "weekdays" else None


def _made(first: int, last: int, n: float, unit: str, *, weekday: int | None = None, part: str | None = None) -> Piece:
    """The piece of "every n units"; nights are days, fortnights two weeks."""
    every = n * LENGTHS[unit]
    if unit == "fortnight":
        n, unit = n * 2, "week"
    count = int(n) if n == int(n) else n
    return Piece(
        "repeat",
        first,
        last,
        recur=Recurrence(count, "day" if unit == "night" else unit, weekday, None, part, _tidy(every)),
    )


def _tidy(days: float) -> float:
    return int(days) if days == int(days) else days


def _every(scan: Scan, at: int, step: int) -> Piece | None:
    """After "every": a unit, "other", an ordinal, a number of units, a weekday, a part of the day, "weekend"."""
    step = scan.skip(step, "single")
    word = scan.word(step)
    if word in {"other", "second", "alternate"} or (scan.number(step) == 2 and scan.word(step + 1) == "nd"):
        after = step + (2 if scan.number(step) else 1)
        return _unit_or_day(scan, at, after, 2)
    nth = ordinal(scan, step)
    if nth and scan.word(nth[1]) in {"of", "in"} and scan.word(nth[1] + 2) == "month":
        return _made(at, nth[1] + 3, 1, "month")
    if nth and 1 < nth[0] < 32 and unit_at(scan, nth[1]) not in {None, "minute"}:
        return _unit_or_day(scan, at, nth[1], nth[0])
    counted = amount(scan, step)
    if counted and not counted.bare and unit_at(scan, counted.last) in LENGTHS:
        mean = (counted.low + counted.high) / 2 if not counted.guess else 3
        return _made(at, counted.last + 1, mean, unit_at(scan, counted.last) or "day") if 0 < mean < 5000 else None
    if counted and counted.guess and unit_at(scan, counted.last) in LENGTHS:
        return _made(at, counted.last + 1, 3, unit_at(scan, counted.last) or "day")
    return _unit_or_day(scan, at, step, 1) or _in_days_too(scan, at, step)


def _in_days_too(scan: Scan, at: int, step: int) -> Piece | None:
    """Read the "every six" of "every 4 days and the others every six": the unit is that of the repeat before."""
    counted = amount(scan, step)
    if counted is None or counted.bare or counted.guess or not scan.ends(counted.last):
        return None
    earlier = [back for back in range(at) if scan.word(back) == "every" and unit_at(scan, back + 2) in LENGTHS]
    unit = unit_at(scan, earlier[-1] + 2) if earlier else None
    return _made(at, counted.last, counted.low, unit) if unit is not None and counted.low > 0 else None


def _unit_or_day(scan: Scan, at: int, step: int, n: int) -> Piece | None:
    word = scan.word(step)
    unit = unit_at(scan, step)
    if unit is not None and unit in LENGTHS and word != "nights":
        return _made(at, step + 1, n, unit, part="night" if unit == "night" else None)
    if word in {"weekend", "weekends"}:
        return _made(at, step + 1, n, "week", weekday=5)
    if word in {"weekday", "weekdays"}:
        return Piece("repeat", at, step + 1, recur=Recurrence(1, "day", every_days=1.4))
    part = scan.tables.parts.get(word)
    if part and not word.endswith("s"):
        return _made(at, step + 1, n, "day", part=part)
    named = scan.tables.weekdays.get(word.removesuffix("s") if word.endswith("days") else word)
    if named is None or _apiece(scan, at, step):
        return None
    return _made(at, step + 1, n, "week", weekday=named)


def _apiece(scan: Scan, at: int, step: int) -> bool:
    """Whether "one roach each tuesday" told as done means apiece, on Tuesday, and no repeat."""
    return (
        scan.word(at) == "each"
        and scan.frame.past
        and scan.word(step) in scan.tables.weekdays
        and at > 0
        and not scan.ends(at)
    )


def _times(scan: Scan, at: int) -> Piece | None:
    """Read "twice a week", "3 times a day", "2x weekly", "once every two weeks", "three times per week", "3x/week"."""
    counted = amount(scan, at)
    times: float | None = TIMES.get(scan.word(at))
    step = at + 1
    if times is None:
        if counted is None or counted.bare or scan.word(counted.last) not in {"times", "x", "time"}:
            return None
        times, step = (counted.low + counted.high) / 2, counted.last + 1
    if scan.word(step) in ADVERBS:
        count, name = ADVERBS[scan.word(step)]
        return _shared(at, step + 1, times, count, name)
    if scan.word(step) not in {"every", "a", "per", "each", "an", "/"} and not scan.phrase(step, "in", "a"):
        return None
    step = scan.skip(step + 1, "a")
    number = amount(scan, step)
    n, step = (number.low, number.last) if number and unit_at(scan, number.last) else (1.0, step)
    unit = unit_at(scan, step)
    return _shared(at, step + 1, times, n, unit) if unit is not None and unit in LENGTHS and times and n else None


def _shared(first: int, last: int, times: float, n: float, unit: str) -> Piece:
    """The piece of so many times in n units."""
    return _made(first, last, n / times, unit)


def _plural(scan: Scan, at: int) -> Piece | None:
    """Read "mondays", "friday mornings", "weekends", "mornings"."""
    word = scan.word(at)
    named = scan.tables.weekdays.get(word[:-1]) if word.endswith("days") else scan.tables.weekdays.get(word)
    part = PLURAL_PARTS.get(scan.word(at + 1))
    if named is not None and (word.endswith("days") or part):
        last = at + 2 if part else at + 1
        return _made(at, last, 1, "week", weekday=named, part=part)
    if word == "weekends":
        return _made(at, at + 1, 1, "week", weekday=5)
    if (
        word in PLURAL_PARTS
        and scan.number(at - 1) is None
        and scan.word(at - 1) not in scan.tables.numbers | {"few": 3, "of": 0, "couple": 2}
    ):
        return _made(at, at + 1, 1, "day", part=PLURAL_PARTS[word])
    return None


def listed_days(scan: Scan, at: int) -> Piece | None:
    """Read "every monday and thursday", "mondays and thursdays", "every mon/wed/fri": so many times a week."""
    every = scan.word(at) in {"every", "each"}
    step, named = at + 1 if every else at, []
    while True:
        word = scan.word(step)
        plain = scan.tables.weekdays.get(word)
        plural = scan.tables.weekdays.get(word[:-1]) if word.endswith("days") else None
        if plural is None and (plain is None or not every):
            break
        named.append(plain if plural is None else plural)
        last = step + 1
        step = scan.skip(last, ",", "and", "&", "/", "+", "on", *DASHES)
        if step == last:
            break
    if len(set(named)) < 2 or (every and _apiece(scan, at, at + 1)):
        return None
    return Piece("repeat", at, last, recur=Recurrence(1, "week", weekday=named[0], every_days=7 / len(set(named))))
