"""Rules for days told from today: "yesterday", "last friday", "the day before yesterday", "a week last tuesday", feasts."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from bot.language.dates.amounts import amount, stretch
from bot.language.dates.doubt import weekday_stands
from bot.language.dates.model import Piece, side
from bot.language.dates.reckon import monday_of, moved, weekday_from, weekday_near, yearless
from bot.language.dates.scan import Scan

BACK = frozenset({"last", "past"})
AHEAD = frozenset({"coming", "following", "upcoming"})


def day_word(scan: Scan, at: int) -> Piece | None:
    """Read "today", "2day", "yesterday", "tomorrow", "next day", "earlier today"; also "today's date" is not one."""
    word, tables = scan.word(at), scan.tables
    if word in tables.days:
        step = tables.days[word]
        return Piece("day", at, at + 1, on=moved(scan.frame.today, days=step), relation=side(step))
    if scan.word(at) == "2" and scan.glued(at + 1) and scan.word(at + 1) == "day":
        return Piece("day", at, at + 2, on=scan.frame.today)
    if word in {"next", "last"} and scan.word(at + 1) == "day" and scan.ends(at + 2):
        ahead = word == "next"
        return Piece(
            "day",
            at,
            at + 2,
            on=moved(scan.frame.today, days=1 if ahead else -1),
            relation="future" if ahead else "past",
        )
    return None


def beside_day(scan: Scan, at: int) -> Piece | None:
    """Read "the day before yesterday", "day after tomorrow", "2 days before yesterday", "the night before last"."""
    step = scan.skip(at, "the")
    if scan.word(step) in {"night", "nite"} and scan.phrase(step + 1, "before", "last"):
        return Piece(
            "day", at, step + 3, on=moved(scan.frame.today, days=-2), part="night", relation="past", anchored=True
        )
    counted = amount(scan, step)
    step = counted.last if counted else step
    if scan.word(step) not in {"day", "days", "dy"}:
        return None
    count = int(counted.low) if counted else 1
    if scan.phrase(step + 1, "before", "yesterday") and count < 100:
        return Piece("day", at, step + 3, on=moved(scan.frame.today, days=-1 - count), relation="past")
    if scan.phrase(step + 1, "after", "tomorrow") and count < 100:
        return Piece("day", at, step + 3, on=moved(scan.frame.today, days=1 + count), relation="future")
    return None


def weekday(scan: Scan, at: int) -> Piece | None:
    """Read "friday", "last friday", "next tues", "this coming sat", "friday gone", "friday after next", "tuesday week"."""
    step = scan.skip(at, "this", "the") if scan.word(at + 1) in BACK | AHEAD | {"this"} else at
    which = scan.word(step)
    if which in BACK | AHEAD | {"next", "this"}:
        named = scan.tables.weekdays.get(scan.word(step + 1))
        return None if named is None else _chosen(scan, (at, step + 2), which, named)
    named = scan.tables.weekdays.get(which)
    if named is None or at != step:
        return None
    last = (
        at + 2
        if scan.word(at + 1) == "." and _abbreviated(scan, at) and not scan.ends(at + 2) and scan.glued(at + 1)
        else at + 1
    )
    return _followed(scan, at, named) or _plain(scan, at, last, named)


def _abbreviated(scan: Scan, at: int) -> bool:
    """Whether a full stop here ends a shortened word and not the sentence: what follows is a figure or a month."""
    return len(scan.word(at)) <= 5 and (scan.number(at + 2) is not None or scan.word(at + 2) in scan.tables.months)


def _plain(scan: Scan, at: int, last: int, named: int) -> Piece:
    on = weekday_near(scan.frame, named)
    other = (scan.frame.today,) if scan.frame.today.weekday() == named else ()
    return Piece("day", at, last, on=on, weekday=named, alternatives=other, surely=weekday_stands(scan, at, last))


def _chosen(scan: Scan, span: tuple[int, int], which: str, named: int) -> Piece:
    """A weekday with the word that chooses it. "next" is the one of next week; the nearest is its other reading."""
    today = scan.frame.today
    back = today - timedelta(days=(today.weekday() - named) % 7 or 7)
    ahead = weekday_from(today + timedelta(days=1), named)
    if which in BACK:
        return Piece(
            "day",
            *span,
            on=back,
            weekday=named,
            relation="past",
            alternatives=(back - timedelta(days=7),),
            anchored=True,
        )
    if which in AHEAD:
        return Piece("day", *span, on=ahead, weekday=named, relation="future", anchored=True)
    if which == "next":
        on = monday_of(today) + timedelta(days=7 + named)
        others = tuple(day for day in (ahead, on + timedelta(days=7)) if day != on)
        return Piece("day", *span, on=on, weekday=named, relation="future", alternatives=others[:1], anchored=True)
    on = back if scan.frame.past else ahead
    if today.weekday() == named:
        return Piece("day", *span, on=today, weekday=named, alternatives=(on,), anchored=True)
    return Piece("day", *span, on=on, weekday=named, anchored=True)


def _followed(scan: Scan, at: int, named: int) -> Piece | None:
    """A weekday chosen by the words after it."""
    today, after = scan.frame.today, at + 1
    ahead = weekday_from(today + timedelta(days=1), named)
    back = today - timedelta(days=(today.weekday() - named) % 7 or 7)
    if scan.phrase(after, "after", "next"):
        return Piece("day", at, after + 2, on=ahead + timedelta(days=7), relation="future", anchored=True)
    if scan.phrase(after, "before", "last"):
        return Piece("day", at, after + 2, on=back - timedelta(days=7), relation="past", anchored=True)
    gone = scan.skip(after, "just")
    if scan.word(gone) in {"gone", "past"} and not scan.number(gone + 1):
        return Piece("day", at, gone + 1, on=back, relation="past", anchored=True)
    if scan.word(after) in {"last", "next"} and scan.ends(after + 1):
        return replace(_chosen(scan, (at, after + 1), scan.word(after), named), first=at)
    if scan.word(after) in {"week", "wk"}:
        return _week_on(scan, at, named)
    return None


def _week_on(scan: Scan, at: int, named: int) -> Piece | None:
    """Read "friday week ago" is the Friday before the last one; "tuesday week" a week after the coming one."""
    today = scan.frame.today
    if scan.word(at + 2) == "ago":
        on = today - timedelta(days=((today.weekday() - named) % 7 or 7) + 7)
        return Piece("day", at, at + 3, on=on, relation="past", anchored=True)
    on = weekday_from(today + timedelta(days=1), named) + timedelta(days=7)
    return Piece("day", at, at + 2, on=on, relation="future", anchored=True)


def weeks_from_weekday(scan: Scan, at: int) -> Piece | None:
    """Read "a week last tuesday", "a week ago friday", "a week on friday", "2 fridays ago", "three sundays from now"."""
    counted = amount(scan, at)
    if counted is None or counted.guess or not 1 <= counted.low <= 100:
        return None
    count, step = int(counted.low), counted.last
    today = scan.frame.today
    named = (
        scan.tables.weekdays.get(scan.word(step).removesuffix("s"))
        if scan.word(step).endswith("s")
        else scan.tables.weekdays.get(scan.word(step))
    )
    if named is not None and counted.last:
        return _counted_weekdays(scan, (at, step + 1), count, named)
    if scan.word(step) not in {"week", "weeks", "wk", "wks"}:
        return None
    middle = scan.word(step + 1)
    step = scan.skip(step + 1, "ago", "last", "past", "on", "this", "next", "from", "coming")
    named = scan.tables.weekdays.get(scan.word(step))
    if named is None or middle not in {"ago", "last", "past", "on", "next", "from", "this", "coming"}:
        return None
    if middle in {"ago", "last", "past"}:
        back = (today.weekday() - named) % 7 or 7
        return Piece("day", at, step + 1, on=today - timedelta(days=back + 7 * count), relation="past", anchored=True)
    on = weekday_from(today + timedelta(days=1), named) + timedelta(days=7 * count)
    return Piece("day", at, step + 1, on=on, relation="future", anchored=True)


def _counted_weekdays(scan: Scan, span: tuple[int, int], count: int, named: int) -> Piece | None:
    today, last = scan.frame.today, span[1]
    if scan.word(last) in {"ago", "back"}:
        back = (today.weekday() - named) % 7 or 7
        return Piece(
            "day", span[0], last + 1, on=today - timedelta(days=back + 7 * (count - 1)), relation="past", anchored=True
        )
    if scan.phrase(last, "from", "now") or scan.word(last) == "hence":
        on = weekday_from(today + timedelta(days=1), named) + timedelta(days=7 * (count - 1))
        return Piece(
            "day", span[0], last + (2 if scan.word(last) == "from" else 1), on=on, relation="future", anchored=True
        )
    return None


def weeks_from_today(scan: Scan, at: int) -> Piece | None:
    """Read "a week today", "two weeks tomorrow", "a week ago yesterday"."""
    told = stretch(scan, at, bare_unit=True)
    if told is None or told.guess or told.unit not in {"week", "fortnight", "month", "year"}:
        return None
    back = scan.word(told.last) == "ago"
    step = scan.skip(told.last, "ago", "from")
    away = scan.tables.days.get(scan.word(step))
    if away is None or (step > told.last + 1):
        return None
    sign = -1 if back else 1
    on = moved(scan.frame.today, months=sign * told.months, days=sign * int(told.days) + away)
    return (
        None
        if on is None
        else Piece("day", at, step + 1, on=on, unit=told.unit, relation="past" if back else "future", anchored=True)
    )


def feast(scan: Scan, at: int) -> Piece | None:
    """Read "christmas eve", "new year's day", "halloween"."""
    for name, (month, day) in scan.tables.feasts.items():
        if scan.word(at) == name[0] and scan.phrase(at, *name):
            if len(name) == 1 and name[0] in {"christmas", "xmas"} and scan.word(at - 1) in {"merry", "happy"}:
                return None
            near = yearless(scan.frame, month, day)
            return Piece("day", at, at + len(name), on=near.on, this_year=near.this_year, yearless=True)
    return None
