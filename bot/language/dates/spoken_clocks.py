"""Clock times told from the hour: "half eight", "quarter to nine", "ten past six", "20 minutes to 2pm"."""

from __future__ import annotations

from bot.language.dates.amounts import whole
from bot.language.dates.clock_signs import ABOUT, AT, NAMED, day_word, meridian, struck
from bot.language.dates.model import Clock, Piece
from bot.language.dates.scan import Scan

MINUTES = frozenset({"minute", "minutes", "min", "mins"})


def spoken(scan: Scan, at: int) -> Piece | None:
    """Read "half eight", "half past 8", "quarter to nine", "ten past six", "20 minutes to 2pm", "15 minutes from 1pm"."""
    start = at + 1 if scan.word(at) == "a" and scan.word(at + 1) == "quarter" else at
    minutes, last = _minutes(scan, start)
    if minutes is None:
        return None
    sign = {"past": 1, "after": 1, "from": 1, "to": -1, "before": -1, "til": -1, "till": -1}.get(scan.word(last))
    if sign is None:
        return _british_half(scan, at) if scan.word(at) == "half" else None
    if not _tells_minutes(scan, start, last, sign):
        return None
    hour = _hour(scan, last + 1)
    if hour is None:
        return None
    total = hour.clock.hour * 60 + sign * minutes if hour.clock else 0
    half_day = bool(hour.clock and hour.clock.half_day)
    hours, rest = divmod(total % (720 if half_day else 1440), 60)
    return Piece("clock", at, hour.last, clock=Clock(hours or 12 if half_day else hours, rest, half_day))


def _minutes(scan: Scan, at: int) -> tuple[int | None, int]:
    if scan.word(at) in {"quarter", "half"}:
        return (15 if scan.word(at) == "quarter" else 30), at + 1
    found = whole(scan, at)
    if found is None or not 0 < found[0] < 60:
        return None, at
    return found[0], scan.skip(found[1], *MINUTES)


def _tells_minutes(scan: Scan, at: int, last: int, sign: int) -> bool:
    """Whether "ten to six" tells a clock and not "5 to 10 roaches": "past", a named quarter, minutes, or an "at" before."""
    if scan.word(at) in {"quarter", "half"}:
        return scan.word(last) != "from"
    if scan.word(last - 1) in MINUTES:
        return True
    if scan.word(last) in {"from", "after", "before", "till", "til"}:
        return False
    found = whole(scan, at)
    if not found or found[0] not in {5, 10, 20, 25}:
        return False
    return (
        sign > 0
        or scan.word(at - 1) in AT | ABOUT
        or (scan.word(at - 1) == "" and scan.ends((whole(scan, last + 1) or (0, 0))[1]))
    )


def _british_half(scan: Scan, at: int) -> Piece | None:
    """Read "half eight" is half past eight."""
    found = whole(scan, at + 1)
    if found is None or not 1 <= found[0] <= 12 or (scan.number(at + 1) and scan.word(found[1]) in {"/", "."}):
        return None
    if not (
        scan.ends(found[1])
        or scan.listed(found[1], "follow")
        or scan.word(at - 1) in AT | ABOUT
        or day_word(scan, found[1])
    ):
        return None
    return _with_half(scan, Piece("clock", at, found[1], clock=Clock(found[0], 30, half_day=True)))


def _hour(scan: Scan, at: int) -> Piece | None:
    """The hour after "past" or "to": "nine", "3pm", "noon"."""
    if scan.word(at) in NAMED:
        return Piece("clock", at, at + 1, clock=NAMED[scan.word(at)])
    found = whole(scan, at)
    if found is None or not 1 <= found[0] <= 23:
        return None
    return _with_half(scan, Piece("clock", at, found[1], clock=Clock(found[0], 0, half_day=found[0] <= 12)))


def _with_half(scan: Scan, piece: Piece) -> Piece:
    """The piece with the "am", "p.m." or "o'clock" after it taken in."""
    last = struck(scan, piece.last)
    half, after = meridian(scan, last)
    told = piece.clock
    if half is None or told is None or told.hour > 12:
        return Piece("clock", piece.first, last, clock=told)
    return Piece("clock", piece.first, after, clock=Clock(told.hour % 12 + half, told.minute))
