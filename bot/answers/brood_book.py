"""From the journal to the life of one brood: how many it began with, and what became of them day by day.

A brood is a group from its beginning on: a hatching, an arrival, its set-up, or a split from another. Animals that come to it
later begin it anew, since nobody can tell any more which of them are gone.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bot.answers.heads import events_of, number_of
from bot.answers.view import Target, View
from bot.care.broods import Brood, Gone, Seen
from bot.care.headcount import GAINS, UNTOLD, Count, Event, Number, headcount
from storage import lineage
from storage.roster import OccupantRow

LEAVING = frozenset({"departure", "split"})
BEGINNING = GAINS | {"start"}
MOST_HEADS = 100_000
"""A brood larger than this is a slip of the pen, and is not reckoned head by head."""

OPENEST = 300
"""So wide may the number at the start be in doubt; a curve is reckoned for each number in it."""


LATER_THAT_DAY = 1e-4
"""By how much of a day an event comes after a count that was told before it on the same day."""


@dataclass(frozen=True, slots=True)
class BroodBook:
    """A brood as the journal tells it.

    `events` are those from its beginning on, the first being that; `count` is the book today, `brood` the same for the
    reckoning of survival; None where no number, or only a least one, is known to begin with. `earlier` are the losses
    told before animals were added, which the reckoning leaves out.
    """

    events: tuple[Event, ...]
    count: Count
    brood: Brood | None
    earlier: tuple[Event, ...] = ()

    @property
    def began(self) -> Event:
        """What it began with."""
        return self.events[0]

    def told(self, *whats: str) -> list[Event]:
        """The events of these sorts after the beginning."""
        return [event for event in self.events[1:] if event.what in whats]


def brood_of(view: View, occupant: OccupantRow) -> BroodBook | None:
    """The life of a group from its beginning to today; None where the journal tells no number of it at all."""
    events = _from_hatching(view, occupant, events_of(view, occupant))
    first = _beginning(events)
    if first is None:
        return None
    opened = events[first]
    before = headcount(events[: first + 1])
    number = (before.low, before.high) if opened.what in BEGINNING else opened.number
    begun = [Event("start", opened.on, number), *(event for event in events[first + 1 :] if event.what != "hatched")]
    count = headcount(begun)
    told = (Event(opened.what, opened.on, number), *begun[1:])
    earlier = [event for event in events[:first] if event.what in LEAVING | {"death"}]
    return BroodBook(told, count, _brood(view, begun), tuple(earlier))


def _from_hatching(view: View, occupant: OccupantRow, events: list[Event]) -> list[Event]:
    """The events with the hatching of the mother's sac before them, where all of that hatching is this one group."""
    mother = next((row for row in lineage.parents(view.session, occupant.id) if row.how == "brood"), None)
    if mother is None or not events or events[0].what != "start":
        return events
    siblings = [row for row in lineage.children(view.session, mother.parent_id) if row.how == "brood"]
    hatched = _hatched(view, mother.parent_id, events[0].on)
    if hatched is None or len([row for row in siblings if row.on is None or row.on >= hatched.on]) != 1:
        return events
    return [hatched, Event("count", events[0].on, events[0].number), *events[1:]]


def _hatched(view: View, mother_id: int, until: date) -> Event | None:
    """The latest hatching of a mother with a number, up to a day."""
    row = next((one for one in view.roster.occupants if one.id == mother_id), None)
    found = [] if row is None else view.history(Target(occupant=row), ("sac",), until=until)
    hatched = next((entry for entry in found if entry.fields.get("stage") == "hatched"), None)
    number = None if hatched is None else number_of(hatched)
    return None if hatched is None or hatched.on is None or number is None else Event("hatched", hatched.on, number)


def _beginning(events: list[Event]) -> int | None:
    """The place of the last gain, else of the set-up or the first hatching, else of the first count."""
    gains = [place for place, event in enumerate(events) if event.what in GAINS]
    if gains:
        return gains[-1]
    for sort in (BEGINNING | {"hatched"}, {"count"}):
        found = next((place for place, event in enumerate(events) if event.what in sort and event.number), None)
        if found is not None:
            return found
    return None


def _brood(view: View, events: list[Event]) -> Brood | None:
    """The brood for the reckoning; days are those since it began, none before it or after today."""
    number = events[0].number
    if number is None or number[1] is None or not 0 < number[1] <= MOST_HEADS:
        return None
    low = number[0] or 0
    if number[1] - low > OPENEST:
        return None
    moments = _moments(events)
    until = max(*moments, (view.today - events[0].on).days)
    gone: list[Gone] = []
    seen: list[Seen] = []
    for place, event in enumerate(events[1:], start=1):
        days, heads = moments[place], _heads(event.number)
        if event.what in LEAVING | {"death"}:
            gone.append(Gone(days, heads, died=event.what == "death"))
        elif event.what == "merged":
            before = headcount(events[:place])
            gone.append(Gone(days, (before.low, before.high), died=False))
        elif event.what == "count" and event.number is not None:
            seen.append(Seen(days, heads))
    return Brood((low, number[1]), until, gone, seen)


def _moments(events: list[Event]) -> list[float]:
    """Days since the beginning, none before it. What was told after a count of the same day comes a moment later.

    All else of a day stays at one time, as the reckoning of ties wants it.
    """
    found: list[float] = []
    counts: dict[date, int] = {}
    for event in events:
        found.append(max(0, (event.on - events[0].on).days) + LATER_THAT_DAY * counts.get(event.on, 0))
        counts[event.on] = counts.get(event.on, 0) + (event.what == "count")
    return found


def _heads(number: Number | None) -> tuple[int, int | None]:
    low, high = number or UNTOLD
    return low or 0, high
