"""How many there are, as a range with what it rests on: "how many in B"."""

from __future__ import annotations

from collections.abc import Iterable

from bot.answers.heads import count_of
from bot.answers.stock import colony_line
from bot.answers.view import Target, View
from bot.care.headcount import Count, Event, Number
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import say_range

_HAPPENED = {"death": "died", "departure": "left", "split": "split off", "arrival": "arrived", "joined": "joined"}

_ENDED = {"gone": "Died or left", "merged": "Joined another group"}


def answer(ask: Ask, view: View) -> Reply:
    """Tell the range for each occupant asked about, and the sum where there are several."""
    targets = list(dict.fromkeys(one for target in view.targets(ask.subjects) for one in view.animals(target)))
    counts = [(target, count_of(view, target.occupant)) for target in targets if target.occupant]
    empty = [f"{target.name}: nobody lives there on record." for target in targets if target.occupant is None]
    lines = [f"{target.name}: {said(view, count)}" for target, count in counts]
    lines += [line for target in targets if ask.subjects for line in colony_line(view, target.name)]
    total = [_total(targets, [count for _target, count in counts])] if len(counts) > 1 else []
    return Reply("\n".join([*total, *lines, *empty]) or "There is nobody on the roster yet.")


def said(view: View, count: Count) -> str:
    """Say a range and its reasons: "21 to 23. 22 counted Fri 30 Jan, 8 days ago; since then 1 died (…)."."""
    if not count.known:
        return "not known. No count is written, and no number was given at set-up."
    lines = [f"{say_heads(count)}. {say_grounds(view, count)}."]
    if count.apart:
        lines.append(f"Young hatched are reckoned apart: {', '.join(_hatched(view, count.apart))}.")
    lines += [_surprise(view, count, event) for event in count.surprises]
    return " ".join(lines)


def say_grounds(view: View, count: Count) -> str:
    """Say what a range rests on: "22 counted Fri 30 Jan, 8 days ago; since then 1 died (…)"."""
    parts = [_basis(view, count)] if count.basis or count.floors else []
    if count.since:
        changes = ", ".join(_changes(view, count.since))
        parts.append(f"since then {changes}" if parts else f"{changes}, with no count before")
    return "; ".join(parts)


def _surprise(view: View, count: Count, event: Event) -> str:
    if event == count.basis and count.before is not None:
        return _beside_the_book(count, event, count.before)
    return f"{_event(view, event).capitalize()}, which does not fit the record before it; one of the two is off."


def _beside_the_book(count: Count, counted: Event, before: Number) -> str:
    """How a count differs from what the book had; heads that it did not find are not taken for dead."""
    low, high = counted.number or (count.low, count.high)
    book = f"The book had {say_range(before)}"
    if high is not None and before[0] and high < before[0]:
        return f"{book}: {before[0] - high} unaccounted for, not taken as dead."
    return f"{book}: {(low or 0) - (before[1] or 0)} more than it can explain."


def say_heads(count: Count) -> str:
    """Say the range alone: "21 to 23"."""
    return say_range((count.low, count.high)) if count.high != 0 else "none"


def _basis(view: View, count: Count) -> str:
    named = [count.basis] if count.basis else []
    return ", then ".join(_event(view, event) for event in [*named, *count.floors])


def _event(view: View, event: Event) -> str:
    when = view.day(event.on)
    if event.what in _ENDED:
        return f"{_ENDED[event.what]} {when}"
    number = "an untold number" if event.number is None else say_range(event.number)
    how = {"start": "at set-up", "count": "counted"}.get(event.what, _HAPPENED.get(event.what, event.what))
    return f"{number} {how} {when}"


def _changes(view: View, events: Iterable[Event]) -> list[str]:
    """Sum the gains and losses of each sort, with the day of the last one."""
    sorts: dict[str, list[Event]] = {}
    for event in events:
        sorts.setdefault(event.what, []).append(event)
    return [say_sum(view, what, each) for what, each in sorts.items()]


def say_sum(view: View, what: str, events: list[Event]) -> str:
    """Say the sum of events of one sort: "3 died (last Fri 6 Feb, yesterday)"."""
    last = "" if len(events) == 1 else "last "
    numbers = [event.number for event in events if event.number is not None]
    if len(numbers) < len(events):
        number = "some"
    else:
        low = sum(number[0] or 0 for number in numbers)
        highs = [number[1] for number in numbers]
        number = say_range((low, None if None in highs else sum(high or 0 for high in highs)))
    return f"{number} {_HAPPENED.get(what, what)} ({last}{view.day(events[-1].on)})"


def _hatched(view: View, events: Iterable[Event]) -> list[str]:
    return [
        f"{'an untold number' if event.number is None else say_range(event.number)} ({view.day(event.on)})"
        for event in events
    ]


def _total(targets: list[Target], counts: list[Count]) -> str:
    unknown = sum(not count.known for count in counts)
    low = sum(count.low for count in counts)
    open_ended = any(count.high is None for count in counts)
    high = None if open_ended else sum(count.high or 0 for count in counts)
    apart = f" ({unknown} of {len(targets)} not known)" if unknown else ""
    return f"Together {say_range((low, high))} in {len(counts)}{apart}:"
