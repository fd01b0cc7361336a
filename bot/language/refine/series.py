"""Sizes told in a row with the unit at the end alone: "measured 5 of B: 12, 13, 13, 14 and 15 mm"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.units import G_IN, MM_IN

if TYPE_CHECKING:
    from bot.language.items import Item

JOINING = frozenset({",", "/", "&", "+", "-", "and"})
SIDE = "x"
"""How a number ends that is one side of a box: "30 x 20 x 15 cm"."""

LEAST_UNTOLD = 3
"""So many numbers in a row are sizes also where no word says that anything was measured."""


def with_units(items: list[Item]) -> list[Item]:
    """Give the numbers of such a row the unit of the last; a row of prey, or one of numbers of another kind, is left alone."""
    last = next((place for place in range(len(items) - 1, -1, -1) if _unit(items[place]) in {*MM_IN, *G_IN}), None)
    if last is None or any(item.prey for item in items):
        return items
    row = _row_before(items, last)
    said = any(item.verb("measure", "weigh") or item.thing("legspan", "body", "weight") for item in items)
    if not row or (len(row) + 1 < LEAST_UNTOLD and not said):
        return items
    return [_of_unit(item, _unit(items[last])) if place in row else item for place, item in enumerate(items)]


def _row_before(items: list[Item], last: int) -> set[int]:
    """The places of the bare numbers that stand right before a measured one, with nothing but marks between them."""
    row: set[int] = set()
    place = last - 1
    while place >= 0 and (items[place].text in JOINING or _is_bare(items[place])):
        if _is_bare(items[place]):
            row.add(place)
        place -= 1
    return row


def _is_bare(item: Item) -> bool:
    quantity = item.quantity
    if item.kind != "number" or quantity is None:
        return False
    return quantity.bare and not item.text.endswith(SIDE)


def _unit(item: Item) -> str | None:
    return item.quantity.unit if item.kind == "number" and item.quantity is not None else None


def _of_unit(item: Item, unit: str | None) -> Item:
    return item if item.quantity is None else replace(item, quantity=replace(item.quantity, unit=unit))
