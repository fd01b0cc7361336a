"""The picture of a group's head count: the range after every event in the journal, as the answer "how many" reckons it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bot.answers.drawing import Drawing, Stretch, stretch_of
from bot.answers.headcount import say_grounds, say_heads
from bot.answers.heads import events_of
from bot.answers.view import Target, View
from bot.care.headcount import GAINS, LOSSES, Count, Event, course
from bot.language.meaning import Ask
from bot.pictures.head_count import CAME, DIED, LEFT, Change, Counted, HeadCount, Step, picture
from bot.wording import say_count, say_range, sentence

CHANGES = {
    "death": DIED, "arrival": CAME, "joined": CAME, "departure": LEFT, "split": LEFT, "merged": LEFT,
}  # fmt: skip
MOVES = GAINS | LOSSES


def draw(ask: Ask, view: View, target: Target) -> Drawing | str:
    """The picture of one group's heads; a sentence where there is none to draw."""
    if target.occupant is None or target.occupant.kind == "animal":
        return f"{target.name} is one animal, so there is no head count to draw: ask for its growth or feedings."
    stretch = stretch_of(ask, view)
    events = events_of(view, target.occupant)
    points = [(event, count) for event, count in zip(events, course(events), strict=True) if event.on <= stretch.until]
    known = [(event, count) for event, count in points if count.known]
    if not known:
        return f"{target.name}: no count is written, and no number was given at set-up, so there is nothing to draw."
    count = known[-1][1]
    told = HeadCount(
        f"{target.name}: {say_heads(count)}{_tail(view, count)}",
        sentence(_counted(view, [event for event, _count in known], stretch)),
        steps_of(known, stretch),
        stretch.until,
        tuple(_counts(points, stretch)),
        tuple(_changes(points, stretch)),
    )
    grounds = (sentence(say_grounds(view, count)),)
    return Drawing(told.title, told.basis, f"{target.name}, head count", lambda theme: picture(told, theme), grounds)


def _tail(view: View, count: Count) -> str:
    """What became of them since the number that the range starts from: ", none lost since Mon 2 Feb"."""
    if count.basis is None or count.high == 0:
        return ""
    since = f"since {view.bare_day(count.basis.on)}"
    died = [event for event in count.since if event.what == "death"]
    if died:
        return f", {_number(died)} died {since}"
    left = [event for event in count.since if event.what in LOSSES]
    return f", none died and {_number(left)} left {since}" if left else f", none lost {since}"


def _number(events: Sequence[Event]) -> str:
    numbers = [event.number or (1, None) for event in events]
    highs = [high for _low, high in numbers if high is not None]
    return say_range((sum(low or 0 for low, _high in numbers), sum(highs) if len(highs) == len(numbers) else None))


def _counted(view: View, events: Sequence[Event], stretch: Stretch) -> str:
    """How many counts and changes are shown, and over what time."""
    shown = [event for event in events if stretch.holds(event.on)]
    counts = sum(event.what == "count" for event in shown)
    changes = sum(event.what in MOVES for event in shown)
    period = stretch.said(view, events[0].on, older=events[0].on < stretch.since)
    told = [say_count((number, number), word) for number, word in ((counts, "count"), (changes, "change")) if number]
    return f"{' and '.join(told) or 'no count and no change'} {period}"


def steps_of(points: Sequence[tuple[Event, Count]], stretch: Stretch) -> tuple[Step, ...]:
    """The range at the end of each day on which it changed; what came before the stretch is its first step."""
    days: dict[date, Count] = {}
    for event, count in points:
        days[max(event.on, stretch.since)] = count
    return tuple(Step(on, count.low, count.high) for on, count in sorted(days.items(), key=lambda one: one[0]))


def _counts(points: Sequence[tuple[Event, Count]], stretch: Stretch) -> list[Counted]:
    told = [event for event, _count in points if event.what == "count" and stretch.holds(event.on)]
    return [Counted(event.on, event.number[0] or 0, event.number[1]) for event in told if event.number is not None]


def _changes(points: Sequence[tuple[Event, Count]], stretch: Stretch) -> list[Change]:
    told = [event for event, _count in points if event.what in CHANGES and stretch.holds(event.on)]
    return [Change(event.on, CHANGES[event.what], _exact(event)) for event in told]


def _exact(event: Event) -> int | None:
    number = event.number
    return number[0] if number is not None and number[0] == number[1] else None
