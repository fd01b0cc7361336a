"""Settling what the tagger left open: colonies named like prey, numbers that stand for tubs, and self-repairs."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.names import NameSpan
from bot.language.vocabulary import vocabulary

if TYPE_CHECKING:
    from bot.language.items import Item
    from bot.language.roster_index import RosterIndex

BY_HEADS = ("buy", "arrive", "sell", "giveaway", "count", "die", "move", "split", "hatch")
PARTICLES = {"out", "up", "away", "off", "down", "in", "over"}
PLACING = {"in", "into", "from", "to", "for", "inside", "at"}
BARE_LEADS = {"of", "from", "in", "to", "for", "into", "on", "and", "did"}


def refine(items: list[Item], index: RosterIndex) -> list[Item]:
    """One sentence's items, settled."""
    items = [_settled(items, position) for position in range(len(items))]
    items = _phrasal([_where_only(items, position) for position in range(len(items))])
    items = _one_of(_without_parts(items))
    return _excepted(repaired(_numbered_places(items, index)), index)


# ---- colonies named like prey, animals named like things --------------------------------------------------------------


def _settled(items: list[Item], position: int) -> Item:
    item = items[position]
    if item.prey and item.sense("filler"):  # "ffs" is fruit flies only where they are counted or given
        before = items[position - 1] if position else None
        given = before is not None and (before.kind == "number" or before.verb("feed", "offer", "get"))
        return item if given else replace(item, senses=tuple(sense for sense in item.senses if sense.category == "filler"))
    if item.kind != "name" or not item.senses:
        return item
    as_word = _means_prey(items, position) if item.prey else _means_thing(items, position)
    return replace(item, kind="word", name=None) if as_word else replace(item, senses=())


def _where_only(items: list[Item], position: int) -> Item:
    """ "behind the fly cups" says where something was, not whom it is about."""
    item = items[position]
    lead = position - 1 - (position > 1 and items[position - 1].text in {"the", "my", "our"})
    if item.kind == "name" and lead >= 0 and (items[lead].text in {"behind", "beside", "beneath", "underneath", "above", "below"} or (items[lead].text == "under" and item.name and item.name.part)):
        return replace(item, kind="plain", name=None, senses=())
    return item


def _without_parts(items: list[Item]) -> list[Item]:
    """ "Hottas … in the box": beside a full name, a lone word of a longer name only says where, unless it says where to."""
    whole = [item for item in items if item.kind == "name" and item.name and not item.name.part]
    out = []
    for position, item in enumerate(items):
        lead = position - 1 - (position > 1 and items[position - 1].text in {"the", "her", "his", "its", "their", "that", "this"})
        weak = item.kind == "name" and item.name is not None and item.name.part and any(other.start < item.start for other in whole)
        owned = item.kind == "name" and item.name is not None and item.name.part and position > 0 and items[position - 1].kind == "name"
        if owned:  # "D's tub"
            out.append(replace(item, kind="plain", name=None, senses=()))
            continue
        if weak and item.name and item.name.how == "either" and not (lead >= 0 and items[lead].text in {"to", "into", "in"}):
            out.append(replace(item, kind="plain", name=None, senses=()))
            continue
        inside = lead >= 0 and items[lead].text in {"in", "inside", "of", "on", "from", "round", "around", "at", "with"} and not any(other.verb("move", "put", "split", "join") for other in items)
        out.append(replace(item, kind="plain", name=None, senses=()) if weak and inside else item)
    return out


def _one_of(items: list[Item]) -> list[Item]:
    """ "one of the geckos" where each gecko has a name of its own: only one is meant, and it is not said which."""
    out = list(items)
    for position, item in enumerate(items):
        words = [other.text for other in items[max(0, position - 3) : position]]
        if item.kind == "name" and item.name and item.name.how == "many" and len(item.name.subjects) > 1 and words[-3:] in (["one", "of", "the"], ["one", "of", "my"], ["one", "of", "our"]):
            out[position] = replace(item, name=replace(item.name, how="either"))
    return out


