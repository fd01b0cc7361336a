"""What shows that something is said of a subject: what an animal did, or any act or look, after words that weigh nothing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.items import Item

LIGHT = {
    "just", "also", "have", "has", "then", "both", "all", "still", "is", "are", "was", "were", "had", "been", "already", "really", "only",
    "finally", "am", "did", "do", "does", "got", "gets", "seem", "seems", "looks", "look", "looking", "now", "never", "not", "each", "again",
    "even", "actually", "quickly", "will", "a", "bit", "very", "who", "which", "being", "properly",
}  # fmt: skip
"""Words between a subject and what is told of it."""

NOTHING = {"none", "nothing", "nowt", "nil"}
"""What somebody got of what the others were given."""

PASSED_OVER = {"skipped", "missed"}
"""What is said of somebody to whom it was not done."""

LIKINGS = {"likes", "prefers", "prefer", "wants", "loves", "enjoys"}
"""What an animal is said to like is told of it too."""


BEING = {
    "is",
    "are",
    "was",
    "were",
    "has",
    "have",
    "looks",
    "looked",
    "seems",
    "seemed",
    "smells",
    "smelled",
    "feels",
    "felt",
}
"""Verbs of being, after a subject."""

DAMPNESS = {"dry", "damp", "wet", "moist", "soggy", "humid", "empty", "full", "bone", "soaked"}
"""What a tub or its dish is found to be."""


def state_follows(items: Sequence[Item], at: int, *, bare: bool) -> bool:
    """Whether it is said next what somebody is or has, or, where it may stand `bare`, how dry a place is: "… is grumpy", "… bone dry"."""
    cursor = at
    while cursor < len(items) and items[cursor].text not in BEING | DAMPNESS and _weighs_nothing(items[cursor]):
        cursor += 1
    if cursor >= len(items):
        return False
    return items[cursor].text in BEING or (bare and items[cursor].text in DAMPNESS and not _more_follows(items, cursor))


def _weighs_nothing(item: Item) -> bool:
    return item.text in LIGHT or item.text in {"too", "quite", "rather"} or item.sense("filler") is not None


def _more_follows(items: Sequence[Item], at: int) -> bool:
    """Whether what looks like a state goes on: "dry food"."""
    following = items[at + 1 : at + 2]
    return bool(following) and following[0].kind not in {"mark", "date"} and following[0].text not in DAMPNESS


def predicate_follows(items: Sequence[Item], at: int) -> bool:
    """Whether an act, an outcome or a look comes next."""
    cursor = at
    while cursor < len(items) and _is_light(items[cursor]):
        cursor += 1
    if cursor >= len(items) or items[cursor].kind in {"name", "date", "mark", "number"}:
        return False
    item = items[cursor]
    wanted = item.sense("plan", "true") is not None
    return (
        _is_seen(item)
        or wanted
        or item.text in LIKINGS | NOTHING | PASSED_OVER
        or bool(item.sense("verb") and not item.sense("each"))
    )


def animal_predicate_follows(items: Sequence[Item], at: int) -> bool:
    """Whether what an animal did comes next, or a bare "did not" at the end."""
    cursor = at
    while cursor < len(items) and items[cursor].kind in {"plain", "word"} and _is_light(items[cursor]):
        cursor += 1
    if cursor >= len(items):
        return cursor > at + 1 and items[cursor - 1].text == "not"
    if items[cursor].kind not in {"word", "plain"}:
        return False
    verb = items[cursor].sense("verb")
    return _is_seen(items[cursor]) or (verb is not None and (verb.agent == "animal" or verb.form == "past"))


def verb_follows(items: Sequence[Item], at: int) -> bool:
    """Whether any verb, outcome or look comes next, fillers passed over."""
    cursor = at
    while (
        cursor < len(items)
        and (items[cursor].text in LIGHT or items[cursor].sense("filler"))
        and not items[cursor].sense("verb")
    ):
        cursor += 1
    return cursor < len(items) and (items[cursor].sense("verb") is not None or _is_seen(items[cursor]))


def _is_light(item: Item) -> bool:
    return (item.text in LIGHT and item.sense("verb", "get") is None) or item.sense("amount") is not None


def _is_seen(item: Item) -> bool:
    return bool(item.sense("outcome") or item.sense("sign"))
