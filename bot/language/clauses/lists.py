"""Lists of names: "A, B and C" is one item, unless the last of them begins a clause of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.clauses.list_strangers import with_strangers
from bot.language.clauses.list_words import LISTING, SKIPPED, SPLITTERS
from bot.language.clauses.predicates import predicate_follows, state_follows
from bot.language.names import NameSpan

if TYPE_CHECKING:
    from bot.language.items import Item


KNOWING = {"remember", "recall", "know", "sure", "tell", "say", "certain"}
DENYING = {"no", "not", "never", "none", "nothing", "neither", "without"}


def with_lists(items: Sequence[Item]) -> list[Item]:
    """Names joined by commas and "and" become one item, unless the last of them begins a clause of its own."""
    items = with_strangers(items)
    out: list[Item] = []
    position = 0
    while position < len(items):
        item = items[position]
        if item.kind == "name":
            end = _list_end(items, position, opens=not any(_content(other) for other in _since_mark(out)))
            if end > position + 1:
                names = [other for other in items[position:end] if other.kind == "name"]
                denied = _is_denied(items[:position])
                either = not denied and any(other.text == "or" for other in items[position:end])
                item = _listed(names, either=either)
                position = end - 1
        out.append(item)
        position += 1
    return out


def _is_denied(before: Sequence[Item]) -> bool:
    """Whether an "or" joins those of whom something is denied ("no moults in B or C"), and not what somebody cannot remember."""
    denials = [at for at, item in enumerate(before) if item.text in DENYING]
    return any(not any(item.text in KNOWING for item in before[at + 1 : at + 3]) for at in denials)


def _since_mark(items: list[Item]) -> list[Item]:
    """The items after the last mark or connective."""
    start = len(items)
    while start and items[start - 1].kind != "mark" and items[start - 1].text not in SPLITTERS:
        start -= 1
    return items[start:]


def _content(item: Item) -> bool:
    """Whether an item tells something, so that a name after it is no subject that opens its clause."""
    denied = item.sense("negation") is not None and item.text not in {"neither", "nor"}
    return (
        denied or item.kind in {"name", "number"} or any(item.sense(sort) for sort in ("verb", "thing", "prey", "sign"))
    )


def _list_end(items: Sequence[Item], start: int, *, opens: bool) -> int:
    """The item after the last name of a list that starts here; `opens` says that nothing was told before it in its clause."""
    members, end, link = 1, start + 1, ""
    following = _next_name(items, end, bare=opens)
    while following is not None and not (_details(items, start, following[0]) or _own_thing(items, following[0])):
        at, link = following
        members, end = members + 1, at + 1
        following = _next_name(items, end, bare=opens)
    told = predicate_follows(items, end) or state_follows(items, end, bare=link == ",")
    if members > 1 and not opens and told and not _is_owner(items, start, end):
        return _before_subject(items, start, end, closed=members > 2 and link in {"and", "&"})
    return end


def _is_owner(items: Sequence[Item], start: int, end: int) -> bool:
    """Whether what follows is told of a thing of all those listed: "the dishes of A, B and C were refilled"."""
    owned = start > 0 and items[start - 1].text in {"of", "to"} and any(item.thing() for item in items[:start])
    return owned and items[end].text in {"was", "were", "is", "are", "has", "have"}


def _own_thing(items: Sequence[Item], at: int) -> bool:
    """Whether something is told of a thing of the one named here: "boluses out of A and B, Fern's dish refilled"."""
    following = items[at + 1] if at + 1 < len(items) else None
    return (
        following is not None and following.thing("water") and not following.forms and predicate_follows(items, at + 2)
    )


def _details(items: Sequence[Item], start: int, at: int) -> bool:
    """Whether a name goes into detail of the one before it: "weighed the geckos, churro 39 grams"."""
    whole, part = items[start].name, items[at].name
    following = items[at + 1] if at + 1 < len(items) else None
    inside = whole is not None and part is not None and bool(part.subjects) and part.places < whole.places
    return inside and following is not None and following.kind != "mark" and following.text not in LISTING


def _next_name(items: Sequence[Item], at: int, *, bare: bool) -> tuple[int, str] | None:
    """Where the next name of a list is and what links it to the last; `bare` allows a name that nothing links."""
    cursor = at
    while cursor < len(items) and items[cursor].kind in {"mark", "plain", "word"} and items[cursor].text in LISTING:
        cursor += 1
    link = items[cursor - 1].text if cursor > at else ""
    if not link and not (bare and at < len(items) and items[at].kind == "name"):
        return None
    while cursor < len(items) and items[cursor].kind in {"plain", "word"} and items[cursor].text in SKIPPED:
        cursor += 1
    return (cursor, link) if cursor < len(items) and items[cursor].kind == "name" else None


def _before_subject(items: Sequence[Item], start: int, end: int, *, closed: bool) -> int:
    """Where a list of objects ends and the subject of what follows begins: "misted A, B and C got water" is A, then B and C."""
    comma = next((at for at in range(end - 1, start, -1) if items[at].text == ","), None)
    if closed and comma is not None:
        return comma
    previous = end - 1
    while items[previous - 1].kind != "name":
        previous -= 1
    return previous


def _listed(names: list[Item], *, either: bool = False) -> Item:
    """One item for several names; where it is doubtful whom one of them means, or "or" leaves it open, so it is of the whole."""
    first, last = names[0], names[-1]
    spans = [item.name for item in names if item.name]
    sure = tuple(dict.fromkeys(subject for span in spans if span.how != "either" for subject in span.subjects))
    unknown = next((item for item in names if item.name and item.name.how == "unknown"), None)
    if unknown is not None and unknown.name is not None:
        name = replace(unknown.name, beside=sure)
        return replace(unknown, first=first.first, last=last.last, start=first.start, end=last.end, name=name)
    doubtful = next((span for span in spans if span.how == "either"), None)
    several = tuple(dict.fromkeys(subject for span in spans for subject in span.subjects))
    span = NameSpan(
        first.first,
        last.last,
        doubtful.subjects if doubtful else several,
        "either" if doubtful or either else "many",
        groups=all(span.groups for span in spans),
        animals=all(span.animals for span in spans),
        beside=sure if doubtful else (),
    )
    text = " ".join(item.text for item in names)
    return replace(first, last=last.last, end=last.end, name=span, senses=(), text=text)
