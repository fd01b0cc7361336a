"""What is only told as the time before or after: "no sign of B since I moved them on friday", "cleaned up before the new ones arrive"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.items import Item

SINCE = {"since"}
UNTIL = {"until", "till"}
BEFORE = {"before"}
ORDER = {"before", "after"}
LEADS = SINCE | UNTIL | BEFORE | ORDER
AUXILIARIES = {"did", "have", "had", "has", "do"}
SUBJECTS = {"i", "we", "you", "they", "she", "he", "it", "the", "any", "anyone", "everyone", "all", "my"}
ARTICLES = {"the", "a", "that", "this", "their", "her", "his"}
ENDS = {"and", "but", "then", "so", "though"}
PAST_LIKE = {"split", "shed", "put", "cut", "hit", "set", "fed"}
"""Verbs that look the same in the past."""

ACTS = ("moving", "exuvia", "sac", "death", "pairing")
"""Things that are acts in themselves: "since the move"."""


def without_background(items: list[Item]) -> list[Item]:
    """The items, those of a clause that only says since, until or before when made plain words that tell nothing.

    A question keeps them, for it may ask about that time, and so does a sentence that opens with "until" or "before".
    """
    told = [item for item in items if item.kind != "mark" and not item.sense("filler")]
    if not told or _asks(told):
        return items
    out = list(items)
    for at, item in enumerate(items):
        opens = item is told[0]
        if item.text in (SINCE if opens else LEADS):
            end = _main_clause(items, at) if opens else _end(items, at)
            if item.text in ORDER and _tells_order(items[at + 1 : at + 2]):
                out[at] = replace(item, kind="mark", text=",", raw=",", senses=())
                continue
            if item.text not in ORDER - BEFORE and _is_background(item.text, items[at + 1 : end]):
                named = any(other.kind == "name" for other in items[:at])
                out[at + 1 : end] = [_plain(other, named=named) for other in out[at + 1 : end]]
    return out


def _asks(told: list[Item]) -> bool:
    """Whether it opens as a question; "did a full clean" and "haven't fed B" do not."""
    if not told[0].sense("question"):
        return False
    following = told[1] if len(told) > 1 else None
    inverted = following is not None and (following.kind == "name" or following.text in SUBJECTS)
    return inverted or told[0].text not in AUXILIARIES


def _end(items: list[Item], at: int) -> int:
    """Where the clause that begins here ends: at a mark or a connective."""
    ends = (end for end in range(at + 1, len(items)) if items[end].kind == "mark" or items[end].text in ENDS)
    return next(ends, len(items))


def _main_clause(items: list[Item], at: int) -> int:
    """Where the clause that opens the sentence ends: at a mark, or where somebody comes of whom the rest is told."""
    for end in range(at + 1, len(items)):
        item, before = items[end], items[end - 1]
        moved = bool(before.forms) and items[end - 2].text not in ARTICLES  # "since I moved B", not "since the move B"
        if item.kind == "mark" or item.text in {"they", "she", "he"} or (item.kind == "name" and not moved):
            return end
    return at + 1


def _is_background(lead: str, clause: list[Item]) -> bool:
    """Whether a clause tells something that happened, or is to come, at another time than what it goes with."""
    verbs = [item for item in clause if item.kind == "word" and item.sense("verb") and item.text != "new"]
    if lead in BEFORE:
        return bool(verbs) and all(item.forms <= {"base", "third"} and item.text not in PAST_LIKE for item in verbs)
    words = [item for item in clause if item.kind == "word"]
    return any(item in verbs or item.thing(*ACTS) or item.sense("outcome") or item.sense("sign") for item in words)


def _tells_order(following: list[Item]) -> bool:
    """Whether one act of the keeper is told before or after another: "misted B before feeding A"."""
    verb = following[0].sense("verb") if following else None
    return verb is not None and verb.agent == "keeper" and following[0].forms == {"ing"}


def _plain(item: Item, *, named: bool) -> Item:
    """The item as a plain word; a name stays one where nobody was named before it."""
    if item.kind == "name" and not named:
        return item
    return replace(item, kind="plain", senses=(), name=None, date=None, quantity=None)
