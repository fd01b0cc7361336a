"""Rules for clock times: "9pm", "21:30", "half eight", "ten to six", "at 9", "noon".

Each rule takes the scan and a position and answers the piece that begins there, or None.
"""

from __future__ import annotations

from dataclasses import replace

from bot.language.dates.amounts import whole
from bot.language.dates.model import Clock, Piece
from bot.language.dates.scan import DASHES, Scan

NAMED = {"noon": Clock(12), "midday": Clock(12), "noontime": Clock(12), "midnight": Clock(0)}
AT = frozenset({"at", "@"})
ABOUT = frozenset({"around", "about", "by", "from", "~", "before", "after", "approx", "roughly", "circa"})
MINUTES = frozenset({"minute", "minutes", "min", "mins"})


def clock(scan: Scan, at: int) -> Piece | None:
    """A clock time that begins here."""
    if scan.word(at) in NAMED:
        return Piece("clock", at, at + 1, clock=NAMED[scan.word(at)])
    return _spoken(scan, at) or _written(scan, at)


def _spoken(scan: Scan, at: int) -> Piece | None:
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
        or _day_word(scan, found[1])
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
    last = _struck(scan, piece.last)
    half, after = _meridian(scan, last)
    told = piece.clock
    if half is None or told is None or told.hour > 12:
        return Piece("clock", piece.first, last, clock=told)
    return Piece("clock", piece.first, after, clock=Clock(told.hour % 12 + half, told.minute))


def _meridian(scan: Scan, at: int, *, short: bool = False) -> tuple[int | None, int]:
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


def _written(scan: Scan, at: int) -> Piece | None:
    """Read "9pm", "9.30pm", "21:30", "0730am", "21h30", "at 1030", "9 o'clock", "9ish", "at 9"."""
    found = whole(scan, at)
    if found is None or (scan.number(at) is not None and (scan.digits(at) > 4 or _part_of_number(scan, at))):
        return None
    return _with_minutes(scan, at) or _hour_mark(scan, at, *found) or _bare(scan, at, *found)


def _hour_mark(scan: Scan, at: int, value: int, last: int) -> Piece | None:
    """Read "at 16 h"; without "at" an h is a length of hours."""
    if scan.word(last) != "h" or scan.word(at - 1) not in AT or value > 23:
        return None
    return Piece("clock", at, last + 1, clock=Clock(value, figures=True))


def _part_of_number(scan: Scan, at: int) -> bool:
    """Whether a figure goes on a decimal, a fraction or another time: the 5 of "1.5"."""
    return (
        scan.word(at - 1) in {".", ",", ":", "/", *DASHES, "#", "$", "£", "€"}
        and scan.glued(at)
        and (scan.glued(at - 1) or scan.word(at - 1) in "#$£€")
    )


def _with_minutes(scan: Scan, at: int) -> Piece | None:
    """Read an hour with its minutes: "9.30pm", "21:30:05", "21h30"."""
    hour, mark = scan.number(at), scan.word(at + 1)
    if hour is None or scan.digits(at) > 2 or not scan.glued(at + 1):
        return None
    if mark == "h":
        return _french(scan, at, hour)
    if mark not in {":", "."} or not scan.glued(at + 2) or scan.digits(at + 2) != 2:
        return None
    last = at + 5 if mark == ":" and scan.word(at + 3) == ":" and scan.digits(at + 4) == 2 else at + 3
    half, after = _meridian(scan, last, short=True)
    if scan.word(last) == "h" and half is None and hour <= 23 and (scan.number(at + 2) or 0) <= 59:
        return Piece("clock", at, last + 1, clock=Clock(hour, scan.number(at + 2) or 0, figures=True))
    if mark == "." and half is None and not _pointed_time(scan, at, last):
        return None
    return _checked(
        scan, (at, after if half is not None else last), Clock(hour, scan.number(at + 2) or 0, figures=True), half
    )


def _checked(scan: Scan, span: tuple[int, int], told: Clock, half: int | None) -> Piece | None:
    """The piece of an hour and minutes, or the mark that no such time exists ("at 25:70")."""
    at, last = span
    if told.hour > 23 or told.minute > 59:
        wrong = scan.word(at + 1) == ":" and scan.word(at - 1) in AT
        return Piece("clock", at, last, impossible=True) if wrong else None
    if half is not None and told.hour <= 12:
        return Piece("clock", at, last, clock=replace(told, hour=told.hour % 12 + half))
    open_half = 1 <= told.hour <= 12 and scan.word(at)[0] != "0"
    return Piece("clock", at, scan.skip(last, "oclock", "ish"), clock=replace(told, half_day=open_half))


def _pointed_time(scan: Scan, at: int, last: int) -> bool:
    """Whether "at 9.30" is a time: after "at", and no unit or mark of a measure behind it."""
    if scan.word(at - 1) not in AT or scan.measured(last) or scan.word(last) in DASHES:
        return False
    return not scan.listed(at - 2, "levels")


def _french(scan: Scan, at: int, hour: int) -> Piece | None:
    """Read "21h30", "16h"; a bare "2h" only after "at"."""
    minute = scan.number(at + 2) if scan.glued(at + 2) and scan.digits(at + 2) == 2 else None
    if hour > 23 or (minute or 0) > 59 or (minute is None and scan.word(at - 1) not in AT):
        return None
    return Piece("clock", at, at + (2 if minute is None else 3), clock=Clock(hour, minute or 0, figures=True))


