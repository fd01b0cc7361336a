"""What a push asks, and the answers it offers."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, time, timedelta

from bot.reminders.model import Point

ALL_DONE, ONE_BY_ONE, LATER = "all done", "one by one", "later"
DONE, SKIP = "done", "skip this once"
OUT, WEBBING, NOTHING_YET = "out", "webbing", "nothing yet"
EATEN, TAKEN_OUT = "eaten", "taken out"

LATER_MEANS = timedelta(hours=2)

_CHOICES = {
    "task": (DONE, LATER, SKIP),
    "look-in": (OUT, WEBBING, NOTHING_YET, LATER),
    "leftovers": (EATEN, TAKEN_OUT, LATER),
}

_SAYINGS = {
    ALL_DONE: r"all (done|of it|of them)|(did|done) (it )?(all|everything)|everything( is)? done|all finished",
    ONE_BY_ONE: r"(go )?(one (by|at a) (one|time)|each|single|step by step)",
    DONE: r"(is |it'?s )?(done|did it|did|finished|yes|yep|ok done)( it)?( now)?",
    LATER: r"(not now|later( on)?|snooze|remind me (again )?later|not yet)",
    SKIP: r"skip( (it|this|that|this one))?( (this )?once)?|not this time|pass",
    OUT: r"(yes,? |seen,? )?(they'?re |it'?s |she'?s |he'?s )?(all )?(out|seen|yes)",
    WEBBING: r"(some |new |fresh )?web(bing|s)?( up)?",
    NOTHING_YET: r"nothing( yet| seen)?|no( sign| one| sign of (them|it))?( yet)?|not seen|none|still hid(ing|den)|hiding",
    EATEN: r"(yes,? )?(it'?s |it was |all )?(eaten|gone|ate( it)?)",
    TAKEN_OUT: r"(i )?(took|taken|take|pulled|got) (it|them|out)( out)?|taken out|removed|out",
}
_DISTANCE = re.compile(
    r"(?:snooze |remind me |again |later,? )*(?:for |in )?(?P<count>\d{1,3}|an?|one|two|three|four|half an) ?"
    r"(?P<unit>h|hrs?|hours?|m|mins?|minutes?|d|days?)",
    re.IGNORECASE,
)
_DAY = re.compile(
    r"(?:snooze |remind me |again |until |till |later,? )*(?P<when>tomorrow|tonight|this evening)", re.IGNORECASE
)
_COUNTS = {"a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "half an": 0.5}
_UNITS = {"h": timedelta(hours=1), "m": timedelta(minutes=1), "d": timedelta(days=1)}

_EVENING = time(19)


def choices(point: Point) -> tuple[str, ...]:
    """The answers that one point offers."""
    return _CHOICES[point.sort]


def tasks(points: Sequence[Point]) -> list[Point]:
    """The points that "all done" is about."""
    return [point for point in points if point.sort == "task"]


def question(points: Sequence[Point]) -> str:
    """The question of the first point, with how many there are after it."""
    first, more = points[0], len(points) - 1
    text = f"{first.text}?" if first.sort == "task" else first.text
    return text if not more else f"{text} ({more} more after this)"


def chosen(text: str, offered: Sequence[str]) -> str | None:
    """The answer that a text picks of those offered, by number or in words; None for another text."""
    said = plain(text)
    if said.isdecimal() and said.isascii() and len(said) < 3:
        return offered[int(said) - 1] if 1 <= int(said) <= len(offered) else None
    return next((one for one in offered if said == one or re.fullmatch(_SAYINGS[one], said)), None)


def put_off(text: str, now: datetime, morning_at: time) -> datetime | None:
    """The local time to which a text puts something off ("in 2 hours", "tomorrow"); None for another text. `now` is local."""
    said = plain(text)
    distance = _DISTANCE.fullmatch(said)
    if distance is not None:
        count = distance["count"].lower()
        number = _COUNTS[count] if count in _COUNTS else float(count)
        return now + number * _UNITS[distance["unit"][0].lower()] if number > 0 else None
    named = _DAY.fullmatch(said)
    if named is None:
        return None
    if named["when"].lower() == "tomorrow":
        return datetime.combine(_next(now.date()), morning_at)
    evening = datetime.combine(now.date(), _EVENING)
    return evening if evening > now else now + LATER_MEANS


def plain(text: str) -> str:
    """A text for comparison: lower case, single spaces, no marks around it."""
    return " ".join(text.lower().replace("\u2019", "'").split()).strip(" .!,")


def _next(day: date) -> date:
    return day + timedelta(days=1)