def _stretch(items: list[Item], position: int) -> tuple[list[Item], int]:
    """The items between the marks around a position, and where in them it is."""
    start = position
    while start > 0 and not (items[start - 1].kind == "mark" and items[start - 1].text in {",", ":"}) and items[start - 1].text not in {"but", "then"}:
        start -= 1
    end = position
    while end < len(items) and not (items[end].kind == "mark" and items[end].text in {",", ":"} and end > position) and items[end].text not in {"but", "then"}:
        end += 1
    return items[start:end], position - start


def _means_prey(items: list[Item], position: int) -> bool:
    stretch, at = _stretch(items, position)
    item = items[position]
    before = stretch[at - 1] if at else None
    others = [other for other in stretch if other.kind == "name" and other is not item and not other.prey]
    verbs = {sense.value for other in stretch for sense in other.senses if sense.category == "verb"}
    counted = any(other.kind == "number" for other in stretch[max(0, at - 3) : at])
    if any(other.prey and other.kind == "word" for other in items) and any(other.text == "not" for other in items):
        return True
    if item.possessive or (before is not None and before.text == "the" and at > 1 and stretch[at - 2].text in PLACING):
        return False
    if verbs & set(BY_HEADS) and not others:
        return False
    if counted or others:
        return True
    if any(other.text in {"need", "use", "order", "plan", "should", "should i", "buy", "get"} for other in stretch) and any(other.text in {"how", "many", "much"} for other in stretch):
        return True
    if before is not None and (before.text in {"the", "my", "our"} or before.text in PLACING):
        return False
    following = stretch[at + 1] if at + 1 < len(stretch) else None
    starts = all(other.sense("filler") or other.kind == "date" for other in stretch[:at])
    if starts and following is not None and (following.sense("verb") or following.sense("sign") or following.text in {"are", "is", "all", "have"}):
        return False
    if before is not None and before.verb("feed", "mist", "water", "clean"):
        return any(other.kind == "name" for other in items[:position])
    return position > 0 and any(other.kind == "name" and not other.prey for other in items[:position])


def _means_thing(items: list[Item], position: int) -> bool:
    """ "damped the moss in tub 13" where an animal is called Moss."""
    stretch, at = _stretch(items, position)
    before = stretch[at - 1] if at else None
    others = [other for other in stretch if other.kind == "name" and other is not items[position]]
    name = items[position].name
    if name is None or name.how != "name" or not name.animals:
        return False
    if before is None or before.text not in {"the", "some", "fresh", "a", "more", "new"}:
        return False
    return bool(others) or any(other.verb("mist", "fill", "change", "remove") for other in stretch[:at])


# ---- verbs parted from their particle -------------------------------------------------------------------------------


def _phrasal(items: list[Item]) -> list[Item]:
    """ "picked it out", "topped the dish up", "gave two away": the particle after the object belongs to the verb."""
    out = list(items)
    position = 0
    while position < len(out):
        joined = _with_particle(out, position)
        if joined is not None:
            item, particle = joined
            out[position] = item
            del out[particle]
        position += 1
    return out


def _with_particle(items: list[Item], position: int) -> tuple[Item, int] | None:
    item = items[position]
    first = item.text.split()[0]
    node = vocabulary().tree.next.get(first)
    if node is None or item.kind not in {"word", "plain"} or item.verb("get"):
        return None
    for distance in range(1, 6):
        at = position + distance
        if at >= len(items) or items[at].kind in {"mark", "date"} or (items[at].sense("verb") and items[at].kind == "word"):
            return None
        following = node.next.get(items[at].text)
        if (distance > 1 or " " in item.text) and items[at - 1].text not in {"straight", "right"} and items[at].text in PARTICLES and following is not None and any(sense.category == "verb" for sense in following.senses):
            after = items[at + 1] if at + 1 < len(items) else None
            if items[at].text == "in" and after is not None and (after.kind == "name" or after.text in {"the", "with", "a", "there"}):
                return None
            verbs = tuple(sense for sense in following.senses if sense.category == "verb")
            return replace(item, kind="word", senses=verbs, text=f"{first} {items[at].text}"), at
    return None


# ---- exceptions told after the verb -----------------------------------------------------------------------------


