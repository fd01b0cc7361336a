"""Words that stand where a name should and that nobody on the roster bears."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.vocabulary import vocabulary

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item

ACT_VERBS = {
    "feed", "mist", "clean", "spotclean", "move", "count", "weigh", "measure", "offer", "water", "check", "split",
}  # fmt: skip
SHORT_WORDS = {"a", "i", "u", "r", "y", "k", "n", "w", "x", "o", "m", "l", "s", "t"}
"""Lower-case letters that are words, sexes or shortened words in chat; after a verb the others can only be a name."""

NAME_LEADS = {"the", "my", "our", "up", "out", "on", "both", "just", "little", "old", "big"}


def stranger_in(clause: Clause) -> str:
    """A word where a name should be that nobody on the roster bears, as written; empty where there is none."""
    places = (_beside_verb(clause.items, at) for at in range(len(clause.items)))
    beside = next((item for item in places if item is not None), None)
    found = beside or next((item for item in clause.items if _is_proper(item)), None)
    return found.raw if found else ""


def _beside_verb(items: tuple[Item, ...], at: int) -> Item | None:
    """The stranger after an act's verb ("fed Holm"), or before an animal's ("Holm ate")."""
    verb = items[at].sense("verb") if items[at].kind == "word" else None
    if verb is None:
        return None
    if verb.value in ACT_VERBS:
        following = next((item for item in items[at + 1 :] if item.text not in NAME_LEADS), None)
        if following is not None and is_strange(following):
            return following
    return items[at - 1] if verb.agent == "animal" and at and is_strange(items[at - 1]) else None


def is_strange(item: Item) -> bool:
    """Whether a word is neither of the trade nor an everyday one."""
    if item.kind != "plain" or not item.text.isalpha():
        return False
    if len(item.text) == 1:
        return item.text not in ({"a", "i"} if item.raw.isupper() else SHORT_WORDS)
    return item.text not in vocabulary().ordinary


def _is_proper(item: Item) -> bool:
    return is_strange(item) and item.raw[:1].isupper() and item.start > 0
