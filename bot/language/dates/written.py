"""Rules for calendar dates as written: "march 14", "the 3rd of may", "14/3", "2026-03-14", "the 14th", "first monday of may"."""

from __future__ import annotations

from datetime import date, timedelta

from bot.language.dates.amounts import whole
from bot.language.dates.doubt import clause_follows, month_clause_follows, ordinal_stands, plain_day_stands
from bot.language.dates.model import Piece
from bot.language.dates.reckon import day_of_month, month_end, moved, nth_weekday, real, yearless
from bot.language.dates.scan import DASHES, Scan

APOSTROPHES = frozenset({"'", "\u2019"})
ENDINGS = frozenset({"st", "nd", "rd", "th"})
BEFORE_DATES = frozenset(
    {"on", "since", "by", "until", "till", "from", "of", "to", "before", "after", "dated", "due", "around", "is", "was"}
)


def ordinal(scan: Scan, at: int) -> tuple[int, int] | None:
    """Read "14th", "3 rd", "first", "twenty fourth" and the position after it."""
    figure = scan.number(at)
    if figure is not None:
        return (figure, at + 2) if scan.word(at + 1) in ENDINGS else None
    tables = scan.tables
    tens = tables.numbers.get(scan.word(at))
    if tens in {20, 30}:
        step = scan.skip(at + 1, *DASHES)
        ones = tables.ordinals.get(scan.word(step), 0)
        return (tens + ones, step + 1) if 0 < ones < 10 else None
    value = tables.ordinals.get(scan.word(at))
    return (value, at + 1) if value else None


def day_number(scan: Scan, at: int) -> tuple[int, int, bool] | None:
    """A day of the month, the position after it, and whether it is an ordinal."""
    found = ordinal(scan, at)
    if found:
        return (*found, True)
    plain = whole(scan, at)
    if (
        plain is None
        or scan.digits(at) > 2
        or plain[0] > 99
        or (scan.number(at) is not None and _inside_number(scan, at))
    ):
        return None
    return (*plain, False)


def _inside_number(scan: Scan, at: int) -> bool:
    """Whether a figure ends a decimal: the 5 of "1.5"."""
    return (
        scan.word(at - 1) in {".", ",", ":"}
        and scan.glued(at)
        and scan.glued(at - 1)
        and scan.number(at - 2) is not None
    )


def month(scan: Scan, at: int) -> int | None:
    """The month named here, if any."""
    return scan.tables.months.get(scan.word(at))


def year(scan: Scan, at: int, *, short: bool = True) -> tuple[int, int] | None:
    """A year after a day and month: "2018", "of 2020", "'18", "17" where near, "two thousand and eighteen"."""
    step = scan.skip(at, ",", "of", ".") if scan.word(at) in {",", "of", "."} else at
    step = step + 1 if scan.word(step) in APOSTROPHES else step
    found = whole(scan, step)
    if found is None:
        return None
    value, last = found
    now = scan.frame.now.year
    if scan.digits(step) == 4 or (scan.number(step) is None and 1900 <= value <= 2100):
        return (value, last) if 1900 <= value <= 2100 and not _rather_a_time(value, now) else None
    near = abs(2000 + value - now) <= 2 if scan.digits(step) == 2 else False
    spoken = step == at or scan.word(step - 1) in APOSTROPHES
    if short and near and spoken and clause_follows(scan, last) and scan.word(last) not in {":", ".", "/"} | DASHES:
        return 2000 + value, last
    return None


def _rather_a_time(value: int, now: int) -> bool:
    """Whether four figures after a date tell the clock ("12 nov 2020" said in 2017): a time on five minutes, no near year."""
    return value % 100 < 60 and value % 5 == 0 and value // 100 < 24 and value > now + 2


def calendar_date(scan: Scan, at: int) -> Piece | None:
    """Read "14 march", "the 14th of march 2026", "14. March", "march 14", "Jul24", "May/8", "march the third"."""
    return _year_first(scan, at) or _day_then_month(scan, at) or _month_then_day(scan, at)