def _bare(scan: Scan, at: int, value: int, last: int) -> Piece | None:
    """An hour without minutes, or four figures that are a time by their place."""
    if scan.digits(at) in {3, 4} and scan.number(at) is not None:
        return _run_together(scan, at, value)
    if not 1 <= value <= 12:
        return None
    worded = _worded_minutes(scan, at, value, last)
    if worded:
        return worded
    return _told_by_word(scan, at, value, last) or _told_by_place(scan, at, value, last)


def _told_by_word(scan: Scan, at: int, value: int, last: int) -> Piece | None:
    """An hour with "am", "pm", "o'clock" or "ish" after it."""
    struck = _struck(scan, last)
    short = scan.word(at - 1) in AT or (at == 0 and last + 1 >= len(scan))
    half, after = _meridian(scan, struck, short=short)
    if half is not None:
        return Piece("clock", at, after, clock=Clock(value % 12 + half))
    if struck > last:
        return Piece("clock", at, struck, clock=Clock(value, half_day=True))
    if scan.word(last) == "ish":
        half, after = _meridian(scan, last + 1)
        if half is not None:
            return Piece("clock", at, after, clock=Clock(value % 12 + half))
        placed = scan.word(at - 1) in AT | ABOUT or _day_word(scan, last + 1)
        return Piece("clock", at, last + 1, clock=Clock(value, half_day=True), surely=placed)
    return None


def _told_by_place(scan: Scan, at: int, value: int, last: int) -> Piece | None:
    sure = _hour_by_place(scan, at, last)
    return None if sure is None else Piece("clock", at, last, clock=Clock(value, half_day=True), surely=sure)


def _struck(scan: Scan, at: int) -> int:
    """The position after "o'clock" or "o clock"."""
    return at + 2 if scan.phrase(at, "o", "clock") else scan.skip(at, "oclock")


def _worded_minutes(scan: Scan, at: int, hour: int, last: int) -> Piece | None:
    """Read "seven thirty pm", "at ten fifteen": only with the half of the day, after "at", or before a word of days."""
    found = whole(scan, scan.skip(last, "oh", "-")) if scan.number(at) is None else None
    if found is None or scan.number(found[1] - 1) is not None or not 5 <= found[0] <= 59:
        return None
    half, after = _meridian(scan, found[1])
    if half is not None:
        return Piece("clock", at, after, clock=Clock(hour % 12 + half, found[0], figures=True))
    if not (_day_word(scan, after) or (scan.word(at - 1) in AT and scan.ends(after))):
        return None
    return Piece("clock", at, after, clock=Clock(hour, found[0], half_day=True))


def _run_together(scan: Scan, at: int, value: int) -> Piece | None:
    """Read "0730am", "at 1030", "at 730 in the evening"; without "at" it is a time only beside a date."""
    hour, minute = divmod(value, 100)
    half, after = _meridian(scan, at + 1)
    if hour > 23 or minute > 59:
        return None
    if half is not None and 1 <= hour <= 12:
        return Piece("clock", at, after, clock=Clock(hour % 12 + half, minute, figures=True))
    if scan.measured(at + 1):
        return None
    half_day = scan.digits(at) == 3 or (1 <= hour <= 12 and scan.word(at)[0] != "0")
    after_at = scan.word(at - 1) in AT and (
        scan.ends(at + 1) or scan.listed(at + 1, "follow") or _day_word(scan, at + 1)
    )
    return (
        Piece("clock", at, at + 1, clock=Clock(hour, minute, half_day, figures=True), surely=after_at)
        if after_at or scan.digits(at) == 4
        else None
    )


def _hour_by_place(scan: Scan, at: int, last: int) -> bool | None:
    """Whether "9" stands where a time stands: True surely, False perhaps, None not at all."""
    before = scan.word(at - 1)
    if (at == 0 or before in {"back", "home"}) and _part_follows(scan, last):
        return True
    if before not in AT | ABOUT or _goes_on(scan, last):
        return None
    if _day_word(scan, last):
        return True
    free = scan.ends(last) or scan.listed(last, "follow") or scan.listed(last, "acts")
    return None if scan.listed(at - 2, "levels") or not free else before in AT


def _goes_on(scan: Scan, last: int) -> bool:
    """Whether a figure goes on behind this position as a measure, a span or a decimal: "24 C", "7-9", "2,5"."""
    if scan.measured(last) or (scan.word(last) in DASHES and scan.glued(last)):
        return True
    return scan.word(last) in {".", ","} and scan.number(last + 1) is not None and scan.glued(last + 1)


def _part_follows(scan: Scan, at: int) -> bool:
    """Whether "this morning", "tonight", "in the evening" comes next."""
    at = scan.skip(at, ",", "in", "the", "this")
    return scan.word(at) == "tonight" or (scan.word(at) in scan.tables.parts and scan.word(at - 1) in {"this", "the"})


def _day_word(scan: Scan, at: int) -> bool:
    """Whether a word of days or of parts of the day comes next."""
    if scan.word(at) in {"in", "on", "this", ","}:
        at = scan.skip(at, ",", "in", "on", "the", "this", "last")
    word = scan.word(at)
    tables = scan.tables
    if word in {"tonight", "lastnight"} or word in tables.days or word in tables.parts or word in tables.months:
        return True
    return word in tables.weekdays or (word == "last" and scan.word(at + 1) in tables.parts)
