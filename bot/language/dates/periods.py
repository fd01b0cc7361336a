"""Rules for stretches of days: "this week", "last two months", "over the weekend", "march", "the week of october 7th"."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from bot.language.dates.amounts import Stretch, stretch
from bot.language.dates.distances import length
from bot.language.dates.doubt import month_stands
from bot.language.dates.model import Piece, side
from bot.language.dates.reckon import monday_of, month_end, moved, weekday_from
from bot.language.dates.scan import Scan
from bot.language.dates.written import month, year

Day = Callable[[Scan, int], Piece | None]

STEP = {"this": 0, "current": 0, "last": -1, "past": -1, "next": 1, "coming": 1, "following": 1, "upcoming": 1}
WEEKS = frozenset({"week", "wk"})


def calendar_period(scan: Scan, at: int) -> Piece | None:
    """Read "this week", "last month", "the following week", "next year", "last weekend", "the weekend"."""
    step = scan.skip(at, "the")
    which = STEP.get(scan.word(step))
    if which is None:
        lone = scan.word(step) == "weekend" and (step > at or scan.word(at - 1) == "at")
        return _weekend(scan, (at, step + 1), 0) if lone else None
    if scan.word(step) == "this" and scan.word(step + 1) in STEP:
        step += 1
        which = STEP[scan.word(step)]
    unit, span = scan.word(step + 1), (at, step + 2)
    if unit == "weekend":
        return _weekend(scan, span, which)
    if unit in WEEKS:
        return _week(scan, span, which)
    if unit in {"month", "mth", "year", "yr"}:
        return _month_or_year(scan, span, which, "month" if unit[0] == "m" else "year")
    return None


def rolling_period(scan: Scan, at: int) -> Piece | None:
    """Read "in the last week", "over the past month", "the past fortnight": so many days back from today."""
    step = scan.skip(at, "in", "over", "for", "during", "within", "the")
    led = scan.word(at) in {"in", "over", "for", "during", "within"}
    lengths = {"week": 7, "wk": 7, "fortnight": 14, "month": 30, "year": 365}
    days = lengths.get(scan.word(step + 1))
    if days is None or not (scan.word(step) == "past" or (scan.word(step) == "last" and (led or days == 14))):
        return None
    today = scan.frame.today
    on, until = today - timedelta(days=days), today - timedelta(days=1)
    return Piece("period", at, step + 2, on=on, until=until, days=days, unit="days", relation="past")


def _week(scan: Scan, span: tuple[int, int], which: int) -> Piece:
    today = scan.frame.today
    monday = monday_of(today) + timedelta(days=7 * which)
    others = (today + timedelta(days=7),) if which == 1 else ()
    return Piece(
        "period",
        *span,
        on=monday,
        until=monday + timedelta(days=6),
        days=7,
        unit="week",
        relation=side(which),
        vague=which < 0,
        alternatives=others,
    )


def _month_or_year(scan: Scan, span: tuple[int, int], which: int, unit: str) -> Piece | None:
    today = scan.frame.today
    first = (
        moved(today.replace(day=1), months=which)
        if unit == "month"
        else moved(date(today.year, 1, 1), months=12 * which)
    )
    if first is None:
        return None
    end = month_end(first.year, first.month if unit == "month" else 12)
    return Piece("period", *span, on=first, until=end, unit=unit, relation=side(which), vague=which < 0)


def _weekend(scan: Scan, span: tuple[int, int], which: int) -> Piece:
    """A Saturday and Sunday. In a log "the weekend" is the last full one, or the one under way."""
    today = scan.frame.today
    saturday = monday_of(today) + timedelta(days=5)
    begun = today.weekday() >= 5
    if which < 0 or (scan.frame.past and not begun and which == 0):
        saturday -= timedelta(days=7)
    elif which > 0:
        saturday += timedelta(days=7)
    sunday = saturday + timedelta(days=1)
    relation = side(which) or ("past" if scan.frame.past and not begun else None)
    return Piece("period", *span, on=saturday, until=sunday, unit="weekend", alternatives=(sunday,), relation=relation)


def counted_period(scan: Scan, at: int) -> Piece | None:
    """Read "next 3 days", "the last two months", "past few days", "in the last ten days": whole units, today left out."""
    step = scan.skip(at, "the", "these")
    which = {"last": -1, "past": -1, "next": 1, "following": 1, "coming": 1, "upcoming": 1}.get(scan.word(step))
    if which is None:
        return None
    told = stretch(scan, step + 1)
    if told is None or (told.last == step + 2 and scan.word(step + 1) in scan.tables.units):
        return None
    span = (at, told.last)
    if told.parts > 1 and which > 0:
        on = moved(scan.frame.today, months=told.months, days=told.days)
        return Piece("day", *span, on=on, relation="future", anchored=True)
    return None if told.minutes else _counted(scan, span, told, which)


def _counted(scan: Scan, span: tuple[int, int], told: Stretch, which: int) -> Piece | None:
    today = scan.frame.today
    relation = side(which)
    if told.unit == "year":
        first = moved(date(today.year, 1, 1), months=12 if which > 0 else -told.months)
        last = first and moved(first, months=told.months, days=-1)
    elif told.months:
        first = moved(today.replace(day=1), months=1 if which > 0 else -told.months)
        last = first and moved(first, months=told.months, days=-1)
    elif told.unit == "week":
        first = monday_of(today) + timedelta(days=7 * (1 if which > 0 else -int(told.days // 7)))
        last = first + timedelta(days=int(told.days) - 1)
    else:
        first = today + timedelta(days=1 if which > 0 else -int(told.days))
        last = moved(first, days=int(told.days) - 1)
    if first is None or last is None:
        return None
    return Piece("period", *span, on=first, until=last, days=length(told), unit="days", relation=relation)


def named_month(scan: Scan, at: int) -> Piece | None:
    """Read "march", "during march", "in the april", "may 2025", "mid march", "the end of june", "end of the month"."""
    edge, step = _edge(scan, at)
    named = month(scan, step)
    if named is None:
        return _edge_of_period(scan, at, step, edge) if edge else None
    dated = year(scan, step + 1, short=False)
    last = dated[1] if dated else step + 1
    which = scan.word(step - 1) if step == at else ""
    if not (edge or dated or month_stands(scan, step, last)):
        return None
    first = date(dated[0], named, 1) if dated else nearest_month(scan, named, which)
    end = month_end(first.year, first.month)
    if edge:
        return _edge_piece((at, last), edge, first, end)
    return Piece("period", at, last, on=first, until=end, unit="month", yearless=dated is None)


def nearest_month(scan: Scan, named: int, which: str) -> date:
    """The month the frame points to; this month counts in a log, and where dates point ahead too."""
    today = scan.frame.today
    year_ = today.year
    if scan.frame.past and (named > today.month or (which == "last" and named == today.month)):
        year_ -= 1
    elif not scan.frame.past and (named < today.month or (which == "next" and named == today.month)):
        year_ += 1
    return date(year_, named, 1)


def _edge(scan: Scan, at: int) -> tuple[str | None, int]:
    """Read "beginning of", "mid", "end of", and the position after them."""
    step = scan.skip(at, "the")
    edges = {
        "beginning": "start",
        "start": "start",
        "early": "start",
        "mid": "middle",
        "middle": "middle",
        "end": "end",
        "late": "end",
    }
    edge = edges.get(scan.word(step))
    return (edge, scan.skip(step + 1, "of", "-", "in", "the")) if edge else (None, at)


def _edge_piece(span: tuple[int, int], edge: str, first: date, end: date) -> Piece:
    """The third of a period that its edge means; its last day for "the end of"."""
    third = timedelta(days=max(1, ((end - first).days + 1) // 3))
    if edge == "end":
        return Piece("period", *span, on=end, until=end, unit="edge", vague=True)
    on = first if edge == "start" else first + third
    return Piece("period", *span, on=on, until=on + third - timedelta(days=1), unit="edge", vague=True)


def _edge_of_period(scan: Scan, at: int, step: int, edge: str) -> Piece | None:
    """Read "end of the month", "start of next week"."""
    if scan.word(step) in WEEKS | {"month", "year"} and scan.word(step - 1) == "the":
        which, last = 0, step + 1
        unit = scan.word(step)
    elif scan.word(step) in STEP and scan.word(step + 1) in WEEKS | {"month", "year"}:
        which, last, unit = STEP[scan.word(step)], step + 2, scan.word(step + 1)
    else:
        return None
    whole = _week(scan, (at, last), which) if unit in WEEKS else _month_or_year(scan, (at, last), which, unit)
    if whole is None or whole.on is None or whole.until is None:
        return None
    return _edge_piece((at, last), edge, whole.on, whole.until)


def week_of(day: Day) -> Day:
    """Build the rule for "the week of october 7th", "week commencing monday": the Monday to Sunday that holds the day."""

    def rule(scan: Scan, at: int) -> Piece | None:
        step = scan.skip(at, "the")
        if scan.word(step) not in WEEKS or scan.word(step + 1) not in {"of", "commencing", "beginning", "starting"}:
            return None
        anchor = day(scan, scan.skip(step + 2, "the"))
        if anchor is None or anchor.on is None:
            return None
        monday = monday_of(anchor.on)
        return Piece("period", at, anchor.last, on=monday, until=monday + timedelta(days=6), days=7, unit="week")

    return rule


def week_of_month(scan: Scan, at: int) -> Piece | None:
    """Read "first week of october 2014", "the last week of september": the first or last Monday to Sunday all in it."""
    step = scan.skip(at, "the")
    if (
        scan.word(step) not in {"first", "last"}
        or scan.word(step + 1) not in WEEKS
        or scan.word(step + 2) not in {"of", "in"}
    ):
        return None
    whole = named_month(scan, scan.skip(step + 2, "of", "in", "the"))
    if whole is None or whole.on is None or whole.until is None:
        return None
    first = scan.word(step) == "first"
    monday = weekday_from(whole.on, 0) if first else monday_of(whole.until - timedelta(days=6))
    return Piece("period", at, whole.last, on=monday, until=monday + timedelta(days=6), days=7, unit="week")


def rest_of(scan: Scan, at: int) -> Piece | None:
    """Read "the rest of the week", "rest of this month": from today to its end."""
    step = scan.skip(at, "the")
    if not scan.phrase(step, "rest", "of") or scan.word(step + 2) not in {"the", "this"}:
        return None
    unit, today = scan.word(step + 3), scan.frame.today
    ends = {"week": monday_of(today) + timedelta(days=6), "month": month_end(today.year, today.month), "day": today}
    if unit not in ends:
        return None
    return Piece("period", at, step + 4, on=today, until=ends[unit], unit="days")


def later_this(scan: Scan, at: int) -> Piece | None:
    """Read "later this week", "earlier this month": somewhere in it."""
    if scan.word(at) not in {"later", "earlier"}:
        return None
    whole = calendar_period(scan, at + 1)
    if whole is None or whole.on is None or whole.until is None:
        return None
    today, later = scan.frame.today, scan.word(at) == "later"
    on, until = (today, whole.until) if later else (whole.on, today)
    return Piece(
        "period",
        at,
        whole.last,
        on=min(on, until),
        until=until,
        vague=True,
        unit="days",
        relation="future" if later else "past",
    )


def this_time(scan: Scan, at: int) -> Piece | None:
    """Read "this time last week", "same day last month": the very day."""
    if scan.word(at) not in {"this", "same"} or scan.word(at + 1) not in {"time", "day"}:
        return None
    which, unit = {"last": -1, "next": 1}.get(scan.word(at + 2)), scan.word(at + 3)
    if which is None or unit not in WEEKS | {"month", "year"}:
        return None
    months = {"month": 1, "year": 12}.get(unit, 0)
    on = moved(scan.frame.today, months=which * months, days=0 if months else 7 * which)
    return None if on is None else Piece("day", at, at + 4, on=on, relation=side(which), anchored=True)
