"""Where something was moved to: a name of the roster, several to choose from, or a place in the keeper's own words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import Draft, Scope, words_of

if TYPE_CHECKING:
    from bot.language.items import Item

TO = {"to", "into", "onto", "in", "inside", "back", "over", "across"}
DETERMINERS = {"the", "a", "an", "her", "his", "its", "their", "my", "our", "that", "this", "some", "own"}
LEADS = TO | DETERMINERS
DESCRIBING = {"big", "bigger", "old", "new", "little", "small", "other", "same", "tall", "large", "wee", "usual"}
"""Words before a part of a name that may be said of it; "the old fish tank" is no bookcase tank."""

STOPS = {
    "with", "because", "as", "so", "since", "who", "which", "that", "for", "at", "today", "now", "by", "where",
    "after", "before", "when", "while", "too", "again", "finally", "please", "just", "once", "from", "if", "yet",
    "instead", "to", "no", "not", "until", "till",
}  # fmt: skip


AIMS = {
    "raise",
    "rear",
    "grow",
    "keep",
    "sell",
    "give",
    "make",
    "see",
    "let",
    "start",
    "stop",
    "be",
    "have",
    "try",
    "save",
    "avoid",
    "photograph",
    "get",
}
"""What somebody is moved to do, and no place."""


def destination(scope: Scope, verb: Item | None) -> list[Item] | None:
    """The items of the place moved to: what follows "to", "into" or "in" after the verb, up to what ends it."""
    items = scope.clause.items
    start = scope.clause.index(verb) if verb else 0
    for index in range(start, len(items)):
        item = items[index]
        if item.text not in TO or item.kind == "name":
            continue
        place = _place_words(_without_leads(list(items[index + 1 :])))
        if place and not (item.text == "in" and place[0].kind in {"date", "number"}):
            return place
    return None


def _without_leads(rest: list[Item]) -> list[Item]:
    while rest and _leads(rest[0]):
        rest = rest[1:]
    return rest


def _leads(item: Item) -> bool:
    article = item.quantity is not None and item.quantity.article
    return item.text in LEADS or item.text in {"of", "with"} or article


def _place_words(rest: list[Item]) -> list[Item]:
    if rest and rest[0].text in {"either", "maybe"}:
        rest = [item for item in rest[1:] if item.text not in LEADS]
    if rest and rest[0].kind == "name":
        alternatives = [item for item in rest[1:5] if item.kind == "name"]
        return [rest[0], *(alternatives or rest[1:2])] if len(rest) > 1 and rest[1].text == "or" else rest[:1]
    words: list[Item] = []
    for item in rest:
        other = item.name is not None and item.name.part and not {word.text for word in words} <= DESCRIBING
        if item.kind in {"date", "mark"} or item.text in STOPS or (item.kind == "name" and words and not other):
            break
        words.append(item)
    if words and (words[0].verb("pair") or _is_manner_or_aim(words)):
        return []
    return words if any(item.kind in {"plain", "word"} and len(item.text) > 1 for item in words) else []


def _is_manner_or_aim(words: list[Item]) -> bool:
    """Whether the words say how or what for, and not where: "went across safely", "out to raise singly"."""
    return words[0].text in AIMS or all(item.kind == "plain" and item.text.endswith("ly") for item in words)


def set_destination(draft: Draft, to: list[Item], scope: Scope) -> None:
    """Give a move its place; where several may be meant the draft misses it and offers them."""
    scope.use(*to)
    name = to[0].name
    if name is None or name.how == "unknown":
        draft.put("to", words_of(to), *to)
    elif name.how in {"either", "many"} or len(to) > 1:
        draft.missing.append("to")
        draft.choices = _choices(to)
    else:
        draft.put("to", name.subjects[0], *to)
    if any(item.name for item in to):
        draft.names = [item for item in draft.names if item not in to]


def _choices(to: list[Item]) -> tuple[str, ...]:
    return tuple(subject for item in to if item.name for subject in item.name.subjects)
