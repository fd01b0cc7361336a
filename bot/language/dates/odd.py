"""Calendar dates joined by marks with the year last ("14-Mar-26", "14/March/2026", "Mar-14-2026").

Their span is plain, but the order of their parts and the meaning of a short year are not: the library dateparser reads them.
It is slow to import, so that happens only when such a date is met, and it is given the date's own span, never a whole text.
"""

from __future__ import annotations

from datetime import date

from bot.language.dates.model import Piece
from bot.language.dates.scan import Scan

MARKS = frozenset({"-", "/", "."})


def marked_date(scan: Scan, at: int) -> Piece | None:
    """A day, a month's name and a year, each touching the mark between them, in either order of day and month."""
    if not _marked(scan, at):
        return None
    words = scan.text[scan.tokens[at].start : scan.tokens[at + 4].end]
    on = _parsed(words, day_first=scan.frame.day_first)
    return Piece("day", at, at + 5, on=on, impossible=on is None)


def _marked(scan: Scan, at: int) -> bool:
    day_first = scan.number(at) is not None and scan.word(at + 2) in scan.tables.months
    month_first = scan.word(at) in scan.tables.months and scan.number(at + 2) is not None
    touching = all(scan.glued(step) for step in range(at + 1, at + 5))
    marks = scan.word(at + 1) in MARKS and scan.word(at + 3) == scan.word(at + 1)
    return (day_first or month_first) and marks and touching and scan.digits(at + 4) in {2, 4}


def _parsed(words: str, *, day_first: bool) -> date | None:
    """The day that dateparser reads in a written date; None for one that does not exist (31-Feb-26)."""
    import dateparser  # noqa: PLC0415 - half a second to import, for the few messages that need it

    settings = {"DATE_ORDER": "DMY" if day_first else "MDY", "STRICT_PARSING": True}
    read = dateparser.parse(words, languages=["en"], settings=settings)
    return read.date() if read else None
