"""Joining pieces that touch ("yesterday evening at 9", "friday, 9pm", "monday the 24th", "may 3 to may 5") into spans."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

from bot.language.dates.model import Frame, Piece
from bot.language.dates.ranges import between_pieces
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
        "\u2013",
        "(",
        ")",
        "during",
        "exactly",
        "like",
    }
)
WHOLE_WORDS = frozenset({"am", "pm", "m", "now", "ago", "noon", "day", "days", "week", "year", "eve", "dawn", "dusk"})
"""Short words that are none of those written with a full stop."""

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
    now = "," in gap and scan.word(two.first) == "now"  # "six came today, now 14 in there"
    if now or len(gap) > 4 or scan.text.find("\n", scan.tokens[one.last - 1].end, scan.tokens[two.first].start) >= 0:
        return None
    if ranged := between_pieces(scan, one, two, gap):
        return ranged
    if (
        gap == ["or"]
        and one.kind == two.kind == "day"
        and one.surely
        and two.surely
        and one.on
        and two.on
        and one.on != two.on
    ):
        return Piece(
            "vague",
            one.first,
            two.last,
            vague=True,
            alternatives=(one.on, two.on),
            part=one.part,
            relation=one.relation or two.relation,
        )
    if not GAP.issuperset(gap) or not _stop_allowed(scan, one, gap) or (one.impossible and one.kind == "clock"):
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
        and scan.word(one.last - 1) not in WHOLE_WORDS
    )


def _surely(one: Piece, two: Piece, gap: list[str]) -> bool:
    """A weak reading beside a sure one is sure; two weak ones make each other so if both touch a day."""
    if one.surely or two.surely:
        return True
    return {one.kind, two.kind} & DATED != set() and one.kind != two.kind and "," not in gap


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
    return replace(other, part=part.part, clock=other.clock or part.clock)


def _day_and_day(frame: Frame, one: Piece, two: Piece) -> Piece | None:
    """Two words for one day: "monday the 24th", "Jun 21 Wed", "tomorrow 16 Nov", "friday in 3 days"."""
    if one.kind != "day" or two.kind != "day" or one.on is None or two.on is None:
        return _impossible_with_weekday(one, two)
    clock, part = one.clock or two.clock, one.part or two.part
    if one.clock and two.clock:
        return None
    for loose, firm in ((one, two), (two, one)):
        if loose.weekday is not None and not (firm.weekday is not None):
            pinned = _weekday_beside(frame, loose, firm)
            return pinned and replace(pinned, clock=clock, part=part)
    if one.on == two.on or (
        one.relation
        and two.yearless
        and one.unit is None
        and one.weekday is None
        and abs((one.on - two.on).days) <= 366
        and one.yearless is False
        and one.dom is None
    ):
        return replace(two if two.yearless else one, on=two.on if two.yearless else one.on, clock=clock, part=part)
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
    """Read "friday next week", "next week on Friday", "sometime last week", "saturday last weekend"."""
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
    """Read "weekly on fridays", "every week on monday", "every other day in the evening"."""
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
    """Read "today in one hour": the exact minute says it all."""
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
