"""The values that reading dates yields, and the piece that its rules hand to each other."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Literal

Prefer = Literal["past", "future"]
"""Which way an open date points: `past` for what was done, `future` for what is to come."""


def side(step: float) -> Prefer | None:
    """The past for a step back, the future for a step ahead, None for none."""
    if step == 0:
        return None
    return "past" if step < 0 else "future"


@dataclass(frozen=True, slots=True)
class Recurrence:
    """A repeat: every `n` of `unit` (day, week, month, year or hour), on `weekday` (0 is Monday) and at `time` where said.

    `every_days` is the same as a number of days: 3.5 for twice a week.
    """

    n: float
    unit: str
    weekday: int | None = None
    time: time | None = None
    part: str | None = None
    every_days: float | None = None


@dataclass(frozen=True, slots=True)
class DateSpan:
    """One expression of time in a text, with the characters it takes up and the day it means.

    on            the day, or the first day of a range; None where the words give no day
    until         the last day of a range, inclusive
    at            a clock time, or the minute of an exact distance ("half an hour ago")
    part          part of the day, only where said
    recur         a repeat ("every other day"); then `on` is None
    days          a length in days: "in the last ten days" 10, "for three days" 3, "this week" 7
    since, till   the day opens ("since march") or closes ("until friday") a stretch of time
    relation      past or future, where the words alone say it
    alternatives  other usual readings of `on`; the guesses where `vague` leaves `on` empty
    this_year     the same day and month in the year of now, for a calendar date told without a year
    impossible    no such day or time exists (31 February, 25:70)
    vague         no one day can be told ("the other day", "last week")
    surely        False for a weak reading ("on 4", a lone "sat"): drop it unless nothing else fits
    """

    start: int
    end: int
    words: str
    on: date | None = None
    until: date | None = None
    at: time | None = None
    part: str | None = None
    recur: Recurrence | None = None
    days: int | None = None
    since: bool = False
    till: bool = False
    relation: Prefer | None = None
    alternatives: tuple[date, ...] = ()
    this_year: date | None = None
    impossible: bool = False
    vague: bool = False
    surely: bool = True


@dataclass(frozen=True, slots=True)
class Frame:
    """What a reading depends on beside the text: the local clock, the way open dates point, the order of 3/4."""

    now: datetime
    prefer: Prefer = "past"
    day_first: bool = True

    @property
    def today(self) -> date:
        """The local date of now."""
        return self.now.date()

    @property
    def past(self) -> bool:
        """Whether open dates point back."""
        return self.prefer == "past"


@dataclass(frozen=True, slots=True)
class Clock:
    """A clock reading. `half_day` True: may be either of the two a day; `figures` True: written with minutes ("3:26")."""

    hour: int
    minute: int = 0
    half_day: bool = False
    figures: bool = False


@dataclass(frozen=True, slots=True)
class Piece:
    """What one rule found over tokens `first` to `last` (exclusive); pieces that touch are joined into a `DateSpan`.

    kind      day, clock, part, instant, repeat, period, length, vague
    weekday   a bare weekday that a neighbour may still pin down ("Monday" beside "the 24th")
    dom       a bare day of the month, likewise
    moment    an exact minute ("half an hour ago")
    unit      of a period (week, month, weekend) or a distance
    anchored  a part of the day that carries its own day ("this morning")
    """

    kind: str
    first: int
    last: int
    on: date | None = None
    until: date | None = None
    clock: Clock | None = None
    part: str | None = None
    recur: Recurrence | None = None
    days: int | None = None
    moment: datetime | None = None
    weekday: int | None = None
    dom: int | None = None
    unit: str | None = None
    yearless: bool = False
    anchored: bool = False
    since: bool = False
    till: bool = False
    relation: Prefer | None = None
    alternatives: tuple[date, ...] = ()
    this_year: date | None = None
    impossible: bool = False
    vague: bool = False
    surely: bool = True
