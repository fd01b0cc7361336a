"""Verbs parted from their particle: "picked it out", "topped the dish up", "gave two away"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.vocabulary import Node, Sense, vocabulary

if TYPE_CHECKING:
    from bot.language.items import Item

PARTICLES = frozenset({"out", "up", "away", "off", "down", "in", "over"})
FARTHEST = 5  # items from a verb to its particle


def phrasal(items: list[Item]) -> list[Item]:
    """The particle after the object joined to its verb."""
    out = list(items)
    for position in range(len(items)):
        if position < len(out):
            _join(out, position)
    return out


def _join(items: list[Item], position: int) -> None:
    """Join a verb with the particle that follows it, if one does, in place."""
    item = items[position]
    if item.kind not in {"word", "plain"} or item.verb("get"):
        return
    first = item.text.split()[0]
    node = vocabulary().tree.next.get(first)
    at = _particle(items, position, node) if node is not None and not PARTICLES.isdisjoint(node.next) else None
    if node is not None and at is not None:
        items[position] = replace(item, kind="word", senses=_verbs(node, items[at]), text=f"{first} {items[at].text}")
        del items[at]


def _particle(items: list[Item], position: int, node: Node) -> int | None:
    """Where the particle of a verb stands; right after a verb it is one only when the verb has a particle already."""
    for at in range(position + 1, min(position + 1 + FARTHEST, len(items))):
        item = items[at]
        if item.kind in {"mark", "date"} or (item.kind == "word" and item.sense("verb")):
            return None
        apart = at > position + 1 or " " in items[position].text
        if apart and _verbs(node, item) and items[at - 1].text not in {"straight", "right"}:
            return None if item.text == "in" and _place_follows(items, at) else at
    return None


def _verbs(node: Node, particle: Item) -> tuple[Sense, ...]:
    """The senses as a verb that a particle makes."""
    following = node.next.get(particle.text) if particle.text in PARTICLES else None
    return tuple(sense for sense in following.senses if sense.category == "verb") if following else ()


def _place_follows(items: list[Item], at: int) -> bool:
    after = items[at + 1] if at + 1 < len(items) else None
    return after is not None and (after.kind == "name" or after.text in {"the", "with", "a", "there"})
