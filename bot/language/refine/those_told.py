"""A number of those told before: "misted both", "topped up all three dishes", "fed neither"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.names.everyone import GROUP_NOUNS, SO_MANY

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.items import Item

TWO = {"both", "neither"}
LEADS = {"all", "those", "these"}
DONE = ("feed", "mist", "water", "clean", "fill", "offer", "change", "weigh", "measure")
"""Acts on those told; "counted all 12" counts heads."""


def without_count_of_told(items: list[Item]) -> list[Item]:
    """The items, the number of "misted all three" and "none of those three" a plain word: it counts places, not prey or heads."""
    return [_plain(item) if _counts_told(items, at) else item for at, item in enumerate(items)]


def _plain(item: Item) -> Item:
    return replace(item, kind="plain", quantity=None, senses=())


def _counts_told(items: Sequence[Item], at: int) -> bool:
    if items[at].kind != "number" or items[at].text not in SO_MANY or at == 0:
        return False
    if items[at - 1].text == "other":
        return True
    if items[at - 1].text not in LEADS:
        return False
    if at == 1:
        following = items[at + 1] if at + 1 < len(items) else None
        return following is not None and (following.text in GROUP_NOUNS or following.verb("refuse", "eat", "moult"))
    apart = items[at - 2].kind == "mark" and (
        at + 1 == len(items) or items[at + 1].kind == "mark"
    )  # "(all four, half a worm each)"
    return apart or items[at - 2].verb(*DONE) or items[at - 2].text in {"of", "in", "for", "to", "from"}


def those_told(items: Sequence[Item]) -> int:
    """How many of those told before are meant; 0 where the words say nothing of it."""
    for at, item in enumerate(items):
        if item.kind != "name" and item.text.partition(" ")[0] in TWO:
            return 2
        if at and item.kind == "plain" and items[at - 1].text in LEADS and item.text in SO_MANY:
            return SO_MANY[item.text]
    return 0