def _year_first(scan: Scan, at: int) -> Piece | None:
    """Read "2014 August 16"."""
    first, named = scan.number(at), month(scan, at + 1)
    told = day_number(scan, at + 2) if named and scan.digits(at) == 4 else None
    if first is None or named is None or told is None or not 1900 <= first <= 2100:
        return None
    return dated_piece(scan, (at, told[1]), named, told[0], first)


def _day_then_month(scan: Scan, at: int) -> Piece | None:
    step = scan.skip(at, "the")
    told = day_number(scan, step)
    if told is None:
        return None
    day, last, is_ordinal = told
    last = scan.skip(last, *ENDINGS) if is_ordinal else last
    joint = scan.skip(last, ".", "-", "/", "of", "[", "day")
    named = month(scan, joint)
    if named is None or joint - last > 2:
        return None
    end = _after_abbreviation(scan, joint)
    dated = year(scan, end)
    piece = dated_piece(scan, (at, dated[1] if dated else end), named, day, dated[0] if dated else None)
    sure = is_ordinal or scan.word(last) in {"of", "-", "/", "."} or dated or plain_day_stands(scan, step, joint, end)
    return piece if sure else None


def _after_abbreviation(scan: Scan, at: int) -> int:
    """The position after a month, with the full stop or bracket of a short one ("Sept.", "[Sept]")."""
    step = at + 1
    if scan.word(step) == "]":
        step += 1
    if scan.word(step) == "." and scan.glued(step) and len(scan.word(at)) <= 4 and not scan.ends(step + 1):
        return step + 1 if scan.number(step + 1) is not None or scan.word(step + 1) in scan.tables.parts else step
    return step


def _month_then_day(scan: Scan, at: int) -> Piece | None:
    named = month(scan, at)
    if named is None:
        return None
    step = scan.skip(at + 1, ".", "]", "/", "-", "the")
    if step > at + 3 or (scan.word(at + 1) in {"/", "-"} and not scan.glued(at + 1)):
        return None
    told = day_number(scan, step)
    if told is None or (scan.word(at + 1) == "." and scan.word(at) == "march"):
        return None
    day, last, is_ordinal = told
    dated = year(scan, last)
    if not is_ordinal and (day > 31 or not (dated or _day_after_month(scan, at, step, last))):
        return None
    return dated_piece(scan, (at, dated[1] if dated else last), named, day, dated[0] if dated else None)


def _day_after_month(scan: Scan, at: int, step: int, last: int) -> bool:
    """Whether a plain figure after a month is its day and no count or clock time: "march 14", but not "may 3 roaches"."""
    if scan.word(last) in {"am", "pm", "%", "°"} or (
        scan.word(last) == ":" and scan.glued(last) and scan.digits(last + 1) == 2
    ):
        return False
    return scan.glued(step) or month_clause_follows(scan, at, last) or scan.word(at - 1) in BEFORE_DATES


def dated_piece(scan: Scan, span: tuple[int, int], month_: int, day: int, year_: int | None) -> Piece:
    """The piece of a day and month, and a year where one is told; a day that does not exist is marked impossible."""
    if year_ is not None:
        on = real(year_, month_, day)
        return Piece("day", *span, on=on, impossible=on is None)
    near = yearless(scan.frame, month_, day)
    return Piece("day", *span, on=near.on, this_year=near.this_year, impossible=near.on is None, yearless=True)


def month_day(scan: Scan, at: int) -> Piece | None:
    """Read "the 14th", "on the 22.", "20 of this month", "the 20th day of next month", "on 15"."""
    step = scan.skip(at, "the")
    told = day_number(scan, step)
    if told is None or (not 1 <= told[0] <= 31 and not told[2]):
        return None
    day, last, is_ordinal = told
    last = scan.skip(last, *ENDINGS) if is_ordinal else last
    in_month = _of_month(scan, at, day, last)
    if in_month or day > 31:
        return in_month
    if is_ordinal:
        return _bare_ordinal(scan, (at, last), step, day)
    return _plain_figure(scan, (at, last), scan.word(at - 1), day)