def _excepted(items: list[Item], index: RosterIndex) -> list[Item]:
    """ "everything fed except custard and the feeders": names after "except" are taken from those before it."""
    at = next((position for position, item in enumerate(items) if item.text in {"except", "bar", "excluding", "apart", "besides"} and item.kind == "plain"), None)
    if at is None:
        return items
    whole = next((item for item in items[:at] if item.kind == "name" and item.name and len(item.name.subjects) > 1), None)
    gone = [item for item in items[at + 1 :] if item.kind == "name"]
    between = [item for item in items[at + 1 :] if item.kind != "name" and item.kind != "date" and item.text not in {"the", "and", ",", "for", "from", "&", "+", "my", "except"} and not item.sense("filler")]
    if whole is None or whole.name is None or not gone or between:
        return items
    places = {index.place_of[name] for item in gone if item.name for name in item.name.subjects}
    kept = tuple(name for name in whole.name.subjects if index.place_of[name] not in places)
    mended = replace(whole, name=replace(whole.name, subjects=kept, how="many"))
    return [mended if item is whole else item for item in items[:at]] + [item for item in items[at:] if item.kind == "date"]


# ---- bare numbers for places ------------------------------------------------------------------------------------


def _numbered_places(items: list[Item], index: RosterIndex) -> list[Item]:
    """ "pulled leftovers out of 2 and 13": numbers after a preposition with nothing they could count are places, if they fit."""
    out: list[Item] = []
    position = 0
    while position < len(items):
        end, labels = _bare_labels(items, position)
        base = _base_with(labels, index) if labels else None
        led = position > 0 and items[position - 1].text in BARE_LEADS - {"and"}
        starts = position == 0 and end < len(items) and any(sense.agent == "animal" for sense in items[end].senses) and not items[end].thing()
        starts = starts or _goes_on_numbering(items, position)
        if not labels and starts:
            quantity = items[position].quantity
            labels = [f"{number}" for number in range(int(quantity.low), int(quantity.high) + 1)] if quantity else []
            end, base = position + 1, _base_with(labels, index)
        if labels and base and (starts or (led and not _counts_something(items, end))):
            subjects = tuple(base[label] for label in labels)
            span = NameSpan(items[position].first, items[end - 1].last, subjects, "many" if len(subjects) > 1 else "name")
            out.append(replace(items[position], kind="name", quantity=None, senses=(), name=span, last=items[end - 1].last, end=items[end - 1].end))
            position = end
        else:
            out.append(items[position])
            position += 1
    return out


def _goes_on_numbering(items: list[Item], position: int) -> bool:
    """ "pots 1-6 got one each, 7-12 half a mealworm each": a bare range opening a clause after numbered places, before another number."""
    item = items[position]
    opens = position > 1 and items[position - 1].kind == "mark" and items[position - 1].text == ","
    ranged = item.kind == "number" and item.quantity is not None and item.quantity.high > item.quantity.low and not item.quantity.unit and item.quantity.high - item.quantity.low < 100
    follows = items[position + 1] if position + 1 < len(items) else None
    named = any(other.kind == "name" and other.name and len(other.name.subjects) > 1 for other in items[:position])
    return opens and ranged and named and follows is not None and (follows.kind == "number" or follows.verb("get", "eat", "take", "refuse"))


def _bare_labels(items: list[Item], position: int) -> tuple[int, list[str]]:
    labels: list[str] = []
    cursor = end = position
    while cursor < len(items):
        quantity = items[cursor].quantity
        if items[cursor].kind != "number" or quantity is None or quantity.unit or quantity.sense != "exact" or quantity.article or quantity.low != quantity.high or not items[cursor].raw.isdigit():
            break
        labels.append(f"{quantity.low:g}")
        end = cursor + 1
        if end < len(items) and items[end].text in {"and", "&", "+", ","}:
            cursor = end + 1
        else:
            break
    return end, labels


def _base_with(labels: list[str], index: RosterIndex) -> dict[str, str] | None:
    fitting = [members for base, members in index.numbered.items() if all(label in members for label in labels) and len(base[-1]) > 1]
    places = {tuple(index.place_of[members[label]] for label in labels) for members in fitting}
    return fitting[0] if len(places) == 1 else None


