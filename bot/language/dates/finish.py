"""Turning joined pieces into spans: which eight o'clock, which day a bare "9pm" or "in the evening" is on, leading words."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from bot.language.dates.model import Clock, DateSpan, Frame, Piece, Recurrence
from bot.language.dates.parts import STARTS
from bot.language.dates.scan import Scan

GRACE = timedelta(minutes=10)
"""A clock time this little ahead of a log's "now" was rounded by the keeper, and is still today's."""

PREPOSITIONS = frozenset(
    {
        "on",
        "at",
        "@",
        "in",
        "since",
        "until",
        "till",
        "by",
        "from",
        "for",
        "over",
        "during",
        "around",
        "about",
        "before",
        "after",
        "throughout",
        "through",
        "starting",
        "between",
    }
)
ROUNDED = frozenset({"around", "about", "~", "roughly", "approx", "like", "just", "only", "exactly", "back"})


def finished(scan: Scan, piece: Piece, floor: int) -> tuple[DateSpan, int]:
    """The span of a piece, with its leading preposition and every open question of day and half-day settled.

    The span begins no sooner than token `floor`; the token after it is returned too.
    """
    first, lead = _led(scan, piece, floor)
    last, opens = _trailed(scan, piece, lead)
    on, at = _timed(scan.frame, piece)
    start, end = scan.tokens[first].start, scan.tokens[last - 1].end
    span = DateSpan(
        start,
        end,
        scan.text[start:end],
        on=on,
        until=None if lead in {"since", "until", "till", "by", "before"} else piece.until,
        at=at,
        part=piece.part,
        recur=_recurring(piece),
        days=piece.days,
        since=lead == "since" or opens or piece.since,
        till=lead in {"until", "till", "by", "before"} and piece.kind in {"day", "period"},
        relation=piece.relation,
        alternatives=tuple(day for day in piece.alternatives if day != on),
        this_year=piece.this_year,
        impossible=piece.impossible,
        vague=piece.vague,
        surely=piece.surely,
    )
    if piece.recur:
        span = replace(span, on=None, at=None, part=None)
    return span, last


def _led(scan: Scan, piece: Piece, floor: int) -> tuple[int, str]:
    """The first token of the span with its leading words, and the preposition among them."""
    first = piece.first
    if scan.word(first) in PREPOSITIONS:
        return first, scan.word(first)
    while first > floor and scan.word(first - 1) in ROUNDED | {"the"}:
        first -= 1
    lead = scan.word(first - 1) if first > floor else ""
    if lead in PREPOSITIONS and _belongs(lead, piece):
        first -= 1
        if first > floor and lead in {"around", "about"} and scan.word(first - 1) == "at":
            first -= 1
        return first, lead
    return (piece.first, "") if not _article_belongs(scan, first, piece) else (first, "")


def _article_belongs(scan: Scan, first: int, piece: Piece) -> bool:
    return (
        first < piece.first and scan.word(first) in ROUNDED and scan.word(first) not in {"just", "only", "like", "back"}
    )


def _belongs(lead: str, piece: Piece) -> bool:
    """Whether a preposition goes with this kind of expression ("in" goes with March, not with Friday)."""
    if lead in {"in", "during", "throughout", "through"}:
        return piece.kind in {"period", "part"} or piece.unit in {"month", "edge"}
    if lead in {"for", "over"}:
        return piece.kind in {"period", "length"} or piece.dom is not None
    if lead == "between":
        return piece.kind == "period"
    return piece.kind != "repeat" or lead in {"on", "at"}


def _trailed(scan: Scan, piece: Piece, lead: str) -> tuple[int, bool]:
    """The position after the span, and whether it opens a stretch: "from monday on", "friday onwards", "from now on"."""
    last = piece.last
    if (
        lead in {"from", "starting"}
        and piece.kind in {"day", "period", "instant"}
        and not (piece.until and piece.unit == "days")
    ):
        if scan.word(last) in {"on", "onwards", "onward"}:
            return last + 1, True
        return last, True
    if scan.word(last) in {"onwards", "onward"}:
        return last + 1, True
    return last, False


def _recurring(piece: Piece) -> Recurrence | None:
    """The repeat with its clock time; a time told makes the part of the day needless."""
    recur = piece.recur
    if recur is None:
        return None
    if piece.clock is None:
        return replace(recur, part=piece.part or recur.part)
    at = _half(piece.clock, piece.part or recur.part)
    return replace(recur, time=time(*at), part=None)


def _timed(frame: Frame, piece: Piece) -> tuple[date | None, time | None]:
    """The day and the clock time of a piece."""
    if piece.moment:
        return piece.moment.date(), piece.moment.time()
    if piece.recur or piece.impossible:
        return None, None
    if piece.clock:
        return _clock_day(frame, piece, piece.clock)
    if piece.kind == "part" and piece.part:
        return _part_day(frame, piece.part, led=piece.anchored), None
    return piece.on, None


def _part_day(frame: Frame, part: str, *, led: bool) -> date:
    """The day of a part of the day told alone: the latest that has begun, or the next to begin."""
    begins = datetime.combine(frame.today, time(STARTS[part]))
    if frame.past:
        return frame.today - timedelta(days=1) if led and begins > frame.now else frame.today
    return frame.today if begins > frame.now else frame.today + timedelta(days=1)


@dataclass(frozen=True, slots=True)
class _Moment:
    day: date
    hour: int
    minute: int

    @property
    def when(self) -> datetime:
        return datetime.combine(self.day, time(self.hour, self.minute))


def _clock_day(frame: Frame, piece: Piece, clock: Clock) -> tuple[date | None, time | None]:
    """Settle the half of the day, and the day where none is told."""
    if piece.kind == "vague":
        return None, None
    day = piece.on
    if day is None:
        return _nearest(frame, piece, clock)
    hour, minute = _half(clock, piece.part)
    if clock.half_day and not piece.part and day == frame.today:
        hour = _half_today(frame, clock)
    if piece.part == "night" and hour < 4 and piece.anchored:
        day += timedelta(days=1)
    return day, time(hour, minute)


def _half(clock: Clock, part: str | None) -> tuple[int, int]:
    """Hour and minute where nothing but the part of the day tells which half is meant.

    Without one, figures with minutes are read as written, and a bare hour before eight is in the afternoon.
    """
    hour = clock.hour % 12
    if not clock.half_day:
        later = part in {"evening", "afternoon"} and 1 <= clock.hour < 12 and clock.figures
        return (hour + 12 if later else clock.hour), clock.minute
    if part is not None:
        ahead = part in {"afternoon", "evening"} or (part == "night" and hour >= 5)
        return (hour + 12 if ahead else hour), clock.minute
    if clock.figures:
        return clock.hour, clock.minute
    return (hour + 12 if hour < 8 or (hour == 8 and clock.minute) else hour), clock.minute


def _half_today(frame: Frame, clock: Clock) -> int:
    """Of the two clock times of today, the latest at or before now, or the next one."""
    both = [_Moment(frame.today, hour, clock.minute) for hour in (clock.hour % 12, clock.hour % 12 + 12)]
    if frame.past:
        return max(
            (told for told in both if told.when <= frame.now + GRACE), key=lambda told: told.when, default=both[0]
        ).hour
    return min((told for told in both if told.when >= frame.now), key=lambda told: told.when, default=both[1]).hour


def _nearest(frame: Frame, piece: Piece, clock: Clock) -> tuple[date, time]:
    """The latest such clock time at or before now, or the next one after it."""
    open_half = clock.half_day and piece.part is None
    hours = (clock.hour % 12, clock.hour % 12 + 12) if open_half else (_half(clock, piece.part)[0],)
    days = (
        (frame.today, frame.today - timedelta(days=1)) if frame.past else (frame.today, frame.today + timedelta(days=1))
    )
    both = [_Moment(day, hour, clock.minute) for day in days for hour in hours]
    if frame.past:
        chosen = max((told for told in both if told.when <= frame.now + GRACE), key=lambda told: told.when)
    else:
        chosen = min(
            (told for told in both if told.when >= frame.now.replace(second=0, microsecond=0)),
            key=lambda told: told.when,
        )
    return chosen.day, time(chosen.hour, chosen.minute)
