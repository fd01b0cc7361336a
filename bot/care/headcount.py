"""How many heads a group holds, as a range that its records bear out.

The doctrine, each rule common practice among keepers:
- a count sets the range anew; "at least 12" (no upper end) lifts the floor only, since hidden animals go uncounted;
- deaths, departures and animals split off are taken away, arrivals and animals joined in are added;
- young that hatch are reckoned apart until they are counted or set up as a brood;
- an animal not seen is never counted as dead: hiding for weeks is normal. Sightings are therefore no events here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from itertools import accumulate

GAINS = frozenset({"arrival", "joined"})
LOSSES = frozenset({"death", "departure", "split"})
SETTING = frozenset({"start", "count"})
ENDING = frozenset({"gone", "merged"})

Number = tuple[int | None, int | None]
"""[low, high]; high None is "at least"."""

UNTOLD: Number = (1, None)
"""A loss or a gain told without a number: one or more."""


@dataclass(frozen=True, slots=True)
class Event:
    """Something that bears on the number of heads.

    `what` is start (the number given at set-up), count, arrival, joined, death, departure, split, hatched, gone (the
    animal itself died or left, so that none is there) or merged (the whole group went into another). `number` None: the records say no number.
    """

    what: str
    on: date
    number: Number | None = None


@dataclass(frozen=True, slots=True)
class Count:
    """The range, `high` None for no upper end, and what it rests on.

    `basis` is the start or count it starts from, None if there is none; `since` are the gains and losses reckoned after
    it; `floors` the counts that lifted the floor only; `apart` the hatchings after the basis, which are not in the range;
    `surprises` the events that do not fit what was there before them (more gone than there were, more counted than
    there could be). `before` is the range that the basis did not fit, None where it did.
    """

    low: int = 0
    high: int | None = None
    basis: Event | None = None
    since: tuple[Event, ...] = ()
    floors: tuple[Event, ...] = ()
    apart: tuple[Event, ...] = ()
    surprises: tuple[Event, ...] = ()
    before: Number | None = None

    @property
    def known(self) -> bool:
        """Whether the records say anything of the number at all."""
        return bool(self.basis or self.floors or self.low)


def headcount(events: Iterable[Event]) -> Count:
    """Reckon the range from events in the order in which they happened; without any, nothing is known (0 or more)."""
    count = Count()
    for event in events:
        count = _after(count, event)
    return count


def course(events: Iterable[Event]) -> list[Count]:
    """Reckon the range as it was after each event, in their order."""
    return list(accumulate(events, _after, initial=Count()))[1:]


def _after(count: Count, event: Event) -> Count:
    number = event.number or UNTOLD
    if event.what in SETTING:
        return _counted(count, event) if event.number else count
    if event.what == "hatched":
        return replace(count, apart=(*count.apart, event))
    if event.what in ENDING:
        return Count(0, 0, event)
    if event.what in GAINS:
        return _moved(count, event, number)
    return _lost(count, event, number)


def _counted(count: Count, event: Event) -> Count:
    low, high = event.number or UNTOLD
    low = low or 0
    if high is None:
        return _floor(count, event, low)
    before = count.high
    unfit = before is not None and (low > before or high < count.low) and event.what == "count"
    if unfit:
        return Count(low, high, event, surprises=(event,), before=(count.low, before))
    return Count(low, high, event)


def _floor(count: Count, event: Event, low: int) -> Count:
    """Lift the floor; where that passes the upper end, the upper end was wrong and is open from then on."""
    passed = count.high is not None and low > count.high
    return replace(
        count,
        low=max(low, count.low),
        high=None if passed else count.high,
        floors=(*count.floors, event),
        surprises=(*count.surprises, event) if passed else count.surprises,
    )


def _moved(count: Count, event: Event, number: Number) -> Count:
    low, high = number
    top = None if high is None or count.high is None else count.high + high
    return replace(count, low=count.low + (low or 0), high=top, since=(*count.since, event))


def _lost(count: Count, event: Event, number: Number) -> Count:
    low, high = number
    unfit = count.high is not None and (low or 0) > count.high
    return replace(
        count,
        low=0 if high is None else max(0, count.low - high),
        high=None if count.high is None else max(0, count.high - (low or 0)),
        since=(*count.since, event),
        surprises=(*count.surprises, event) if unfit else count.surprises,
    )
