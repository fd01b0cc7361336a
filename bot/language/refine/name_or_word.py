"""Names that are also ordinary words: colonies named like prey, animals named like things, words of longer names."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.names.near import NUMBERED_PLACES

if TYPE_CHECKING:
    from bot.language.items import Item

BY_HEADS = {"buy", "arrive", "sell", "giveaway", "count", "die", "move", "split", "hatch"}
"""Verbs of what happens to a colony by the head, and not of what is fed."""

PLACING = {"in", "into", "from", "to", "for", "inside", "at"}
OWNERS = {"the", "my", "our"}
HAVING = {"has", "have", "had", "got", "holds", "with"}
BESIDE = {"behind", "beside", "beneath", "underneath", "above", "below"}
INSIDE = {"in", "inside", "of", "on", "from", "round", "around", "at", "with"}
OF_IT = {"the", "her", "his", "its", "their", "that", "this"}
WANTING = {"need", "use", "order", "plan", "should", "should i", "buy", "get"}
DWELLINGS = NUMBERED_PLACES | {"bin", "cage", "home", "house", "place", "setup", "tower"}
FRESH = {"the", "some", "fresh", "a", "more", "new"}


def settled(items: list[Item]) -> list[Item]:
    """Each name that is also a word of the trade taken for one of the two."""
    return [_settled(items, position) for position in range(len(items))]


def _settled(items: list[Item], position: int) -> Item:
    item = items[position]
    if _counts_some_of(items, position) or _is_common_noun(items, position):
        return replace(item, kind="word" if item.senses else "plain", name=None)
    if not item.senses:
        return item
    if item.prey and item.sense("filler"):  # "ffs" is fruit flies only where they are counted or given
        before = items[position - 1] if position else None
        given = before is not None and (before.kind == "number" or before.verb("feed", "offer", "get"))
        fillers = tuple(sense for sense in item.senses if sense.category == "filler")
        return item if given else replace(item, senses=fillers)
    if item.kind != "name":
        return item
    as_word = _means_prey(items, position) if item.prey else _means_thing(items, position)
    return replace(item, kind="word", name=None) if as_word else replace(item, senses=())


def _is_common_noun(items: list[Item], position: int) -> bool:
    """Whether a name written small is only the word it is: "thanks for your patience", "a lot of patience"."""
    name, raw = items[position].name, items[position].raw
    if name is None or name.how != "name" or not name.animals or not raw[:1].islower():
        return False
    lead = [item.text for item in items[max(0, position - 2) : position]]
    return lead[-1:] == ["your"] or lead in (["lot", "of"], ["lots", "of"], ["bit", "of"], ["a lot", "of"])


def _counts_some_of(items: list[Item], position: int) -> bool:
    """Whether what may name others is here the word for some of those named beside it: "6 slings of B", "B has 12 slings", "her sac hatched, 40 slings"."""
    item = items[position]
    young = item.thing("young")
    if item.name is None or not (young or item.name.part):
        return False
    counted = position > 0 and items[position - 1].kind == "number"
    if counted and young and position > 2 and items[position - 2].text in HAVING and items[position - 3].kind == "name":
        return True
    if counted and young and any(other.thing("sac") or other.verb("hatch") for other in items[:position]):
        return True
    whose = [other for other in items[position + 1 : position + 5] if other.text not in OWNERS | {"out"}][:2]
    led = len(whose) == 2 and whose[0].text in INSIDE and whose[1].kind == "name"
    return led and (counted or young) and whose[1].name is not None and len(whose[1].name.places) == 1


def _stretch(items: list[Item], position: int) -> tuple[list[Item], int]:
    """The items between the commas and connectives around a position, and where in them it is."""
    start = position
    while start > 0 and not _parts(items[start - 1]):
        start -= 1
    end = position + 1 if items[position].text not in {"but", "then"} else position
    while end < len(items) and not _parts(items[end]):
        end += 1
    return items[start:end], position - start


def _parts(item: Item) -> bool:
    return item.text in {"but", "then"} or (item.kind == "mark" and item.text in {",", ":"})


def _means_prey(items: list[Item], position: int) -> bool:
    """Whether a colony's name is here the prey it is named for: fed to somebody, counted, wanted."""
    stretch, at = _stretch(items, position)
    if any(other.text in {"except", "but", "bar"} for other in items[max(0, position - 2) : position]):
        return False
    if _surely_prey(items, position) or _asks_how_many(stretch):
        return True
    others = _others_named(stretch, items[position])
    counted = not others and (_guessed(stretch, at) or any(other.verb(*BY_HEADS) for other in stretch))
    some = [other.text for other in stretch[max(0, at - 2) : at]] == [
        "of",
        "the",
    ] and not others  # "gave a friend 90 of the isopods"
    moved = some or any(
        other.verb("move", "split", "join") for other in stretch
    )  # "moved about 200 isopods over to box 2"
    if moved or counted or _is_owner(stretch, at) or _is_fed(stretch, at):
        return False
    if others or any(other.kind == "number" for other in stretch[max(0, at - 3) : at]):
        return True
    if _is_place(stretch, at) or _is_subject(stretch, at):
        return False
    kept = at > 0 and stretch[at - 1].verb("feed", "mist", "water", "clean")
    return any(other.kind == "name" and (kept or not other.prey) for other in items[:position])


