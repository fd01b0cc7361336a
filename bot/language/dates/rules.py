"""All the rules, and the walk over a text that tries them: at each word the longest reading wins, ties go to the first."""

from __future__ import annotations

from collections.abc import Callable

from bot.language.dates import clocks, days, distances, figures, loose, odd, parts, periods, ranges, repeats, written
from bot.language.dates.model import Piece
from bot.language.dates.scan import Scan

Rule = Callable[[Scan, int], Piece | None]


def one_day(scan: Scan, at: int) -> Piece | None:
    """The longest reading of a single day that begins here; what "a week after ..." counts from."""
    return longest(scan, at, DAY_RULES)


DAY_RULES: tuple[Rule, ...] = (
    days.beside_day,
    days.day_word,
    figures.figures,
    odd.marked_date,
    written.calendar_date,
    written.weekday_of_month,
    days.weeks_from_weekday,
    days.weekday,
    days.weeks_from_today,
    days.feast,
    written.month_day,
)

RULES: tuple[Rule, ...] = (
    repeats.listed_days,
    repeats.repeat,
    distances.from_day(one_day),
    *DAY_RULES,
    distances.distance,
    distances.from_clock(clocks.clock),
    distances.lasting,
    periods.week_of(one_day),
    ranges.days_of_month,
    periods.counted_period,
    periods.later_this,
    periods.week_of_month,
    periods.rest_of,
    periods.rolling_period,
    periods.calendar_period,
    periods.named_month,
    parts.anchored_part,
    clocks.clock,
    parts.bare_part,
    loose.vague_words,
    loose.now_word,
    loose.from_now_on,
    periods.this_time,
)

WORDS_ONLY: frozenset[Rule] = frozenset(
    {
        repeats.listed_days,
        days.weekday,
        days.feast,
        periods.counted_period,
        periods.later_this,
        periods.week_of_month,
        periods.rest_of,
        periods.rolling_period,
        periods.calendar_period,
        periods.named_month,
        parts.bare_part,
        loose.vague_words,
        loose.now_word,
        loose.from_now_on,
        periods.this_time,
    }
)
"""Rules whose expressions never begin with a figure."""

FIGURE_RULES: tuple[Rule, ...] = tuple(rule for rule in RULES if rule not in WORDS_ONLY)

BEGINNERS = frozenset({*repeats.ADVERBS, *repeats.TIMES, *(phrase[0] for phrase in parts.SOFT), "½", "noontime"})
"""First words of repeats and soft parts of the day; the word tables hold the other words that may begin a date."""


def longest(scan: Scan, at: int, rules: tuple[Rule, ...]) -> Piece | None:
    """The longest piece that begins at a position; a sure one before a weak one of its length."""
    best: Piece | None = None
    for rule in rules:
        piece = rule(scan, at)
        if piece and (best is None or (piece.last, piece.surely) > (best.last, best.surely)):
            best = piece
    return best


def pieces(scan: Scan) -> list[Piece]:
    """All pieces of a text, left to right, not overlapping."""
    found: list[Piece] = []
    at, end = 0, len(scan)
    while at < end:
        piece = _begun(scan, at)
        if piece is None:
            at += 1
        else:
            found.append(piece)
            at = max(piece.last, at + 1)
    return found


def _begun(scan: Scan, at: int) -> Piece | None:
    """The piece that begins at a position; most words begin none, and cost one look-up."""
    token = scan.tokens[at]
    if token.number is not None:
        return None if token.named else longest(scan, at, FIGURE_RULES)
    if token.low in scan.tables.triggers or token.low in BEGINNERS:
        return longest(scan, at, RULES)
    return None
