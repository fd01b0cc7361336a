"""Dates in free text: days, clock times, parts of the day, ranges and repeats, with the words they were read from."""

from __future__ import annotations

from datetime import datetime

from bot.language.dates.answer import date_answer
from bot.language.dates.finish import finished
from bot.language.dates.join import joined
from bot.language.dates.model import DateSpan, Frame, Prefer, Recurrence
from bot.language.dates.rules import pieces
from bot.language.dates.scan import Scan

__all__ = ["DateSpan", "Prefer", "Recurrence", "date_answer", "read_dates"]


def read_dates(text: str, now: datetime, prefer: Prefer, *, day_first: bool = True) -> tuple[DateSpan, ...]:
    """Read every date in a text.

    `now` is the keeper's local clock, without a zone; `prefer` says which way open dates point. 3/4 is the third of
    April, or with `day_first` False the fourth of March. Spans come in text order and do not overlap.
    """
    scan = Scan(text, Frame(now, prefer, day_first))
    spans: list[DateSpan] = []
    floor = 0
    for piece in joined(scan, pieces(scan)):
        span, floor = finished(scan, piece, floor)
        spans.append(span)
    return tuple(spans)