def _surely_prey(items: list[Item], position: int) -> bool:
    """Whether it is set against other prey, told with its state, or heads a list of who was given some."""
    state = position > 0 and items[position - 1].sense("state") is not None
    return state or _contrasted(items) or _heads_list(items, position)


def _heads_list(items: list[Item], position: int) -> bool:
    """Whether it heads a list of names with their numbers: "dubia: B 3, D 5"."""
    kinds = [item.text if item.kind == "mark" else item.kind for item in items[position + 1 : position + 4]]
    return kinds == [":", "name", "number"]


def _others_named(stretch: list[Item], own: Item) -> bool:
    """Whether animals of another place are named beside the colony."""
    names = [other for other in stretch if other.kind == "name" and other is not own and not other.prey]
    return any(own.name is None or other.name is None or other.name.places != own.name.places for other in names)


def _guessed(stretch: list[Item], at: int) -> bool:
    """Whether a colony is counted: "at least 20 isos under the bark"."""
    counts = [other.quantity for other in stretch[max(0, at - 2) : at] if other.quantity]
    fed = any(other.verb("feed", "offer", "get", "eat", "take") for other in stretch)
    return bool(counts) and counts[-1].sense != "exact" and not fed


def _contrasted(items: list[Item]) -> bool:
    """Whether prey is set against other prey: "not crickets, roaches"."""
    return any(item.text == "not" for item in items) and any(item.prey and item.kind == "word" for item in items)


def _is_owner(stretch: list[Item], at: int) -> bool:
    """Whether the colony owns or holds something: "the crickets' tub", "in the crickets"."""
    placed = at > 1 and stretch[at - 1].text == "the" and stretch[at - 2].text in PLACING
    return stretch[at].possessive or placed


def _is_fed(stretch: list[Item], at: int) -> bool:
    """Whether the colony is all that an act of feeding is told of: "sprayed the bin and fed the lobsters"."""
    before = [item for item in stretch[:at] if item.text not in OWNERS]
    return bool(before) and before[-1].verb("feed") and at + 1 == len(stretch)


def _asks_how_many(stretch: list[Item]) -> bool:
    wanted = any(item.text in WANTING for item in stretch) and not any(item.text == "did" for item in stretch)
    return wanted and any(item.text in {"how", "many", "much"} for item in stretch)


def _is_place(stretch: list[Item], at: int) -> bool:
    return at > 0 and (stretch[at - 1].text in OWNERS or stretch[at - 1].text in PLACING)


