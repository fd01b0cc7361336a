"""How crowded an enclosure is: heads for each dm² of floor and litre, hides for each head, beside this keeper's other groups."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from bot.answers.heads import count_of
from bot.answers.view import Place, Target, View
from bot.care.crowding import Beside, Crowding, Enclosure, Range, beside, crowding
from bot.care.headcount import Count
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import say_number, say_range
from storage.journal import EntryRow
from storage.roster import OccupantRow

SHOWN = 10
NO_NORM = "No norm is published that we know of; your own groups are the measure."

_NUMBERS = {
    word: number
    for number, word in enumerate(("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"), 1)
}  # fmt: skip
_HIDES = re.compile(
    rf"(?P<before>(?:\w+ )?)\b(?P<number>\d{{1,3}}|{'|'.join(_NUMBERS)}) (?P<more>more |extra |new |another )?"
    r"(?:\w+ )?(?:hides?|hideouts?|retreats?|shelters?)\b",
    re.IGNORECASE,
)
_CHANGES = re.compile(r"(?:add(?:ed)?|remove[ds]?|took|another|lost)\s*$", re.IGNORECASE)
"""Words before a number of hides that make it a change and no number that is there."""


@dataclass(frozen=True, slots=True)
class Crowded:
    """One enclosure with groups in it: its heads, what they rest on, and how crowded it is; `hides_on` the day these were told."""

    place: Place
    count: Count
    found: Crowding
    hides: int | None
    hides_on: date | None


def answer(ask: Ask, view: View) -> Reply:
    """Tell of each place asked about; where none is named of every group, the most crowded first, a line each."""
    every = list(_every(view))
    if not ask.subjects:
        ranked = sorted(every, key=lambda one: one.found.per_dm2[0], reverse=True)
        lines = [f"{one.place.label()}: {_room(one)}." for one in ranked[:SHOWN]]
        return Reply("\n".join([*lines, NO_NORM]) if lines else _nothing(view))
    asked = view.targets(ask.subjects)
    places = [place for place in view.places if any(_is_asked(place, target) for target in asked)]
    lines = [line for place in places for line in _lines(view, place, every)]
    empty = [
        f"Nobody lives in {one.name} on record." for one in asked if not any(_is_asked(place, one) for place in places)
    ]
    return Reply("\n".join([*lines, *empty]))


def _nothing(view: View) -> str:
    groups = any(one.kind == "group" for place in view.places for one in place.residents)
    if not groups:
        return "There is no group on the roster."
    return "No group with a number lives in an enclosure whose size is written. Say “tub 4 is 30x20x15 cm”."


def _is_asked(place: Place, target: Target) -> bool:
    return target.occupant in place.residents or (target.enclosure is not None and target.enclosure == place.enclosure)


def _every(view: View) -> Iterator[Crowded]:
    """Every enclosure of a known size in which a group of a known number lives."""
    for place in view.places:
        found = _crowded(view, place) if any(one.kind == "group" for one in place.residents) else None
        if found is not None:
            yield found


def _crowded(view: View, place: Place) -> Crowded | None:
    if place.enclosure is None or place.enclosure.size_cm is None or min(place.enclosure.size_cm) <= 0:
        return None
    counts = [count_of(view, one) for one in place.residents]
    if not all(count.known for count in counts):
        return None
    low = sum(count.low for count in counts)
    highs = [count.high for count in counts if count.high is not None]
    high = sum(highs) if len(highs) == len(counts) else None
    hides, told = _hides(view, place)
    width, depth, height = place.enclosure.size_cm
    found = crowding((low, high), Enclosure(width, depth, height, hides))
    return Crowded(place, counts[0], found, hides, told)


def _hides(view: View, place: Place) -> tuple[int | None, date | None]:
    """How many hides were told last, in words such as "12 hides in tub 4"; what was added to them is no number of them."""
    targets = [Target(enclosure=place.enclosure), *(Target(occupant=one) for one in place.residents)]
    notes = {entry.id: entry for target in targets for entry in view.history(target, ("note",), limit=1_000)}
    for entry in sorted(notes.values(), key=lambda one: (one.on or date.min, one.id), reverse=True):
        number = hides_in(entry)
        if number is not None:
            return number, entry.on
    return None, None


def hides_in(entry: EntryRow) -> int | None:
    """The number of hides that a note says are there; None where it says none, or only what was changed."""
    found = _HIDES.search(entry.words)
    if found is None or found["more"] or _CHANGES.search(found["before"]):
        return None
    said = found["number"].lower()
    return _NUMBERS.get(said) or int(said)


def _lines(view: View, place: Place, every: list[Crowded]) -> Iterator[str]:
    own = next((one for one in every if one.place == place), None) or _crowded(view, place)
    if own is None:
        yield f"{place.label()}: {_missing(view, place)}"
        return
    yield f"{place.label()}: {_room(own)}{_basis(view, own)}.{_hides_said(view, own)}"
    others = [one.found.per_dm2 for one in every if one.place != place]
    yield _beside(beside(own.found.per_dm2, others))


def _missing(view: View, place: Place) -> str:
    if place.enclosure is None:
        return "it lives in no enclosure on record."
    if place.enclosure.size_cm is None:
        return f"no size is written. Say “{place.enclosure.name} is 30x20x15 cm”, with its own numbers."
    unknown: list[OccupantRow] = [one for one in place.residents if not count_of(view, one).known]
    return (
        f"how many live there is not known. Say “counted 20 in {unknown[0].name if unknown else place.enclosure.name}”."
    )


def _room(one: Crowded) -> str:
    """Say heads and room: "40 to 42 heads on 6 dm² and 9 litres, so 6.7 to 7 a dm², 4.4 to 4.7 a litre, 14 to 15 cm² each"."""
    found = one.found
    heads = "none" if found.basis[1] == 0 else say_range(found.basis)
    volume = "" if found.volume_l is None else f" and {_number(found.volume_l)} litres"
    room = f"{heads} on {_number(found.floor_dm2)} dm²{volume}"
    if found.dm2_each is None:
        return room
    each = found.dm2_each
    litre = "" if found.per_l is None else f", {_range(found.per_l)} a litre"
    spread = (100 * each[0], None if each[1] is None else 100 * each[1])
    return f"{room}: {_range(found.per_dm2)} a dm²{litre}" + ("" if each[0] == 0 else f", {_range(spread)} cm² each")


def _basis(view: View, one: Crowded) -> str:
    if one.count.basis is None:
        return ""
    how = "counted" if one.count.basis.what == "count" else "reckoned from"
    return f" ({how} {view.bare_day(one.count.basis.on)})"


def _hides_said(view: View, one: Crowded) -> str:
    if one.hides is None or one.hides_on is None:
        return " No hides are told: say “12 hides in it”."
    each = "" if one.found.hides_each is None else f", {_range(one.found.hides_each)} a head"
    return f" {one.hides} hides told {view.bare_day(one.hides_on)}{each}."


def _beside(found: Beside | None) -> str:
    if found is None:
        return f"No other group of yours has a size and a number to set beside it. {NO_NORM}"
    others = f"your {found.basis} other group{'' if found.basis == 1 else 's'}"
    parts = [
        f"{number} {words}"
        for number, words in ((found.sparser, "less crowded"), (found.denser, "more crowded"), (found.alike, "alike"))
        if number
    ]
    times = (
        ""
        if found.times_median is None
        else f"; {found.times_median:.1f} times their middle of {_number(found.median)} a dm²"
    )
    return f"Of {others} {', '.join(parts)}{times}. {NO_NORM}"


def _range(ends: Range) -> str:
    low, high = ends
    if high is None:
        return f"at least {_number(low)}"
    said = (_number(low), _number(high))
    return said[0] if said[0] == said[1] else f"{said[0]} to {said[1]}"


def _number(value: float) -> str:
    """Two digits are enough of a room that decoration narrows: 6.7, 0.29, 14."""
    return say_number(round(value)) if value >= 10 else say_number(round(value, 1)) if value >= 1 else f"{value:.2g}"
