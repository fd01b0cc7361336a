"""Rules for dates in figures alone: "2026-03-14", "14/3", "8/25/2026", "14.3.26", "9/2012", "2012/Aug/10"."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bot.language.dates.doubt import clause_follows
from bot.language.dates.model import Frame, Piece
from bot.language.dates.reckon import month_end, real
from bot.language.dates.scan import DASHES, Scan
from bot.language.dates.written import BEFORE_DATES, dated_piece

MARKS = frozenset({"/", ".", "-"})


def figures(scan: Scan, at: int) -> Piece | None:
    """A date in figures that begins here."""
    one, mark = scan.number(at), scan.word(at + 1)
    if one is None or mark not in MARKS or not scan.glued(at + 1) or not scan.glued(at + 2):
        return None
    if scan.glued(at) and scan.word(at - 1) in {".", ",", ":", "/", "$", "£", "€", *DASHES}:
        return None
    if scan.word(at + 3) == mark and scan.glued(at + 3) and scan.glued(at + 4) and scan.number(at + 4) is not None:
        return _three(scan, at)
    return _two(scan, at, mark)


def _three(scan: Scan, at: int) -> Piece | None:
    """Day, month and year, in either order; a year of two figures must be near or follow "on"."""
    one, two, three = scan.number(at), scan.number(at + 2), scan.number(at + 4)
    last = at + 5
    if (
        one is None
        or three is None
        or (
            scan.glued(last) and scan.word(last) in MARKS and scan.number(last + 1) is not None and scan.glued(last + 1)
        )
    ):
        return None
    named = scan.tables.months.get(scan.word(at + 2))
    if scan.digits(at) == 4:
        return _exact(scan, at, last, one, two if named is None else named, three)
    if scan.digits(at + 4) not in {2, 4} or two is None or one > 99:
        return None
    year = three if scan.digits(at + 4) == 4 else 2000 + three
    if not 1900 <= year <= 2100:
        return None
    on = _ordered(scan.frame, year, one, two)
    return Piece("day", at, last, on=on, impossible=on is None)


def _exact(scan: Scan, at: int, last: int, year: int, month: int | None, day: int) -> Piece | None:
    if month is None or not 1900 <= year <= 2100:
        return None
    on = real(year, month, day)
    last = last + 1 if scan.word(last) == "t" and scan.glued(last) and scan.glued(last + 1) else last
    return Piece("day", at, last, on=on, impossible=on is None)


def _ordered(frame: Frame, year: int, one: int, two: int) -> date | None:
    """The date in the frame's order of day and month, or in the other one where only that exists."""
    first, second = (two, one), (one, two)
    if not frame.day_first:
        first, second = second, first
    return real(year, *first) or real(year, *second)


def _two(scan: Scan, at: int, mark: str) -> Piece | None:
    """Day and month ("14/3"), or month and year ("9/2012")."""
    one, two = scan.number(at) or 0, scan.number(at + 2)
    last = at + 3
    if two is None or (one, mark, two) == (24, "/", 7) or min(one, two) > 12:
        return None
    if scan.digits(at + 2) == 4 and mark in {"/", "-"} and 1 <= one <= 12 and 1900 <= two <= 2100:
        return Piece("period", at, last, on=real(two, one, 1), until=month_end(two, one), unit="month")
    if scan.digits(at + 2) > 2 or scan.digits(at) > 2:
        return None
    order = (
        (two, one)
        if scan.frame.day_first == (real(2024, two, one) is not None) or not real(2024, one, two)
        else (one, two)
    )
    if not scan.frame.day_first:
        order = (one, two) if real(2024, one, two) else (two, one)
    elif not real(2024, two, one) and real(2024, one, two):
        order = (one, two)
    trailing = scan.word(last) == "." and scan.glued(last) and mark == "."
    piece = dated_piece(scan, (at, last + 1 if trailing else last), *order, None)
    strength = _strength(scan, at, piece.last, mark)
    if piece.impossible and strength is not True:
        return None
    return None if strength is None else replace(piece, surely=strength)


def _strength(scan: Scan, at: int, last: int, mark: str) -> bool | None:
    """How surely "14/3" is a date: by its place, or as no such share ("14/3") exists; None for a decimal or a span."""
    lead = scan.word(at - 1)
    led = lead in BEFORE_DATES - {"of", "to", "is", "was", "around"} or lead in scan.tables.weekdays
    if mark == "-":
        return (
            True if led and (scan.digits(at) == 2 or scan.digits(at + 2) == 2) and clause_follows(scan, last) else None
        )
    if (
        mark == "."
        and scan.word(last - 1) == "."
        and scan.number(last) is not None
        and not scan.glued(last)
        and scan.word(last + 1) in {":", "am", "pm"}
    ):
        return True
    if mark == ".":
        return True if led and not scan.listed(last, "measures") else None
    if scan.listed(at - 1, "places"):
        return None
    alone = at == 0 and scan.ends(last)
    if led or alone or (clause_follows(scan, last) and (scan.number(at) or 0) > 12):
        return True
    return False if clause_follows(scan, last) else None
