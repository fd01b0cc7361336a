"""Items to sentences and clauses: where one act ends and the next begins, also in dictated text without any marks."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.clauses.clause import Clause, Sentence
from bot.language.clauses.list_words import LISTING, SPLITTERS
from bot.language.clauses.lists import with_lists
from bot.language.clauses.run_on import runs

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.items import Item, Tagged

__all__ = ["Clause", "Sentence", "clauses", "sentences"]

ENDS = {".", "!", "?", ";", "\n", "…"}
BREAKS = {",", ":", "-", "&", "+", "/", "(", ")", "|", "*", "•"}
HEADING = {":", "-"}
"""Marks between a heading and what is told of it."""

DAYS = {"day", "days", "night", "nights"}
MEASURED = ("count", "humidity", "temperature", "legspan", "body", "weight")
SHAPES = {"fat", "dark", "shiny", "plump", "dull", "swollen", "huge", "black"}


def sentences(tagged: Tagged) -> list[Sentence]:
    """The sentences of a message; a mark inside a name or a date does not end one."""
    found: list[Sentence] = []
    held: list[Item] = []
    for item in tagged.items:
        if item.kind == "mark" and item.text in ENDS:
            if held:
                found.append(Sentence(tuple(held), item.text))
            elif found and item.text == "?":
                found[-1] = replace(found[-1], end="?")
            held = []
        else:
            held.append(item)
    if held:
        found.append(Sentence(tuple(held), ""))
    return found


def clauses(sentence: Sentence, number: int) -> list[Clause]:
    """A sentence's clauses: parted at commas and connectives, lists of names kept whole, run-on text parted at its verbs."""
    parts: list[Clause] = []
    for joiner, items in _parted(with_lists(sentence.items)):
        for index, run in enumerate(runs(items)):
            parts.append(Clause(tuple(run), joiner if index == 0 else "", number, sentence.end))
    return _headed([part for part in parts if any(item.kind != "mark" for item in part.items)])


def _headed(parts: list[Clause]) -> list[Clause]:
    """The clauses, a name or a day before a colon or a dash one with what is told of it: "tub 1: 5 roaches", "tomorrow: feed B"."""
    out: list[Clause] = []
    for part in parts:
        head = out[-1] if out and part.joiner in {*HEADING, ","} else None
        if head is not None and _heads(head, part):
            out[-1] = replace(head, items=(*head.items, *part.items), headed=True)
        else:
            out.append(part)
    return out


def _heads(head: Clause, part: Clause) -> bool:
    said = [item for item in head.items if item.text not in {"the", "and", "on", "my"} and not item.sense("filler")]
    if all(item.kind == "date" for item in said):
        planned = part.joiner == "," and part.items[0].sense("plan", "true") is not None
        return bool(said) and (part.joiner == ":" or planned)
    told = {item.kind for item in said}
    dated = told == {"name", "date"} and part.joiner == ":"
    return part.joiner in HEADING and (told == {"name"} or dated) and not part.names


def _parted(items: Sequence[Item]) -> list[tuple[str, list[Item]]]:
    """Stretches without marks and connectives, each with the mark or word before it."""
    parts: list[tuple[str, list[Item]]] = [("", [])]
    for position, item in enumerate(items):
        if _breaks(items, position):
            if parts[-1][1]:
                parts.append((item.text, []))
            else:
                parts[-1] = (item.text if parts[-1][0] in {"", ",", "and"} else parts[-1][0], [])
        else:
            parts[-1][1].append(item)
    return [part for part in parts if part[1]]


def _breaks(items: Sequence[Item], position: int) -> bool:
    item = items[position]
    if (item.text == "/" and _between_numbers(items, position)) or (item.text == "-" and _is_score(items, position)):
        return False
    if (item.text in LISTING and _lists_days(items, position)) or (item.text == ":" and _gives_value(items, position)):
        return False
    if (
        item.text in {"and", "+", "&", ","}
        and _shapes(items[max(0, position - 4) : position])
        and _shapes(items[position + 1 : position + 4])
    ):
        return False  # "plump as a pudding and really dark" is one look
    if item.kind == "mark":
        return item.text in BREAKS or (not item.text.isascii() and item.text not in {"°", "º"})
    if item.kind in {"name", "date", "number"} or item.text not in SPLITTERS:
        return False
    return position > 0 or len(items) > 1


def _between_numbers(items: Sequence[Item], position: int) -> bool:
    inside = 0 < position < len(items) - 1
    return inside and items[position - 1].kind == "number" and items[position + 1].kind == "number"


def _is_score(items: Sequence[Item], position: int) -> bool:
    """Whether a dash stands in the result of a match: "lost 2-0"."""
    return position > 1 and items[position - 2].text == "lost" and _between_numbers(items, position)


def _gives_value(items: Sequence[Item], colon: int) -> bool:
    """Whether a colon stands between what is measured or counted and its value: "head count of B: 42"."""
    last = max((at for at in range(colon) if items[at].text in BREAKS), default=-1)
    measured = any(item.kind == "word" and item.thing(*MEASURED) for item in items[last + 1 : colon])
    number = colon + 1 < len(items) and items[colon + 1].kind == "number"
    return measured and number and (colon + 2 == len(items) or items[colon + 2].kind == "mark")


def _lists_days(items: Sequence[Item], position: int) -> bool:
    """Whether a comma or "and" is inside a list of days by number: "on days 1, 3 and 7", "1, 3 and 7 days after"."""
    first, last = position, position
    while first > 0 and _lists(items[first - 1]):
        first -= 1
    while last < len(items) - 1 and _lists(items[last + 1]):
        last += 1
    inside = items[first].kind == items[last].kind == "number"
    led = first > 0 and items[first - 1].text in DAYS
    following = [item.text for item in items[last + 1 : last + 3]]
    return inside and (led or (following[:1] != [] and following[0] in DAYS and following[1:] == ["after"]))


def _lists(item: Item) -> bool:
    return item.kind == "number" or item.text in LISTING


def _shapes(items: Sequence[Item]) -> bool:
    return any(item.text in SHAPES for item in items)
