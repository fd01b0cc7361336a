"""Readings told under one heading, with no unit at each: "temps at 13h00: tub 1 24, tub 2 24.5", "temps and humidity: tub 1 24/65"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.items import Item

UNIT_OF = {"temperature": "deg", "humidity": "%"}
SMALL = {"the", "and", "of", "in", "all", "my", "for", "at", "is", "was", "to", "now"}

Units = tuple[str, ...]
"""The units of the values told of each place, in order."""


def units_headed(items: list[Item], before: Units) -> Units:
    """The units that a sentence heads its values with, else those of the heading before it; none where it tells anything else."""
    head = _head(items)
    said = [item for item in head if item.kind == "word" and item.thing(*UNIT_OF)]
    if said and not any(item.kind == "number" for item in head):
        return tuple(dict.fromkeys(UNIT_OF[kind] for item in said for kind in UNIT_OF if item.thing(kind)))
    return before if _only_values(items) else ()


def with_headed_units(items: list[Item], units: Units) -> list[Item]:
    """The items, bare numbers right after a name with the units of their heading."""
    if not units or not _only_values(items[len(_head(items)) :]):
        return items
    out: list[Item] = []
    told = len(units)
    for item in items:
        if item.kind == "name":
            told = 0
        if item.kind == "number" and item.quantity is not None and told < len(units):
            unit = item.quantity.unit or units[told]
            item = replace(item, quantity=replace(item.quantity, unit=unit))  # noqa: PLW2901 - the same item, completed
            told += 1
        out.append(item)
    return out


def with_shared_warmth(items: list[Item]) -> list[Item]:
    """The items, a bare number after a name or "at" as warm as a room where another is told in degrees: "A at 25, B 26 C"."""
    units = {item.quantity.unit for item in items if item.quantity is not None}
    acts = any(item.prey or item.sense("verb") or item.sense("sign") for item in items if item.kind == "word")
    if acts or not units & {"C", "F", "deg"}:
        return items
    return [_warm(item) if at and _may_be_warm(items[at - 1], item) else item for at, item in enumerate(items)]


def _may_be_warm(lead: Item, item: Item) -> bool:
    quantity = item.quantity if item.kind == "number" else None
    if quantity is None or not quantity.bare:
        return False
    return 10 <= quantity.low <= 45 and (lead.kind == "name" or lead.text == "at")


def _warm(item: Item) -> Item:
    return item if item.quantity is None else replace(item, quantity=replace(item.quantity, unit="deg"))


def _head(items: list[Item]) -> list[Item]:
    """What stands before the first name."""
    first = next((at for at, item in enumerate(items) if item.kind == "name"), len(items))
    return items[:first]


def _only_values(items: list[Item]) -> bool:
    """Whether names and numbers are all that is told, each name with a number."""
    kinds = [item.kind for item in items if item.kind not in {"mark", "date"} and item.text not in SMALL]
    return "name" in kinds and "number" in kinds and set(kinds) <= {"name", "number"}