def _is_subject(stretch: list[Item], at: int) -> bool:
    """Whether the name opens the stretch, and what is told of it follows."""
    if at + 1 >= len(stretch) or not all(item.sense("filler") or item.kind == "date" for item in stretch[:at]):
        return False
    following = stretch[at + 1]
    return bool(following.sense("verb") or following.sense("sign") or following.text in {"are", "is", "all", "have"})


def _means_thing(items: list[Item], position: int) -> bool:
    """Whether an animal's name is here the thing it is named for: "damped the moss in tub 13" with an animal called Moss."""
    stretch, at = _stretch(items, position)
    name = items[position].name
    if name is None or name.how != "name" or not name.animals:
        return False
    if at == 0 or stretch[at - 1].text not in FRESH:
        return False
    others = any(other.kind == "name" and other is not items[position] for other in stretch)
    return others or any(other.verb("mist", "fill", "change", "remove") for other in stretch[:at])


# ---- names that only say where ----------------------------------------------------------------------------------


def without_places(items: list[Item]) -> list[Item]:
    """Names that only say where something was taken out: "behind the fly cups"."""
    if any(item.thing("equipment") for item in items):
        return items  # "the lamp above tub 4 is broken"
    return [_plain(item) if item.kind == "name" and _is_beside(items, at) else item for at, item in enumerate(items)]


def _plain(item: Item) -> Item:
    return replace(item, kind="plain", name=None, senses=())


def _is_beside(items: list[Item], position: int) -> bool:
    lead = _lead(items, position, OWNERS)
    name = items[position].name
    return lead in BESIDE or (lead == "under" and name is not None and name.part)


def _lead(items: list[Item], position: int, articles: set[str]) -> str:
    """The word before a name, or before its article; empty at the beginning."""
    at = position - 1 - (position > 1 and items[position - 1].text in articles)
    return items[at].text if at >= 0 else ""


def without_dwellings(items: list[Item]) -> list[Item]:
    """The items, whose home is told as the one who lives there: "Hotta's tank and the tower" are two that are named."""
    out: list[Item] = []
    for item in items:
        if out and _is_dwelling(out[-1], item):
            out[-1] = replace(out[-1], possessive=False, last=item.last, end=item.end)
        else:
            out.append(item)
    return out


def _is_dwelling(owner: Item, item: Item) -> bool:
    return owner.kind == "name" and owner.possessive and item.kind == "plain" and item.text in DWELLINGS


def without_parts(items: list[Item]) -> list[Item]:
    """Lone words of longer names taken out where they only say where: "Hottas … in the box", not where they say where to."""
    first = next((item.start for item in items if item.kind == "name" and item.name and not item.name.part), None)
    moved = any(item.verb("move", "put", "split", "join") for item in items)
    return [
        _plain(item) if _only_says_where(items, position, first, moved=moved) else item
        for position, item in enumerate(items)
    ]


def _only_says_where(items: list[Item], position: int, first: int | None, *, moved: bool) -> bool:
    """Whether a word of a longer name is no subject: owned ("D's tub"), or after a full name, `first` of which starts there."""
    item = items[position]
    if item.kind != "name" or item.name is None or not item.name.part:
        return False
    if position > 0 and items[position - 1].kind == "name":
        return True
    if first is None or first >= item.start:
        return False
    lead = _lead(items, position, OF_IT)
    doubtful = item.name.how == "either" and lead not in {"to", "into", "in"}
    return doubtful or (lead in INSIDE and not moved)


def one_of(items: list[Item]) -> list[Item]:
    """Names of which only one is meant, and it is not said which: "one of the geckos"."""
    return [
        replace(item, name=replace(item.name, how="either"))
        if item.name and item.kind == "name" and item.name.how == "many" and _follows_one_of(items, position)
        else item
        for position, item in enumerate(items)
    ]


def _follows_one_of(items: list[Item], position: int) -> bool:
    name = items[position].name
    words = [other.text for other in items[max(0, position - 3) : position]]
    several = name is not None and len(name.subjects) > 1
    return several and len(words) == 3 and words[:2] == ["one", "of"] and words[2] in OWNERS
