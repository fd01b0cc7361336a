"""Ranges told by two ends: "from the 13th to the 15 of July", "Aug 10 - Nov 12, 2011", "monday to friday"."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from bot.language.dates.doubt import clause_follows, month_clause_follows
from bot.language.dates.model import Frame, Piece
from bot.language.dates.periods import nearest_month
from bot.language.dates.reckon import month_end, weekday_from
from bot.language.dates.scan import DASHES, Scan
from bot.language.dates.written import day_number, month, year

JOINTS = frozenset({"to", "through", "until", "till", "and", *DASHES})
DATED = frozenset({"day", "period"})


def days_of_month(scan: Scan, at: int) -> Piece | None:
    """Read "from the 13th to the 15 of July", "5 to 16 Aug", "Aug 5 to 16", "from 02 to April 07", "between 3 and 12 of Sept"."""
    led = scan.word(at) in {"from", "between"}
    step = at + 1 if led else at
    return _numbers_then_month(scan, at, step, led=led) or _month_then_numbers(scan, at, step, led=led)


def _numbers_then_month(scan: Scan, at: int, step: int, *, led: bool) -> Piece | None:
    one = day_number(scan, scan.skip(step, "the"))
    if one is None or not _joins(scan, one[1], led=led):
        return None
    after = scan.skip(one[1] + 1, "the")
    if led and month(scan, after) is not None:
        two = day_number(scan, scan.skip(after + 1, "the"))
        return two and _between(scan, (at, two[1]), month(scan, after), one[0], two[0])
    two = day_number(scan, after)
    if two is None:
        return None
    joint = scan.skip(two[1], "of", ".")
    named = month(scan, joint)
    if named is None or not (
        led or one[2] or two[2] or not scan.listed(joint, "doubtful") or month_clause_follows(scan, joint, joint + 1)
    ):
        return None
    if scan.listed(step - 1, "places") and not led:
        return None
    return _between(scan, (at, joint + 1), named, one[0], two[0])


def _month_then_numbers(scan: Scan, at: int, step: int, *, led: bool) -> Piece | None:
    named = month(scan, step)
    one = day_number(scan, scan.skip(step + 1, "the", ".")) if named else None
    if one is None or not _joins(scan, one[1], led=led):
        return None
    two = day_number(scan, scan.skip(one[1] + 1, "the"))
    if two is None or not (led or two[2] or clause_follows(scan, two[1])) or scan.word(two[1]) in {":", "/"}:
        return None
    return _between(scan, (at, two[1]), named, one[0], two[0])


def _joins(scan: Scan, at: int, *, led: bool) -> bool:
    return scan.word(at) in JOINTS and (scan.word(at) != "and" or led)


def _between(scan: Scan, span: tuple[int, int], named: int | None, one: int, two: int) -> Piece | None:
    """The days from one to another of a month, in the year the frame points to or the one told."""
    dated = year(scan, span[1])
    if named is None or not 1 <= one < two:
        return None
    first = date(dated[0], named, 1) if dated else nearest_month(scan, named, "")
    end = month_end(first.year, named)
    if two > end.day:
        return Piece("period", *span, impossible=True)
    if not dated and not scan.frame.past and first.replace(day=two) < scan.frame.today:
        first = first.replace(year=first.year + 1)
    return Piece(
        "period",
        span[0],
        dated[1] if dated else span[1],
        on=first.replace(day=one),
        until=first.replace(day=two),
        unit="days",
    )


def between_pieces(scan: Scan, one: Piece, two: Piece, gap: list[str]) -> Piece | None:
    """Read "from monday to wednesday", "Aug 10 - Nov 12, 2011", "between the 3rd and the 9th"."""
    if (
        one.kind not in DATED
        or two.kind not in DATED
        or not one.on
        or not two.on
        or (one.until and one.unit not in {"month", "edge"})
    ):
        return None
    words = [word for word in gap if word not in {"the", "on", "of", "up", "end", ","}]
    between = scan.word(scan.skip_back(one.first - 1, "the", "on")) == "between"
    if (
        len(words) != 1
        or not (words[0] in JOINTS - {"and"} or (between and words[0] == "and"))
        or not (one.surely or two.surely)
    ):
        return None
    return _spanned(scan.frame, one, two)


def _spanned(frame: Frame, one: Piece, two: Piece) -> Piece | None:
    on, last = one.on, two.until or two.on
    if on is None or last is None:
        return None
    if two.weekday is not None and not two.anchored:
        last = _weekday_end(frame, one, two.weekday)
        on = (
            last - timedelta(days=(last.weekday() - one.weekday) % 7)
            if frame.past and one.weekday is not None and not one.anchored
            else on
        )
        last = weekday_from(on, two.weekday)
    elif on > last and one.yearless:
        on = _year_shifted(on, -1) if not two.yearless or frame.past else on
        last = _year_shifted(last, 1) if on > last and two.yearless else last
    elif on > last and two.dom is not None and two.yearless is False:
        last = _next_dom(on, two.dom) or last
    elif two.on and one.yearless and not two.yearless and two.on.year != on.year:
        on = _year_shifted(on, two.on.year - on.year)
    if on > last:
        return None
    return replace(
        one,
        kind="period",
        last=two.last,
        on=on,
        until=last,
        unit="days",
        alternatives=(),
        weekday=None,
        dom=None,
        surely=True,
        vague=False,
        part=None,
        days=None,
        anchored=True,
    )


def _weekday_end(frame: Frame, one: Piece, weekday: int) -> date:
    today = frame.today
    if frame.past:
        return today - timedelta(days=(today.weekday() - weekday) % 7)
    return weekday_from(one.on or today, weekday)


def _year_shifted(day: date, years: int) -> date:
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return day.replace(year=day.year + years, day=28)


def _next_dom(day: date, dom: int) -> date | None:
    for step in range(1, 62):
        if (day + timedelta(days=step)).day == dom:
            return day + timedelta(days=step)
    return None
