"""After a move: evening look-ins, when they end, and how long this keeper's animals usually take to show.

Not being seen for about a week is normal (common practice), and an animal not seen is never counted as dead.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from bot.care.days import shifted
from bot.care.facts import Fact, ate, order, signs
from bot.care.words import ago
from bot.care.words import days as say_days

LOOK_IN_DAYS = (1, 3, 7, 10, 14, 21)
"""Days after a move on which to look in, unless the sheet or the keeper says otherwise."""

LEARNED_FROM = 3
"""Moves from which a usual settling time is learned."""

NORMAL_DAYS = 7
WORRY_DAYS = 14

_UNSEEN = frozenset({"hiding"})
SIGHTINGS = frozenset({"feeding", "observation", "moult", "count", "measurement", "sac", "pairing"})
"""Kinds of entry that tell whether they were seen."""

NORMAL = "Not seen is normal for about a week (common practice)."
WHERE_TO_LOOK = (
    "Not seen for two weeks is still no loss. Look for fresh web or moved soil, prey gone, boluses, a lower water dish, "
    "legs at the cork by torch; do not dig them out."
)


@dataclass(frozen=True, slots=True)
class LookIns:
    """The look-ins after one move.

    `dates` are all their days, `answered` those with a sighting (also one of nothing), `ended_on` the day on which the
    series ended because they were seen on two days or ate. `next` is the look-in to come or today's, None when there is
    none left or today's is answered and was the last. `text` says how it stands, `rests_on` the entries' numbers.
    """

    dates: tuple[date, ...]
    answered: tuple[date, ...]
    ended_on: date | None
    next: date | None
    text: str
    rests_on: tuple[int, ...]


def look_ins(moved: Fact, facts: Iterable[Fact], today: date, after: Sequence[int] = LOOK_IN_DAYS) -> LookIns:
    """Reckon the look-ins after a move from the facts told since."""
    dates = tuple(shifted(moved.day, count) for count in sorted(set(after)))
    since = sorted((fact for fact in facts if _later(fact, moved)), key=order)
    ended_on, shown = _ended(since)
    answered = tuple(day for day in dates if any(_answers(fact, day, dates) for fact in since))
    left = [day for day in dates if day >= today and day not in answered]
    coming = left[0] if left and ended_on is None else None
    text = _text(moved, ended_on, shown, today)
    return LookIns(dates, answered, ended_on, coming, text, (moved.id, *(fact.id for fact in shown)))


def shows_them(fact: Fact) -> bool:
    """Whether a fact shows the animals or their work; not that they are hiding, and not food without an outcome."""
    if fact.kind == "observation":
        return bool(signs(fact) - _UNSEEN)
    return ate(fact) if fact.kind == "feeding" else fact.kind in SIGHTINGS


def first_shown(moved: Fact, facts: Iterable[Fact]) -> int | None:
    """Count the days from a move to the first sighting after it; None when there is none."""
    shown = [fact.day for fact in facts if _later(fact, moved) and shows_them(fact)]
    return (min(shown) - moved.day).days if shown else None


def usual_settling(waits: Iterable[int | None]) -> tuple[int, int, int] | None:
    """The least and the greatest of the keeper's own settling times and how many there are; None under three."""
    known = [wait for wait in waits if wait is not None]
    return (min(known), max(known), len(known)) if len(known) >= LEARNED_FROM else None


def say_usual(who: str, usual: tuple[int, int, int]) -> str:
    """Say the learned time: "your dwarf groups usually show after 6 to 9 days, 4 moves"."""
    low, high, moves = usual
    return f"your {who} usually show after {say_days(low, high)}, {moves} moves"


def _later(fact: Fact, moved: Fact) -> bool:
    """Seeing them on the day of the move itself is part of moving them."""
    return fact.kind in SIGHTINGS and fact.mood == "log" and fact.day > moved.day


def _ended(since: Sequence[Fact]) -> tuple[date | None, list[Fact]]:
    shown: list[Fact] = []
    for fact in since:
        if not shows_them(fact):
            continue
        if not any(one.day == fact.day for one in shown):
            shown.append(fact)
        if ate(fact) or len(shown) >= 2:
            return fact.day, shown
    return None, shown


def _answers(fact: Fact, day: date, dates: Sequence[date]) -> bool:
    """A sighting answers the look-in of its day or the last before it; food without an outcome is no sighting."""
    if fact.day < day or (fact.kind == "feeding" and not ate(fact)):
        return False
    return not any(day < later <= fact.day for later in dates)


def _text(moved: Fact, ended_on: date | None, shown: Sequence[Fact], today: date) -> str:
    if ended_on is not None:
        return f"settled after {say_days(*[(ended_on - moved.day).days] * 2)}"
    gone = (today - moved.day).days
    said = f"moved {ago(gone)}"
    if shown:
        return f"{said}, seen once, {ago((today - shown[-1].day).days)}"
    if gone <= NORMAL_DAYS:
        return f"{said}, not seen yet. {NORMAL}"
    return f"{said}, not seen yet. {WHERE_TO_LOOK}" if gone >= WORRY_DAYS else f"{said}, not seen yet"
