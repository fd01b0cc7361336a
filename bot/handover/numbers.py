"""How many there are, in sentences: the range, what it rests on, and every loss on record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from bot.handover.facts import Facts, HeadCount, HeadEvent
from bot.wording import say_full_day, say_range, sentence

_HAPPENED = {
    "death": "died", "departure": "were sold or given on", "split": "were split off", "arrival": "came in",
    "joined": "were joined to them", "merged": "all went into another group", "gone": "died or left",
}  # fmt: skip


def head_lines(facts: Facts) -> tuple[str, ...]:
    """The head count with its doubt and its grounds, then the losses."""
    heads = facts.heads
    if heads is None:
        return ()
    if facts.kind == "animal":
        return tuple(
            f"It {'died' if one.what == 'death' else 'left'} on {say_full_day(one.on)}." for one in heads.losses
        )
    return (*_range(heads), *_losses(heads.losses))


def _range(heads: HeadCount) -> Iterator[str]:
    if not heads.known:
        yield "How many there are was not written."
        return
    now = "none" if heads.high == 0 else say_range((heads.low, heads.high))
    yield f"{sentence(now).removesuffix('.')} by the keeper's records. Hidden ones go uncounted."
    yield from _grounds(heads)
    if heads.apart:
        yield f"Young that hatched are not among them: {', '.join(_by_day(heads.apart))}."
    if heads.unfit:
        yield "A count and the records before it did not agree, so the number is in doubt."


def _grounds(heads: HeadCount) -> Iterator[str]:
    told = [*([heads.basis] if heads.basis else []), *heads.floors]
    for event in told:
        number = "an untold number" if event.number is None else say_range(event.number)
        if event.what == "start":
            yield f"Set up with {number} on {say_full_day(event.on)}."
        elif event.what == "count":
            yield f"Counted on {say_full_day(event.on)}: {number}."
        else:
            yield f"On {say_full_day(event.on)} {number} {_HAPPENED.get(event.what, event.what)}."
    if heads.since:
        changes = ", ".join(_sums(heads.since))
        yield f"Since then {changes}." if told else f"No count was written; {changes}."


def _losses(events: Sequence[HeadEvent]) -> Iterator[str]:
    deaths = [one for one in events if one.what == "death"]
    if deaths:
        yield f"Deaths written: {', '.join(_by_day(deaths))}."
    else:
        yield "No death was written."
    left = [one for one in events if one.what != "death"]
    if left:
        yield f"Sold, given on or split off: {', '.join(_by_day(left))}."


def _by_day(events: Iterable[HeadEvent]) -> Iterator[str]:
    for one in events:
        number = "a number not written" if one.number is None else say_range(one.number)
        yield f"{number} ({say_full_day(one.on)})"


def _sums(events: Iterable[HeadEvent]) -> Iterator[str]:
    sorts: dict[str, list[HeadEvent]] = {}
    for event in events:
        sorts.setdefault(event.what, []).append(event)
    for what, each in sorts.items():
        numbers = [one.number for one in each if one.number is not None]
        if len(numbers) < len(each):
            number = "some"
        else:
            highs = [high for _low, high in numbers if high is not None]
            number = say_range(
                (sum(low or 0 for low, _high in numbers), sum(highs) if len(highs) == len(each) else None)
            )
        yield f"{number} {_HAPPENED.get(what, what)}"
