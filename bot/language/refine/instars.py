"""Instars as keepers write them, "i4", "L5", "4th instar": words to be kept as they stand, since each keeper counts from another skin.

So are the numbered sizes that feeder insects are sold in ("3 size 4 crickets", common practice).

Made one word each, so that the number in them is never taken for moults, heads, prey or a place.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.items import Item

LETTERS = frozenset({"i", "l", "n", "fh"})
WORDS = frozenset({"instar", "instars", "insta", "instor", "stadium"})
SIZES = frozenset({"size", "sz"})
ENDINGS = frozenset({"st", "nd", "rd", "th"})
MOST = 25
"""No animal that is kept moults more often than this before it is adult."""


def with_instars(items: list[Item]) -> list[Item]:
    """The items with each instar as one plain word."""
    out: list[Item] = []
    place = 0
    while place < len(items):
        length = _length(items, place)
        out.append(_one_word(items[place : place + length]) if length else items[place])
        place += length or 1
    return out


def _length(items: list[Item], place: int) -> int:
    """How many items from here on are one instar; 0 if none."""
    item, following = items[place], items[place + 1 : place + 3]
    if item.text in SIZES and following and _is_number(following[0], between=True):
        return 0 if _goes_on(items, place + 2) else 2
    if item.kind == "plain" and item.text in LETTERS | WORDS and following and _is_number(following[0]):
        touches = item.end == following[0].start
        return 2 if touches or item.text in WORDS else 0
    if _is_number(item):
        texts = [one.text for one in following]
        if texts[:1] and texts[0] in WORDS:
            return 2
        if len(texts) == 2 and texts[0] in ENDINGS and texts[1] in WORDS:
            return 3
    return 0


def _goes_on(items: list[Item], place: int) -> bool:
    """Whether one more number is listed there: "size 12, 13 and 15 mm" are measurements."""
    return len(items) > place + 1 and items[place].text in {",", "and"} and items[place + 1].kind == "number"


def _is_number(item: Item, *, between: bool = False) -> bool:
    """Whether it is a small whole number without a unit; `between`: or a span of two."""
    quantity = item.quantity
    if item.kind != "number" or quantity is None or quantity.unit is not None:
        return False
    whole = int(quantity.low) == quantity.low and int(quantity.high) == quantity.high
    return whole and 0 < quantity.low <= quantity.high <= MOST and (between or quantity.low == quantity.high)


def _one_word(items: list[Item]) -> Item:
    text = "".join(
        item.text if place == 0 or items[place - 1].end == item.start else f" {item.text}"
        for place, item in enumerate(items)
    )
    return replace(
        items[0], kind="plain", text=text, raw=text, senses=(), quantity=None, last=items[-1].last, end=items[-1].end
    )
