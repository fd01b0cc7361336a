"""Numbers that stand for places: "pulled leftovers out of 2 and 13", "pots 1-6 got one each, 7-12 half each"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.names import NameSpan
from bot.language.refine.labels_told import Places, members_told, places_named, stand_for_places

if TYPE_CHECKING:
    from bot.language.items import Item
    from bot.language.quantities import Quantity
    from bot.language.roster_index import RosterIndex

LEADS = {"of", "from", "in", "to", "for", "into", "on", "did"}
JOINERS = {"and", "&", "+", ","}
NOT_COUNTED = {
    "and", "then", "but", "too", "also", "as", "well", "today", "with", "again", "now", "since", "because", "so", "which", "who", "where",
}  # fmt: skip
LONGEST_RANGE = 100


def numbered_places(items: list[Item], index: RosterIndex, told: Places) -> list[Item]:
    """Numbers made names where they can count nothing and fit the numbered names of just one sort, or of one told before.

    `told` are the places that the sentences before named.
    """
    out: list[Item] = []
    position = 0
    while position < len(items):
        end, labels = _labels(items, position) if items[position].kind == "number" else (position, [])
        base = _base_with(labels, index) if labels else None
        if base is None and items[position].kind == "number":
            end, labels, base = _of_sort_told(items, position, index, told, out)
        if base is None:
            out.append(items[position])
            position += 1
        else:
            out.append(_named(items[position:end], tuple(base[label] for label in labels)))
            position = end
    return out


def _of_sort_told(
    items: list[Item], position: int, index: RosterIndex, told: Places, out: list[Item]
) -> tuple[int, list[str], dict[str, str] | None]:
    """The item after the numbers that begin here, their labels, and the names that have them, of a sort told before."""
    end, labels = _listed(items, position)
    members = members_told(labels, index, told | places_named(out, index)) if labels else None
    listed = any(item.kind == "name" and item.raw.isdigit() for item in out)  # "1 and 3 ate, 2 refused"
    if members is None or not stand_for_places(items, position, end, labels, several=len(members), listed=listed):
        return position, [], None
    return end, labels, members


def _named(items: list[Item], subjects: tuple[str, ...]) -> Item:
    """One name in place of some numbers."""
    first, last = items[0], items[-1]
    span = NameSpan(first.first, last.last, subjects, "many" if len(subjects) > 1 else "name")
    return replace(first, kind="name", quantity=None, senses=(), name=span, last=last.last, end=last.end)


def _labels(items: list[Item], position: int) -> tuple[int, list[str]]:
    """The numbers that stand for places from here on, and the item after them; none where they count something."""
    end, labels = _listed(items, position)
    if labels:
        led = position > 0 and items[position - 1].text in LEADS and not _counts_something(items, end)
        opens = position == 0 and end < len(items) and _is_animal_act(items[end])
        return end, labels if led or opens else []
    quantity = items[position].quantity
    if quantity is not None and _goes_on_numbering(items, position, quantity):
        return position + 1, [f"{number}" for number in range(int(quantity.low), int(quantity.high) + 1)]
    return position, []


def _is_animal_act(item: Item) -> bool:
    return any(sense.agent == "animal" for sense in item.senses) and not item.thing() and not item.verb("die")


def _listed(items: list[Item], position: int) -> tuple[int, list[str]]:
    """Bare numbers with joiners between them, and the item after the last."""
    labels: list[str] = []
    cursor = end = position
    while cursor < len(items):
        quantity = items[cursor].quantity
        if (
            items[cursor].kind != "number"
            or quantity is None
            or not _is_bare(quantity)
            or not items[cursor].raw.isdigit()
        ):
            break
        labels.append(f"{quantity.low:g}")
        end = cursor + 1
        if end >= len(items) or items[end].text not in JOINERS:
            break
        cursor = end + 1
    return end, labels


def _is_bare(quantity: Quantity) -> bool:
    plain = quantity.bare and quantity.sense == "exact"
    return plain and quantity.low == quantity.high


def _goes_on_numbering(items: list[Item], position: int, quantity: Quantity) -> bool:
    """Whether a bare range opens a clause after numbered places, before another number or what was eaten."""
    opens = position > 1 and items[position - 1].kind == "mark" and items[position - 1].text == ","
    ranged = not quantity.unit and 0 < quantity.high - quantity.low < LONGEST_RANGE
    if not opens or not ranged or position + 1 >= len(items):
        return False
    follows = items[position + 1]
    named = any(item.kind == "name" and item.name and len(item.name.subjects) > 1 for item in items[:position])
    return named and (follows.kind == "number" or follows.verb("get", "eat", "take", "refuse"))


def _base_with(labels: list[str], index: RosterIndex) -> dict[str, str] | None:
    """The numbered names that have all these numbers; None where none has, or two sorts have that are different places."""
    fitting = [
        members
        for base, members in index.numbered.items()
        if len(base[-1]) > 1 and all(label in members for label in labels)
    ]
    places = {tuple(index.place_of[members[label]] for label in labels) for members in fitting}
    return fitting[0] if len(places) == 1 else None


def _counts_something(items: list[Item], end: int) -> bool:
    if end >= len(items):
        return False
    return items[end].kind in {"plain", "word", "name"} and items[end].text not in NOT_COUNTED