def _bare_ordinal(scan: Scan, span: tuple[int, int], step: int, day: int) -> Piece | None:
    """Read "the 14th", "the second": a day of the month unless it counts something. One in words needs "on", "by" and the like."""
    at, last = span
    figure, lead = scan.number(step) is not None, scan.word(at - 1)
    spoken = figure or last - step > 1 or lead in BEFORE_DATES
    if scan.listed(last, "counted") or not (figure or step > at):
        return None
    sure = spoken and ordinal_stands(scan, step, last, named=lead in BEFORE_DATES | {"for"})
    return Piece("day", at, last, on=day_of_month(scan.frame, day), dom=day, surely=sure)


def _of_month(scan: Scan, at: int, day: int, last: int) -> Piece | None:
    """Read "... of this month", "day of next month"."""
    step = scan.skip(last, "day")
    if scan.word(step) not in {"of", "in"} or scan.word(step + 2) not in {"month", "mth"}:
        return None
    months = {"this": 0, "the": 0, "last": -1, "next": 1}.get(scan.word(step + 1))
    first = moved(scan.frame.today.replace(day=1), months=months or 0)
    if months is None or first is None:
        return None
    on = real(first.year, first.month, day)
    return Piece("day", at, step + 3, on=on, impossible=on is None)


def _plain_figure(scan: Scan, span: tuple[int, int], lead: str, day: int) -> Piece | None:
    """A bare figure is a day after "on", "the" or a weekday; of these "on the 22." and "on 15" at a clause's end are sure."""
    at, last = span
    article = scan.word(at) == "the"
    beside = scan.word(at - 1) in scan.tables.weekdays or (
        scan.word(at - 1) in {",", "."} and scan.word(at - 2) in scan.tables.weekdays
    )
    if (
        not (article or lead in {"on", "since", "until", "till"} or beside)
        or not scan.ends(last)
        or scan.word(last) in {"/", *DASHES, ":"}
    ):
        return None
    if scan.word(last) in {".", ","} and scan.number(last + 1) is not None and scan.glued(last + 1):
        return None
    dial = any(scan.listed(at - back, "levels") for back in range(1, 6))
    dot = last + 1 if scan.word(last) == "." and article else last
    led = (lead in BEFORE_DATES | {"for"} and scan.word(at - 2) != "put") or at == 0
    sure = not dial and led and (article or day >= 10) and not beside
    return Piece("day", at, dot, on=day_of_month(scan.frame, day), dom=day, surely=sure)


def weekday_of_month(scan: Scan, at: int) -> Piece | None:
    """Read "first tuesday in october", "last friday of this month", "fifth last day of May", "last day of the month"."""
    step = scan.skip(at, "the")
    nth, step = (ordinal(scan, step) or (1, step)) if scan.word(step) != "last" else (1, step)
    from_end = scan.word(step) == "last"
    step = step + 1 if from_end else step
    named = scan.tables.weekdays.get(scan.word(step))
    if named is None and not (from_end and scan.word(step) == "day"):
        return None
    if step == scan.skip(at, "the") or scan.word(step + 1) not in {"of", "in"}:
        return None
    for year_, month_, last in _months_meant(scan, step + 2):
        on = (
            nth_weekday(year_, month_, named, -1 if from_end else nth)
            if named is not None
            else _from_end(year_, month_, nth)
        )
        if on and (last < 0 or (on <= scan.frame.today) == scan.frame.past or on == scan.frame.today):
            return Piece("day", at, abs(last), on=on, anchored=True)
    return None


def _from_end(year_: int, month_: int, nth: int) -> date | None:
    """The nth day of a month counted from its end; the last is the first."""
    return month_end(year_, month_) - timedelta(days=nth - 1)


def _months_meant(scan: Scan, at: int) -> list[tuple[int, int, int]]:
    """The years and months that words name, nearest first, with the position after; negative where the month is fixed."""
    today = scan.frame.today
    step = scan.skip(at, "the", "this")
    named = month(scan, step)
    if named is not None:
        dated = year(scan, step + 1)
        if dated:
            return [(dated[0], named, -dated[1])]
        years = (today.year, today.year - 1) if scan.frame.past else (today.year, today.year + 1)
        return [(year_, named, step + 1) for year_ in years]
    months = {"last": -1, "next": 1}.get(scan.word(step), 0)
    step = step + 1 if months else step
    first = moved(today.replace(day=1), months=months)
    if scan.word(step) != "month" or first is None:
        return []
    return [(first.year, first.month, -(step + 1))]
