"""Self-repairs: what a speaker took back is left out, "fed tub 1 no sorry tub 2" is "fed tub 2"."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.items import Item

SHORT = {"no", "sorry", "rather", "wait", "oops", "actually", "nope", "or rather"}
"""Words that also mean something else; they repair only right before what is said anew."""

LEADING = {
    "it", "was", "that", "the", "to", "is", "them", "those", "they", "were", "not", "in", "of", "on", "for",
}  # fmt: skip
TRAILING = {"the", "a", "of", "no"}


def repaired(items: list[Item]) -> list[Item]:
    """The items without what was taken back."""
    mended: list[Item] | None = items
    while mended is not None:
        items, mended = mended, _last_mended(mended)
    return items


def _last_mended(items: list[Item]) -> list[Item] | None:
    """The items with the last repair that can be made; None where there is none."""
    starts: list[int] | None = None
    for position in range(len(items) - 1, 0, -1):
        if items[position].kind in {"name", "date", "number"} or not items[position].sense("repair"):
            continue
        starts = starts or _starts(items)
        rest = items[starts[position + 1] :]
        if rest and _is_repair(items[position], rest[0]):
            before = _without_denied(items[:position])
            mended = _mend(before, _after_denied(rest) if _denies(items, position) else rest)
            if mended is not None:
                return mended
    return None


def _starts(items: list[Item]) -> list[int]:
    """For each item, and for the end, where what is said anew begins if the words before that item are a repair."""
    starts = [len(items)]
    for position in range(len(items) - 1, -1, -1):
        starts.append(starts[-1] if _is_leading(items, position) else position)
    return starts[::-1]


def _is_leading(items: list[Item], position: int) -> bool:
    """Whether an item only leads up to what is said anew; a "to" does so before a name."""
    item = items[position]
    if item.text == "to" and position + 1 < len(items) and items[position + 1].kind != "name":
        return False
    return _is_idle(item) or (item.kind == "plain" and item.text in LEADING)


def _is_idle(item: Item) -> bool:
    return item.kind == "mark" or bool(item.sense("filler") or item.sense("repair"))


def _is_repair(item: Item, anew: Item) -> bool:
    """Whether a word that may repair does so before what is said anew."""
    if item.text not in SHORT:
        return True
    if item.text == "no" and (anew.thing() or anew.sense("sign") or anew.sense("outcome") or anew.prey):
        return False
    if anew.kind in {"name", "number", "date"} or anew.prey:
        return True
    return item.text in {"no", "actually", "rather"} and anew.sense("state") is not None


def _denies(items: list[Item], position: int) -> bool:
    return items[position].text.endswith(" not") or any(item.text == "not" for item in items[position : position + 2])


def _after_denied(rest: list[Item]) -> list[Item]:
    """What follows what is denied ("no not a locust, a cricket"), if there is anything."""
    denied = next((at for at, item in enumerate(rest) if _sort(item) and not _is_article(item)), None)
    following = rest[denied + 1 :] if denied is not None else []
    while following and following[0].kind == "mark":
        following = following[1:]
    return following if any(_sort(item) for item in following) else rest


def _without_denied(before: list[Item]) -> list[Item]:
    """What stands before a repair, without a piece just denied: "a cricket each, no not crickets, I mean locusts"."""
    end = len(_trimmed(before))
    if end < 2 or not _sort(before[end - 1]) or not before[end - 2].text.endswith("not"):
        return before
    return _trimmed(before[: end - 2])


def _is_article(item: Item) -> bool:
    return item.quantity is not None and item.quantity.article


def _mend(before: list[Item], rest: list[Item]) -> list[Item] | None:
    """Drop from what was said before the last piece of each sort that is said anew; None where nothing is to drop."""
    sorts = _sorts(rest)
    if not sorts:
        return None
    if sorts[0] == "verb":
        cut = _last_of(before, "verb")
        return None if cut is None else [*_trimmed(before[:cut]), *rest]
    kept = list(before)
    for sort in sorts:
        cut = _last_of(kept, sort)
        if cut is not None:
            del kept[cut]
    return [*_trimmed(kept), *rest] if len(kept) < len(before) else None


def _sorts(rest: list[Item]) -> list[str]:
    """The sorts of pieces that are said anew, up to the end of their clause or a verb after them."""
    sorts: list[str] = []
    for item in rest:
        sort = _sort(item)
        if sort is None and (item.kind == "mark" or item.text in {"and", "but", "then"}):
            break
        if sort == "verb" and sorts:
            break
        if sort is not None and sort not in sorts:
            sorts.append(sort)
    return sorts


def _last_of(items: Sequence[Item], sort: str) -> int | None:
    return next((at for at in range(len(items) - 1, -1, -1) if _sort(items[at]) == sort), None)


def _trimmed(items: list[Item]) -> list[Item]:
    """The items without the marks, fillers and articles at their end."""
    end = len(items)
    while end and (_is_idle(items[end - 1]) or items[end - 1].text in TRAILING):
        end -= 1
    return items[:end]


def _sort(item: Item) -> str | None:
    """What sort of piece an item is; None for what is not repaired by itself."""
    if item.kind in {"name", "date", "number"}:
        return item.kind
    if item.prey:
        return "prey"
    if item.sense("state"):
        return "state"
    if item.sense("amount") and not item.sense("filler"):
        return "amount"
    verb = item.sense("verb")
    return "verb" if verb and verb.value not in {"get", "see", "take"} else None
