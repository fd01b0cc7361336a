"""The fields that a correction changes, and "C not B", which says the new and the old."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bot.language.clauses import Clause
from bot.language.drafts import Scope, quantity_of, value_of
from bot.language.kinds.measures import factor_of
from bot.language.kinds.outcomes import outcome_of
from bot.language.kinds.readings import WARMTH, celsius
from bot.language.units import G_IN, MM_IN

if TYPE_CHECKING:
    from datetime import date

    from bot.language.items import Item

SMALL_WORDS = {
    "the", "a", "an", "it", "was", "is", "that", "they", "were", "them", "those", "of", "on", "in", "at", "for",
    "to", "not", "be", "been", "should", "have", "had", "has", "did", "do", "i", "we", "she", "he", "her", "his",
    "its", "my", "our", "from", "actually", "sorry", "no", "day", "time", "one", "ones", "and", "or", "but", "with",
    "by", "this", "tub", "box", "group", "wrong", "correct", "than", "more", "less", "only", "mean", "meant",
    "said", "please", "again", "late", "too", "last", "after", "all", "end", "later", "now",
}  # fmt: skip
ASKED_BY = {"why", "when", "who", "which", "what", "how", "is", "has", "did", "does"}
DENYING = {"would", "could", "did", "does", "do", "have", "has", "had", "will", "can", "should"}
"""Before these a "not" denies an act ("tub 4 would not") and sets nothing against another."""
ENDS = {".", "!", ";", "\n"}
TURNS = {"not", "rather than", "instead", "instead of", "and not"}
ACTS = ("feed", "mist", "clean", "move", "eat", "take")
DAY_MARKS = (
    "day", "night", "morrow", "ago", "th", "st", "nd", "rd", "/", "-", "jan", "feb", "mar", "apr", "may", "jun",
    "jul", "aug", "sep", "oct", "nov", "dec",
)  # fmt: skip

Made = list[tuple[str, "Item"]]
"""Fields with the item that made each."""


class Changes:
    """The changed fields while they are collected: the first word for a field counts."""

    def __init__(self) -> None:
        """Start without any."""
        self.fields: dict[str, Any] = {}
        self.made: Made = []

    def put(self, field: str, value: Any, item: Item) -> None:  # noqa: ANN401 - entry fields differ in type
        """Set a field, unless it is set or there is no value."""
        if field not in self.fields and value is not None:
            self.fields[field] = value
            self.made.append((field, item))


def contrast_in(items: list[Item]) -> int | None:
    """Where "X not Y" or "not Y, X" turns: the position of "not" between two pieces of one sort; no question turns."""
    if items and (items[0].text in ASKED_BY or denies_all(items)):
        return None
    turns = (at for at, item in enumerate(items) if item.text in TURNS and item.kind not in {"name", "number"})
    turns = (at for at in turns if at == 0 or items[at - 1].text not in DENYING)
    return next((at for at in turns if _turns_here(items, at)), None)


def denies_all(items: list[Item]) -> bool:
    """Whether it opens with "not a single …" or "not one …", which sets nothing against another."""
    words = [item.text for item in items[:3]]
    return words[:1] == ["not"] and (words[1:] == ["a", "single"] or words[1:2] in (["one"], ["any"]))


def _turns_here(items: list[Item], at: int) -> bool:
    following = items[at + 1 :]
    if [item.text for item in following[:2]] == ["at", "all"]:
        return False
    if _is_afterthought(items, at) or _tells_act(following):
        return False
    before = next((_field(item) for item in reversed(items[:at]) if _field(item)), None)
    fields = [field for field in map(_field, following) if field]
    if fields and (before == fields[0] or fields[:1] == fields[1:2]):
        return True
    said_of = at > 0 and items[at - 1].text in {"was", "is", "are", "were"}  # "tub 3 wasn't due"
    short = len(items) <= 7 and items[at].text == "not" and before in {"prey", "name"} and not said_of
    unknown = bool(following) and following[0].kind == "plain"  # "locusts, not crikets"
    return short and unknown and not any(item.sense("verb", *ACTS) for item in items)


def _is_afterthought(items: list[Item], at: int) -> bool:
    """Whether "not" comes after a mark and an act, or in a sentence of its own after anything told."""
    mark = items[at - 1] if at else None
    if mark is None or mark.kind != "mark":
        return False
    return any(item.verb(*ACTS) or (mark.text in ENDS and _tells(item)) for item in items[:at])


def _tells(item: Item) -> bool:
    return item.kind == "word" and bool(item.sense("verb") or item.sense("thing") or item.sense("sign"))


def _tells_act(following: list[Item]) -> bool:
    """Whether after "not" comes an act, or words of their own before the first field."""
    first = next((at for at, item in enumerate(following) if _field(item)), 0)
    said = any(item.kind == "plain" and item.text not in SMALL_WORDS for item in following[:first])
    return said or any(item.sense("verb", *ACTS, "water") for item in following[:2])


def _field(item: Item) -> str | None:
    """The sort of field an item may change; None where it changes none."""
    if item.kind == "name":
        return "name"
    if item.kind == "date":
        return "date" if item.date and item.date.on else None
    if item.kind == "number":
        return "number" if item.quantity and not item.quantity.article else None
    outcome = item.sense("outcome", "ate", "refused") or item.verb("eat", "refuse")
    sorts = {"prey": item.prey, "state": item.sense("state"), "outcome": outcome}
    return next((sort for sort, found in sorts.items() if found), None)


def contrasted(items: list[Item], at: int) -> Changes:
    """The changes of "C not B" and of "not B, C": C."""
    before, after = items[:at], items[at + 1 :]
    if any(_field(item) not in {None, "outcome"} for item in before):
        denied = next((_field(item) for item in after if _field(item)), None)
        return changes_in(before + [item for item in after if _field(item) not in {denied, None}])
    first = next((index for index, item in enumerate(after) if _field(item)), None)
    return changes_in(after[first + 1 :]) if first is not None else Changes()


def changes_in(items: list[Item]) -> Changes:
    """The fields that these items change."""
    changes = Changes()
    left = [
        items[at + 1] for at, item in enumerate(items[:-1]) if item.verb("leave") and items[at + 1].kind == "number"
    ]
    if left:  # "actually she left one"
        changes.put("outcome", "partly", left[0])
    for item in (item for item in items if item not in left):
        if item.kind == "name" and item.name and item.name.how != "either":
            changes.put("subjects", item.name.subjects, item)
        elif item.date is not None:
            _put_date(changes, item)
        elif item.quantity is not None:
            _put_number(changes, items, item)
        else:
            _put_word(changes, item)
    outcome, words = outcome_of(Scope(Clause(tuple(items)), list(items)))
    only_verb = outcome == "ate" and not any(item.sense("outcome") for item in words)
    if words and not (changes.fields and only_verb):
        changes.put("outcome", outcome, words[0])
    return changes


def _put_word(changes: Changes, item: Item) -> None:
    for field, category in (("prey", "prey"), ("prey_state", "state"), ("amount", "amount")):
        value = value_of(item, category)
        if value and not (field == "amount" and item.sense("filler")):
            changes.put(field, value, item)
            return


def _put_date(changes: Changes, item: Item) -> None:
    if item.date is None:
        return
    changes.put("on", _day_said(item), item)
    changes.put("at", item.date.at if item.text not in {"now", "right now"} else None, item)
    changes.put("part", item.date.part, item)


def _day_said(item: Item) -> date | None:
    """The day of a date that names one; a bare clock time changes only the time."""
    if item.date is None:
        return None
    only_time = item.date.at is not None and not any(mark in item.text.lower() for mark in DAY_MARKS)
    return None if only_time else item.date.on


def _put_number(changes: Changes, items: list[Item], item: Item) -> None:
    quantity = quantity_of(item)
    if quantity.article:
        return
    if quantity.unit in WARMTH:
        changes.put("temperature_c", celsius(quantity), item)
    elif quantity.unit == "%":
        changes.put("humidity_pct", quantity.measured(), item)
    elif quantity.unit in MM_IN or quantity.unit in G_IN:
        changes.put("value", quantity.measured(factor_of(item)), item)
    else:
        changes.put(_number_field(items), quantity.count(), item)


def _number_field(items: list[Item]) -> str:
    """A bare number is a quantity (the parse contract), unless the message says what it counts."""
    counts = [at for at, item in enumerate(items) if item.verb("count") or item.thing("count")]
    if any(not (at and items[at - 1].text in {"not", "cannot"}) for at in counts):
        return "count"
    words = [item for item in items if item.kind == "word"]
    if any(item.verb("die", "moult", "sell") or item.thing("death", "exuvia", "eggs", "young") for item in words):
        return "number"
    return "quantity"
