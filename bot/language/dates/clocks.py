"""Rules for clock times: "9pm", "21:30", "half eight", "ten to six", "at 9", "noon".

Each rule takes the scan and a position and answers the piece that begins there, or None.
"""

from __future__ import annotations

from dataclasses import replace

from bot.language.dates.amounts import whole
from bot.language.dates.clock_signs import ABOUT, AT, NAMED, day_word, meridian, struck
from bot.language.dates.model import Clock, Piece
from bot.language.dates.scan import DASHES, MASK, Scan
from bot.language.dates.spoken_clocks import spoken

GOES_ON = {"and", "then", "but", "i", "we", "so", "when", "after", "before", "or", "it", "they", "she", "he", "all"}


def clock(scan: Scan, at: int) -> Piece | None:
    """A clock time that begins here."""
    if scan.word(at) in NAMED:
        return Piece("clock", at, at + 1, clock=NAMED[scan.word(at)])
    return spoken(scan, at) or _written(scan, at)


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
    half, after = meridian(scan, last, short=True)
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
    after_struck = struck(scan, last)
    short = scan.word(at - 1) in AT or (at == 0 and last + 1 >= len(scan))
    half, after = meridian(scan, after_struck, short=short)
    if half is not None:
        return Piece("clock", at, after, clock=Clock(value % 12 + half))
    if after_struck > last:
        return Piece("clock", at, after_struck, clock=Clock(value, half_day=True))
    if scan.word(last) == "ish":
        half, after = meridian(scan, last + 1)
        if half is not None:
            return Piece("clock", at, after, clock=Clock(value % 12 + half))
        placed = scan.word(at - 1) in AT | ABOUT or day_word(scan, last + 1)
        if not placed and _counts(scan, last):
            return None
        return Piece("clock", at, last + 1, clock=Clock(value, half_day=True), surely=placed)
    return None


def _counts(scan: Scan, ish: int) -> bool:
    """Whether "10ish" counts what comes after it ("10ish slings") and is no hour."""
    following = scan.text[scan.tokens[ish].end :].lstrip(" ")
    opens = bool(following) and (following[0].isalpha() or following[0] == MASK)
    return opens and scan.word(ish + 1) not in GOES_ON


def _told_by_place(scan: Scan, at: int, value: int, last: int) -> Piece | None:
    sure = _hour_by_place(scan, at, last)
    return None if sure is None else Piece("clock", at, last, clock=Clock(value, half_day=True), surely=sure)


def _worded_minutes(scan: Scan, at: int, hour: int, last: int) -> Piece | None:
    """Read "seven thirty pm", "at ten fifteen": only with the half of the day, after "at", or before a word of days."""
    found = whole(scan, scan.skip(last, "oh", "-")) if scan.number(at) is None else None
    if found is None or scan.number(found[1] - 1) is not None or not 5 <= found[0] <= 59:
        return None
    half, after = meridian(scan, found[1])
    if half is not None:
        return Piece("clock", at, after, clock=Clock(hour % 12 + half, found[0], figures=True))
    if not (day_word(scan, after) or (scan.word(at - 1) in AT and scan.ends(after))):
        return None
    return Piece("clock", at, after, clock=Clock(hour, found[0], half_day=True))


def _run_together(scan: Scan, at: int, value: int) -> Piece | None:
    """Read "0730am", "at 1030", "at 730 in the evening"; without "at" it is a time only beside a date."""
    hour, minute = divmod(value, 100)
    half, after = meridian(scan, at + 1)
    if hour > 23 or minute > 59:
        return None
    if half is not None and 1 <= hour <= 12:
        return Piece("clock", at, after, clock=Clock(hour % 12 + half, minute, figures=True))
    if scan.measured(at + 1):
        return None
    half_day = scan.digits(at) == 3 or (1 <= hour <= 12 and scan.word(at)[0] != "0")
    after_at = scan.word(at - 1) in AT and (
        scan.ends(at + 1) or scan.listed(at + 1, "follow") or day_word(scan, at + 1)
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
    if day_word(scan, last):
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