def _counts_something(items: list[Item], end: int) -> bool:
    if end >= len(items):
        return False
    following = items[end]
    return following.kind in {"plain", "word", "name"} and following.text not in {"and", "then", "but", "too", "also", "as", "well", "today", "with", "again", "now"}


# ---- self-repairs ---------------------------------------------------------------------------------------------------


def repaired(items: list[Item]) -> list[Item]:
    """What a speaker took back is left out: "fed tub 1 no sorry tub 2" is "fed tub 2"."""
    for position in range(len(items) - 1, 0, -1):
        if not _is_repair(items, position):
            continue
        rest = _leading(items, position + 1)
        if any(item.text == "not" for item in items[position : position + 2]) or items[position].text.endswith(" not"):
            rest = _after_denied(rest)
        mended = _mend(items[:position], rest)
        if mended is not None:
            return repaired(mended)
    return items


def _is_repair(items: list[Item], position: int) -> bool:
    item = items[position]
    if item.kind in {"name", "date", "number"} or not item.sense("repair"):
        return False
    rest = _leading(items, position + 1)
    if not rest:
        return False
    if item.text in {"no", "sorry", "rather", "wait", "oops", "actually", "nope", "or rather"}:
        if item.text == "no" and (rest[0].thing() or rest[0].sense("sign") or rest[0].sense("outcome") or rest[0].prey):
            return False
        return rest[0].kind in {"name", "number", "date"} or bool(rest[0].prey) or (item.text in {"no", "actually", "rather"} and bool(rest[0].sense("state")))
    return True


def _after_denied(rest: list[Item]) -> list[Item]:
    """ "no not a locust, a cricket": what is denied is passed over."""
    denied = next((at for at, item in enumerate(rest) if _sort(item) and not (item.quantity and item.quantity.article)), None)
    following = rest[denied + 1 :] if denied is not None else []
    return following if any(_sort(item) for item in following) else rest


def _leading(items: list[Item], position: int) -> list[Item]:
    rest = items[position:]
    while rest and (rest[0].kind == "mark" or rest[0].sense("filler") or rest[0].sense("repair") or (rest[0].kind == "plain" and rest[0].text in {"it", "was", "that", "the", "to", "is", "them", "those", "they", "were", "not", "in", "of", "on", "for"})):
        if rest[0].text == "to" and len(rest) > 1 and rest[1].kind != "name":
            break
        rest = rest[1:]
    return rest


def _mend(before: list[Item], rest: list[Item]) -> list[Item] | None:
    """Drop from what was said before the last piece of each sort that is said anew."""
    sorts = []
    for item in rest:
        sort = _sort(item)
        if sort is None:
            if item.kind == "mark" or item.text in {"and", "but", "then"}:
                break
            continue
        if sort == "verb" and sorts:
            break
        if sort not in sorts:
            sorts.append(sort)
    if not sorts:
        return None
    kept = list(before)
    if sorts[0] == "verb":
        cut = next((index for index in range(len(kept) - 1, -1, -1) if _sort(kept[index]) == "verb"), None)
        return None if cut is None else [*_tail_trimmed(kept[:cut]), *rest]
    dropped = False
    for sort in sorts:
        cut = next((index for index in range(len(kept) - 1, -1, -1) if _sort(kept[index]) == sort), None)
        if cut is not None:
            del kept[cut]
            dropped = True
    return [*_tail_trimmed(kept), *rest] if dropped else None


def _tail_trimmed(items: list[Item]) -> list[Item]:
    while items and (items[-1].kind == "mark" or items[-1].sense("filler") or items[-1].sense("repair") or items[-1].text in {"the", "a", "of", "no"}):
        items = items[:-1]
    return items


def _sort(item: Item) -> str | None:
    if item.kind in {"name", "date"}:
        return item.kind
    if item.kind == "number":
        return "number"
    if item.prey:
        return "prey"
    if item.sense("state"):
        return "state"
    if item.sense("amount") and not item.sense("filler"):
        return "amount"
    verb = item.sense("verb")
    return "verb" if verb and verb.value not in {"get", "see", "take"} else None
