"""Rules for distances and lengths: "3 days ago", "in two weeks", "10 minutes later", "a week after tomorrow", "for ten days"."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta

from bot.language.dates.amounts import Stretch, stretch
from bot.language.dates.model import Clock, Piece, side
from bot.language.dates.reckon import moved
from bot.language.dates.scan import DASHES, Scan

ROUGHLY = (
    "about",
    "around",
    "roughly",
    "approx",
    "approximately",
    "nearly",
    "almost",
    "maybe",
    "like",
    "~",
    "only",
    "just",
    "over",
    "another",
)

Day = Callable[[Scan, int], Piece | None]


def distance(scan: Scan, at: int) -> Piece | None:
    """A distance from now that begins here: "a fortnight ago", "in about 5 hours", "3w later", "now - 1 day"."""
    word = scan.word(at)
    if word in {"in", "within"}:
        return _ahead(scan, at)
    if word == "now" and scan.word(at + 1) in DASHES:
        told = stretch(scan, at + 2)
        return _piece(scan, (at, told.last), told, -1) if told else None
    told = stretch(scan, at, bare_unit=scan.word(at - 1) not in {"last", "next", "this", "the", "per", "each", "every"})
    if told is None:
        return None
    sign, last = _direction(scan, told.last)
    return _piece(scan, (at, last), told, sign) if sign else None


def _direction(scan: Scan, at: int) -> tuple[int, int]:
    """-1 for the past, 1 for the future, 0 where the words say neither; and the position after them."""
    word = scan.word(at)
    if word in {"ago", "back", "earlier"}:
        return -1, at + 1
    if word in {"later", "hence"} and not scan.frame.past:
        return 1, at + 1
    if word == "out" and scan.ends(at + 1) and not scan.frame.past:
        return 1, at + 1
    if word == "from":
        step = scan.skip(at + 1, "right")
        if scan.word(step) == "today" or (scan.word(step) == "now" and scan.word(step + 1) != "on"):
            return 1, step + 1
    return 0, at


def _ahead(scan: Scan, at: int) -> Piece | None:
    """Read "in 3 days". In a log it is a length as well ("hasn't eaten in two weeks"), so it carries `days` too."""
    step = scan.skip(at + 1, *ROUGHLY)
    told = stretch(scan, step)
    if told is None or scan.word(told.last) in {"ago", "back", "old"} or scan.word(told.last + 1) == "ago":
        return None
    last = told.last
    if scan.word(last) == "'" or (scan.word(last) == "time" and scan.word(last - 1) in scan.tables.units):
        last = scan.skip(last, "'", "time")
    piece = _piece(scan, (at, last), told, 1)
    return piece and replace(piece, days=length(told), relation="future")


def length(told: Stretch) -> int | None:
    """A length in whole days; months count 30; None where it is less than a day."""
    days = told.months * 30 + told.days + told.minutes / 1440
    return round(days) if days >= 1 else None


def _piece(scan: Scan, span: tuple[int, int], told: Stretch, sign: int) -> Piece | None:
    now = scan.frame.now
    if told.minutes:
        moment = _moment(now, told, sign)
        if moment is not None and told.guess and sign < 0:
            return Piece("day", *span, on=moment.date(), relation="past", anchored=True)
        return None if moment is None else Piece("instant", *span, on=moment.date(), moment=moment, relation=side(sign))
    near = moved(now.date(), months=sign * told.months, days=sign * int(told.days))
    far = moved(now.date(), months=sign * told.months, days=sign * _ceiling(told.days_high))
    if near is None or far is None:
        return None
    part = "night" if told.unit == "night" else None
    base = Piece("day", *span, on=near, part=part, relation=side(sign), unit=told.unit, anchored=True)
    several = told.days_high - told.days >= 1 and not told.guess
    if sign < 0 and (told.guess or several):
        guesses = (near,) if told.guess else tuple(_each(near, far))
        return replace(base, kind="vague", on=None, vague=True, alternatives=guesses)
    return replace(base, alternatives=(far,) if far != near and not told.guess else ())


def _each(near: date, far: date) -> list[date]:
    """The days from `near` back to `far`, at most five."""
    return [near - timedelta(days=step) for step in range(min(5, (near - far).days + 1))]


def _ceiling(value: float) -> int:
    return -int(-value // 1)


def _moment(now: datetime, told: Stretch, sign: int) -> datetime | None:
    day = moved(now.date(), months=sign * told.months, days=sign * int(told.days))
    if day is None:
        return None
    try:
        return datetime.combine(day, now.time().replace(second=0, microsecond=0)) + timedelta(
            minutes=sign * told.minutes
        )
    except OverflowError:
        return None


def from_day(day: Day) -> Day:
    """Build the rule for a distance from another day: "a week after tomorrow", "2 weeks from January 15", "3 days before friday"."""

    def rule(scan: Scan, at: int) -> Piece | None:
        told = stretch(scan, at)
        if told is None or told.minutes or told.guess:
            return None
        sign = {"after": 1, "from": 1, "before": -1}.get(scan.word(told.last))
        anchor = day(scan, told.last + 1) if sign else None
        if anchor is None or anchor.on is None or sign is None:
            return None
        ends = [
            moved(there, months=sign * told.months, days=sign * int(told.days))
            for there in (anchor.on, *anchor.alternatives)
        ]
        others = tuple(there for there in ends[1:] if there)
        relation = side(-1 if ends[0] and ends[0] < scan.frame.today else 1)
        return (
            Piece(
                "day",
                at,
                anchor.last,
                on=ends[0],
                unit=told.unit,
                alternatives=others,
                relation=relation,
                anchored=True,
            )
            if ends[0]
            else None
        )

    return rule


def from_clock(clock: Day) -> Day:
    """Build the rule for a distance from a clock time: "5 hours after 12pm", "an hour before noon"."""

    def rule(scan: Scan, at: int) -> Piece | None:
        told = stretch(scan, at)
        sign = {"after": 1, "from": 1, "past": 1, "before": -1}.get(scan.word(told.last)) if told else None
        if told is None or sign is None or not 0 < told.minutes < 720 or told.days or told.months:
            return None
        anchor = clock(scan, told.last + 1)
        if anchor is None or anchor.clock is None or anchor.clock.half_day:
            return None
        hour, minute = divmod((anchor.clock.hour * 60 + anchor.clock.minute + sign * round(told.minutes)) % 1440, 60)
        return Piece("clock", at, anchor.last, clock=Clock(hour, minute))

    return rule


def lasting(scan: Scan, at: int) -> Piece | None:
    """Read "for three days", "for over a week", "over two weeks": a length without a day, carried as `days`."""
    led = scan.word(at) in {"for", "over", "since"}
    told = stretch(scan, scan.skip(at + 1, "the", *ROUGHLY) if led else at)
    if (
        told is None
        or not (led or scan.word(told.last) in {"since", "without"})
        or scan.word(told.last) in {"ago", "old", "back", "from", "later"}
    ):
        return None
    days = length(told)
    return Piece("length", at, told.last, days=days) if days else None
