"""Joining pieces that touch ("yesterday evening at 9", "friday, 9pm", "monday the 24th", "may 3 to may 5") into spans."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

from bot.language.dates.model import Frame, Piece
from bot.language.dates.reckon import monday_of, weekday_and_dom, weekday_from
from bot.language.dates.scan import DASHES, Scan

GAP = frozenset(
    {
        ",",
        "at",
        "@",
        "around",
        "about",
        "on",
        "in",
        "the",
        "of",
        "by",
        "~",
        "early",
        "late",
        "first",
        "thing",
        "approx",
        "roughly",
        "last",
        ".",
        "-",
        "–",
        "(",
        ")",
        "during",
        "exactly",
        "like",
    }
)
RANGE = frozenset({"to", "through", "until", "till", *DASHES})
DATED = frozenset({"day", "period"})


def joined(scan: Scan, found: list[Piece]) -> list[Piece]:
    """Join neighbours from left to right."""
    done: list[Piece] = []
    for piece in found:
        whole = _meet(scan, done[-1], piece) if done else None
        if whole is None:
            done.append(piece)
        else:
            done[-1] = whole
            if len(done) > 1 and (again := _meet(scan, done[-2], done[-1])):
                done[-2:] = [again]
    return done


def _meet(scan: Scan, one: Piece, two: Piece) -> Piece | None:
    """The two pieces as one, or None where they stay apart."""
    gap = [scan.word(at) for at in range(one.last, two.first)]
    if len(gap) > 4 or scan.text.find("\n", scan.tokens[one.last - 1].end, scan.tokens[two.first].start) >= 0:
        return None
    if ranged := _range(scan, one, two, gap):
        return ranged
    if not GAP.issuperset(gap) or not _stop_allowed(scan, one, gap) or one.impossible and one.kind == "clock":
        return None
    for rule in JOINTS:
        whole = rule(scan.frame, one, two)
        if whole:
            return replace(whole, first=one.first, last=two.last, surely=_surely(one, two, gap))
    return None


def _stop_allowed(scan: Scan, one: Piece, gap: list[str]) -> bool:
    """A full stop may lie between pieces only after a short word or an ordinal figure: "Fri. 22", "the 22. 9am"."""
    if "." not in gap:
        return True
    return (
        gap[0] == "."
        and (len(scan.word(one.last - 1)) <= 4)
        and scan.glued(one.last)
        and scan.word(one.last - 1) not in {"am", "pm", "m"}
    )


def _surely(one: Piece, two: Piece, gap: list[str]) -> bool:
    """A weak reading beside a sure one is sure; two weak ones make each other so if both touch a day."""
    if one.surely or two.surely:
        return True
    return {one.kind, two.kind} & DATED != set() and one.kind != two.kind and "," not in gap


def _range(scan: Scan, one: Piece, two: Piece, gap: list[str]) -> Piece | None:
    """ "from monday to wednesday", "Aug 10 - Nov 12, 2011", "between the 3rd and the 9th"."""
    if (
        one.kind not in DATED
        or two.kind not in DATED
        or not one.on
        or not two.on
        or one.until
        and one.unit not in {"month", "edge"}
    ):
        return None
    words = [word for word in gap if word not in {"the", "on", "of", "up", "end", ","}]
    between = scan.word(scan.skip_back(one.first - 1, "the", "on")) == "between"
    if len(words) != 1 or not (words[0] in RANGE or (between and words[0] == "and")) or not (one.surely or two.surely):
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


def _clock_and_other(frame: Frame, one: Piece, two: Piece) -> Piece | None:
    """A clock time beside a day, a part or a repeat."""
    del frame
    timed, other = (one, two) if one.kind == "clock" else (two, one)
    if timed.kind != "clock" or other.clock or other.kind not in {"day", "part", "repeat", "vague"} or other.until:
        return None
    return replace(other, clock=timed.clock, impossible=timed.impossible or other.impossible)


def _part_and_other(frame: Frame, one: Piece, two: Piece) -> Piece | None:
    """A part of the day beside a day, a clock time or a repeat."""
    del frame
    part, other = (one, two) if one.kind == "part" else (two, one)
    if (
        part.kind != "part"
        or (other.part and other.part != part.part)
        or other.kind not in {"day", "clock", "repeat", "part", "vague", "instant"}
        or other.until
    ):
        return None
    if other.kind == "clock":
        return replace(part, clock=other.clock, anchored=True)
    return replace(other, part=part.part)


def _day_and_day(frame: Frame, one: Piece, two: Piece) -> Piece | None:
    """Two words for one day: "monday the 24th", "Jun 21 Wed", "tomorrow 16 Nov", "friday in 3 days"."""
    if one.kind != "day" or two.kind != "day" or one.on is None or two.on is None:
        return _impossible_with_weekday(one, two)
    more = dict(clock=one.clock or two.clock, part=one.part or two.part)
    if one.clock and two.clock:
        return None
    for loose, firm in ((one, two), (two, one)):
        if loose.weekday is not None and not (firm.weekday is not None):
            return replace(_weekday_beside(frame, loose, firm), **more) if _weekday_beside(frame, loose, firm) else None
    if one.on == two.on or (
        one.relation
        and two.yearless
        and one.unit is None
        and one.weekday is None
        and abs((one.on - two.on).days) <= 366
        and one.yearless is False
        and one.dom is None
    ):
        return replace(two if two.yearless else one, on=two.on if two.yearless else one.on, **more)
    return None


def _impossible_with_weekday(one: Piece, two: Piece) -> Piece | None:
    for loose, firm in ((one, two), (two, one)):
        if loose.weekday is not None and firm.impossible and firm.kind == "day":
            return replace(firm, part=firm.part or loose.part)
    return None


def _weekday_beside(frame: Frame, loose: Piece, firm: Piece) -> Piece | None:
    """A weekday pinned down by its neighbour: a day of the month, a calendar date, or a distance."""
    weekday = loose.weekday or 0
    if firm.dom is not None:
        on = weekday_and_dom(frame, weekday, firm.dom, 14 if firm.surely or loose.first == 0 else 3)
        if on is None:
            return firm if firm.surely else None
        return replace(firm, on=on, alternatives=(), surely=True, anchored=True)
    if firm.unit and firm.on:
        if firm.unit in {"month", "year"}:
            return replace(firm, on=weekday_from(firm.on, weekday), alternatives=())
        return replace(firm, on=monday_of(firm.on) + timedelta(days=weekday), alternatives=())
    if firm.part and firm.on and firm.on.weekday() != weekday:
        return None
    return firm


def _weekday_in_period(frame: Frame, one: Piece, two: Piece) -> Piece | None:
    """ "friday next week", "next week on Friday", "sometime last week", "saturday last weekend"."""
    del frame
    for loose, week in ((one, two), (two, one)):
        if week.kind != "period" or week.on is None:
            continue
        if loose.weekday is not None and loose.kind == "day" and week.unit in {"week", "weekend"} and not loose.until:
            return replace(
                loose,
                on=monday_of(week.on) + timedelta(days=loose.weekday),
                alternatives=(),
                relation=week.relation,
                anchored=True,
            )
        if loose.kind == "vague" and loose.on is None and loose is one:
            return replace(week, vague=True)
    return None


def _repeat_and_other(frame: Frame, one: Piece, two: Piece) -> Piece | None:
    """ "weekly on fridays", "every week on monday", "every other day in the evening"."""
    del frame
    if one.kind == "repeat" and two.kind == "repeat" and one.recur and two.recur:
        if one.recur.unit == "week" and one.recur.weekday is None and two.recur.weekday is not None:
            return replace(one, recur=replace(one.recur, weekday=two.recur.weekday, part=two.recur.part))
        if one.recur.weekday is not None and two.recur.weekday is None and two.recur.unit == "week":
            return replace(one, recur=replace(two.recur, weekday=one.recur.weekday, part=one.recur.part))
        return None
    for again, day in ((one, two), (two, one)):
        if (
            again.recur
            and day.kind == "day"
            and day.weekday is not None
            and not day.anchored
            and again.recur.unit == "week"
            and again.recur.weekday is None
        ):
            return replace(
                again,
                recur=replace(again.recur, weekday=day.weekday),
                clock=again.clock or day.clock,
                part=again.part or day.part,
            )
    return None


def _instant_and_day(frame: Frame, one: Piece, two: Piece) -> Piece | None:
    """ "today in one hour": the exact minute says it all."""
    del frame
    for exact, day in ((one, two), (two, one)):
        if exact.kind == "instant" and day.kind == "day" and day.on == exact.on:
            return exact
    return None


JOINTS: tuple[Callable[[Frame, Piece, Piece], Piece | None], ...] = (
    _clock_and_other,
    _part_and_other,
    _weekday_in_period,
    _day_and_day,
    _repeat_and_other,
    _instant_and_day,
)
