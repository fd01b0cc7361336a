"""A count against the book: what fits, what the book cannot explain, and what is unaccounted for.

The doctrine, common practice among keepers: a head not seen is never taken for dead; nobody digs to count, the next move is
the time; the first sign of losses is a falling take of prey. Time by itself changes neither the book nor what a count means.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from bot.care.headcount import LOSSES, UNTOLD, Count, Event, Number
from bot.care.intervals import Interval, wilson

AGREES, ABOVE, BELOW = "agrees", "above", "below"

NEXT_MOVE = "next_move"
"""When to count again: as they are moved anyway. Digging up a burrow to count does harm."""

LOOK_AT = ("hides", "lid", "remains", "size_spread")
"""What to look at, in this order, with heads unaccounted for: [common practice] hidden or webbed in, a way out, remains of
dead or eaten ones in the litter, and a size gap that lets the large eat the small."""

LATELY = timedelta(days=28)
BEFORE = timedelta(days=84)
LEAST_FEEDINGS = 3
"""Feedings in each of the two times, below which no fall in take is spoken of: our own rule."""


@dataclass(frozen=True, slots=True)
class Explanation:
    """An entry that may be wrong, or hold what the count found: `what` is last_count, loss, gain or young.

    last_count: the count or start the book rests on was short; loss: fewer went than told; gain: more came than told;
    young: hatched since, kept apart in the book and counted along. `at_most` heads can be explained so (None: any
    number); `enough`: the entry alone can explain the least of the excess.
    """

    what: str
    event: Event
    at_most: int | None
    enough: bool


@dataclass(frozen=True, slots=True)
class Reconciled:
    """A count held against the book, both as ranges; nothing is changed by it.

    `verdict` is agrees, above or below. `by` is by how many: above, the least and the most that the book cannot explain;
    below, the heads unaccounted for, so that counted and unaccounted make the book; (0, 0) where it agrees. High None: no upper end.
    `explanations` (above) come in the order of their days. `look_at` and `recount` (below) are keys, see LOOK_AT and NEXT_MOVE.
    `nothing_lost_since` is the day of the last loss on record, else of what the book rests on; `calm_days` the whole days since
    anything bore on the number. `basis` is how many entries the book rests on.
    """

    verdict: str
    book: Number
    counted: Number
    by: Number
    explanations: tuple[Explanation, ...]
    look_at: tuple[str, ...]
    recount: str | None
    nothing_lost_since: date | None
    calm_days: int | None
    basis: int


def reconcile(book: Count, counted: Number, on: date) -> Reconciled:
    """Hold a count of day `on` against the book as it stood before that count.

    `counted` is (46, 46) for an exact count, (38, 42) for "about 40", (12, None) for "at least 12", which can be above the
    book but never below it. A range that meets the book's range agrees. ValueError on a range upside down.
    """
    low, high = counted[0] or 0, counted[1]
    if low < 0 or (high is not None and high < low):
        raise ValueError(f"{counted} is no count.")
    verdict, by = _held(book, low, high)
    events = [*([book.basis] if book.basis else []), *book.since]
    last = max((event.on for event in events), default=None)
    return Reconciled(
        verdict,
        (book.low, book.high),
        (low, high),
        by,
        _explanations(book, by[0] or 0) if verdict == ABOVE else (),
        LOOK_AT if verdict == BELOW else (),
        NEXT_MOVE if verdict == BELOW else None,
        _nothing_lost_since(book),
        None if last is None else max(0, (on - last).days),
        len(events) + len(book.floors),
    )


def _held(book: Count, low: int, high: int | None) -> tuple[str, Number]:
    if book.high is not None and low > book.high:
        return ABOVE, (low - book.high, None if high is None else high - book.low)
    if high is not None and high < book.low:
        return BELOW, (book.low - high, None if book.high is None else book.high - low)
    return AGREES, (0, 0)


def _nothing_lost_since(book: Count) -> date | None:
    losses = [event.on for event in book.since if event.what in LOSSES]
    return max(losses, default=book.basis.on if book.basis else None)


def _explanations(book: Count, excess: int) -> tuple[Explanation, ...]:
    """What could explain so many more heads than the book's most, by day."""
    found: list[tuple[str, Event, int | None]] = [("last_count", book.basis, None)] if book.basis else []
    for event in book.since:
        # The book's most already takes a loss at its least and a gain at its most.
        least = (event.number or UNTOLD)[0] or 0
        if event.what not in LOSSES:
            found.append(("gain", event, None))
        elif least:
            found.append(("loss", event, least))
    found += [("young", event, (event.number or UNTOLD)[1]) for event in book.apart]
    found.sort(key=lambda one: one[1].on)
    return tuple(
        Explanation(what, event, most, most is None or most >= excess) for what, event, most in found if most != 0
    )


@dataclass(frozen=True, slots=True)
class Take:
    """What became of one feeding: of so many prey offered (or 1 for an offer without a number), so many were taken."""

    on: date
    taken: int
    offered: int = 1


@dataclass(frozen=True, slots=True)
class TakeTrend:
    """The share of prey taken before and lately, each with its Wilson interval and the number of prey (`basis`).

    `feedings` are the numbers of feedings before and lately. `falls`: the interval lately lies wholly under that before.
    """

    before: Interval
    lately: Interval
    feedings: tuple[int, int]
    falls: bool


def take_trend(takes: Iterable[Take], on: date, held: Sequence[date] = ()) -> TakeTrend | None:
    """Compare the take of the last 28 days with that of the 84 before; None under three feedings in either.

    `held` are days on which a refusal means nothing (premoult, just moved) and are left out. That intervals must not meet
    is stricter than a test at 95 %: prey of one feeding are not taken independently of each other. ValueError on a
    feeding with more taken than offered.
    """
    known = [take for take in takes if take.on not in held and on - LATELY - BEFORE < take.on <= on and take.offered]
    if any(not 0 <= take.taken <= take.offered for take in known):
        raise ValueError("No more prey can be taken than was offered.")
    lately = [take for take in known if take.on > on - LATELY]
    before = [take for take in known if take.on <= on - LATELY]
    if min(len(lately), len(before)) < LEAST_FEEDINGS:
        return None
    shares = [wilson(sum(one.taken for one in part), sum(one.offered for one in part)) for part in (before, lately)]
    return TakeTrend(shares[0], shares[1], (len(before), len(lately)), shares[1].high < shares[0].low)
