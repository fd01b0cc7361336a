"""Members of a list of names whom nobody on the roster is called: "fed Holm, Quill and Saffron", "misted B and the quarry box".

Passed over they would be lost without a word, so each becomes a name that is unknown, and is asked about.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.clauses.list_words import LISTING, SKIPPED
from bot.language.clauses.predicates import predicate_follows
from bot.language.names import NameSpan
from bot.language.names.near import NUMBERED_PLACES
from bot.language.strangers import ACT_VERBS, NAME_LEADS, is_strange

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.items import Item

CLOSING = LISTING - {",", "or"}
"""What links the last member of a list to those before it."""

POINTERS = {"the", "my", "our", "that"}
OF_USE = {"water", "food", "feeder", "feeders", "whole", "entire", "same"}
"""Words before a sort of place that do not tell one from another."""

MOST_WORDS = 4
"""At most so many words name a place."""

ENDS = {"but", "then", "because", "while"}
LEADS_ON = {"to", "into", "in", "from", "with", "for", "at", "on"}
ACT_ENDINGS = ("ed", "ing", "ly")
"""How a word in small letters ends that tells an act the lexicon has no word for: "fed B and defogged"."""


def with_strangers(items: Sequence[Item]) -> list[Item]:
    """The items, each stranger among the names of a list as a name that is unknown."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        end = _stranger_end(items, at)
        member = end > at and _is_member(out, items, at, end)
        out.append(_unknown(items[at:end]) if member else items[at])
        at = end if member else at + 1
    return out


def _stranger_end(items: Sequence[Item], at: int) -> int:
    """Where a stranger that begins here ends: a place in everyday words ("the quarry box") or a strange word; `at` where none does."""
    pointed = bool(at) and items[at - 1].text in POINTERS
    places = range(at, min(at + MOST_WORDS, len(items))) if pointed else ()
    vessel = next((place for place in places if _is_vessel(items[place])), at)
    if vessel > at and all(map(_may_describe, items[at:vessel])):
        return vessel + 1
    return at + 1 if is_strange(items[at]) else at


def _is_vessel(item: Item) -> bool:
    """Whether a word says what sort of place is meant; one that is no more than a part of somebody's name may be."""
    return item.text in NUMBERED_PLACES and (item.kind == "plain" or (item.name is not None and item.name.part))


def _may_describe(item: Item) -> bool:
    """Whether a word may say which place is meant: no prey and no act, for those are its use ("the feeding cup")."""
    told = item.prey or "ing" in item.forms or item.text in LISTING | SKIPPED | OF_USE
    return item.kind in {"plain", "word"} and item.text.isalpha() and not told


def _is_member(before: Sequence[Item], items: Sequence[Item], at: int, end: int) -> bool:
    """Whether a stranger stands where a list has its first, a middle or its last name, or is told its own number."""
    link = _link(before)
    if link:
        ends = link in CLOSING and (_is_last(items, end) or (_only_names(before) and predicate_follows(items, end)))
        return ends or _goes_on(items, end)
    if _goes_on(items, end):
        return _opens(before) and (_follows_act(before) or items[end].text in CLOSING)
    return _has_own_number(before, items, at)


def _opens(before: Sequence[Item]) -> bool:
    """Whether a list may begin here: nothing was said yet, or the act it is the object of."""
    return all(item.kind == "plain" and item.text in NAME_LEADS for item in before) or _follows_act(before)


def _only_names(before: Sequence[Item]) -> bool:
    """Whether nothing but the list stands before, so that what is told next is told of all of it: "fed D, B and zuzu got 2 roaches"."""
    start = next(
        (at for at in range(len(before), 0, -1) if before[at - 1].text in ENDS or before[at - 1].kind == "mark"), 0
    )
    return all(item.kind == "name" or item.text in LISTING | SKIPPED for item in before[start:])


def _follows_act(before: Sequence[Item]) -> bool:
    said = [item for item in before if item.text not in NAME_LEADS]
    return bool(said) and said[-1].kind == "word" and said[-1].verb(*ACT_VERBS)


def _has_own_number(before: Sequence[Item], items: Sequence[Item], at: int) -> bool:
    """Whether it goes on with somebody else's number: "fed Holm 2 crickets and Quill 3"."""
    proper = items[at].raw[:1].isupper()
    numbered = at + 1 < len(items) and items[at + 1].kind == "number"
    told = any(item.kind == "name" for item in before)
    return proper and numbered and told and before[-1].text in LISTING


def _link(before: Sequence[Item]) -> str:
    """What links the next item to a name before it; empty where nothing does."""
    at = len(before)
    while at and before[at - 1].text in SKIPPED:
        at -= 1
    first = at
    while first and before[first - 1].text in LISTING and before[first - 1].kind != "name":
        first -= 1
    return before[at - 1].text if first < at and first and before[first - 1].kind == "name" else ""


def _goes_on(items: Sequence[Item], at: int) -> bool:
    """Whether a link and one more name follow, so that the list goes on."""
    first = at
    while at < len(items) and items[at].text in LISTING:
        at += 1
    while at < len(items) and items[at].text in SKIPPED:
        at += 1
    return first < at < len(items) and items[first].text in LISTING and items[at].kind == "name"


def _is_last(items: Sequence[Item], end: int) -> bool:
    """Whether what ends here can end the list: it tells no act, and nothing is told of it alone."""
    word = items[end - 1]
    if word.raw[:1].islower() and word.text.endswith(ACT_ENDINGS):
        return False
    following = items[end] if end < len(items) else None
    if following is None or following.kind in {"mark", "number", "date"} or following.text in LEADS_ON:
        return not predicate_follows(items, end)
    return bool(following.prey)


def _unknown(words: Sequence[Item]) -> Item:
    """Words as one name that nobody bears."""
    first, last = words[0], words[-1]
    name = NameSpan(first.first, last.last, (), "unknown")
    text, raw = (" ".join(getattr(word, of) for word in words) for of in ("text", "raw"))
    return replace(first, kind="name", text=text, last=last.last, end=last.end, name=name, senses=(), raw=raw)
