"""What shows that a number is a clock time: "at" before it, "am", "p.m." or "o'clock" behind it, a word of days near by."""

from __future__ import annotations

from bot.language.dates.model import Clock
from bot.language.dates.scan import Scan

NAMED = {"noon": Clock(12), "midday": Clock(12), "noontime": Clock(12), "midnight": Clock(0)}
AT = frozenset({"at", "@"})
ABOUT = frozenset({"around", "about", "by", "from", "~", "before", "after", "approx", "roughly", "circa"})


def meridian(scan: Scan, at: int, *, short: bool = False) -> tuple[int | None, int]:
    """The hours that "am" (0) or "pm" (12) add, and the position after it; "3:20p" only where `short`."""
    halves = {"a": 0, "am": 0, "p": 12, "pm": 12}
    word = scan.word(at)
    if word in {"am", "pm"}:
        return halves[word], at + 1
    if word in {"a", "p"}:
        step = scan.skip(at + 1, ".")
        if step - at <= 2 and scan.word(step) == "m" and (scan.glued(step) or scan.ends(step + 1)):
            return halves[word], step + 2 if scan.word(step + 1) == "." and scan.word(at + 1) == "." else step + 1
        if short and scan.glued(at):
            return halves[word], at + 1
    return None, at


def struck(scan: Scan, at: int) -> int:
    """The position after "o'clock" or "o clock"."""
    return at + 2 if scan.phrase(at, "o", "clock") else scan.skip(at, "oclock")


def day_word(scan: Scan, at: int) -> bool:
    """Whether a word of days or of parts of the day comes next."""
    if scan.word(at) in {"in", "on", "this", ","}:
        at = scan.skip(at, ",", "in", "on", "the", "this", "last")
    word = scan.word(at)
    tables = scan.tables
    if word in {"tonight", "lastnight"} or word in tables.days or word in tables.parts or word in tables.months:
        return True
    return word in tables.weekdays or (word == "last" and scan.word(at + 1) in tables.parts)
