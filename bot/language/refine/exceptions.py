"""Exceptions told after the verb: "everything fed except custard and the feeders"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.refine.labels_told import places_named
from bot.language.vocabulary import Sense

if TYPE_CHECKING:
    from bot.language.items import Item
    from bot.language.roster_index import RosterIndex

EXCEPT = {"except", "bar", "excluding", "apart", "besides"}
SPARED = "but "
"""How the word for somebody unknown begins who was to be left out."""

PASSED = {"the", "and", ",", "for", "from", "&", "+", "my", "except"}
NOBODY = {"no", "none", "nobody", "nothing", "not", "no one", "nobody ate", "no one ate", "none ate"}
RELATIVES = {"who", "which", "that", "as", "because", "since", ",", "is", "was"}


def excepted(items: list[Item], index: RosterIndex, told: frozenset[str]) -> list[Item]:
    """Names after "except" taken from those before it; what is told of the one excepted becomes a clause of its own.

    Where nobody is named before it ("all ate apart from A"), it is not told of the one excepted either.
    """
    items = _why_apart(_of_those_named(_all_but_who(items, index, told), index))
    at = next((at for at, item in enumerate(items) if item.kind != "name" and _excepts(items, at)), None)
    if at is None:
        return _without_stranger(items)
    whole = next((item for item in items[:at] if _names_several(item)), None)
    gone, rest = _taken_away(items[at + 1 :])
    if whole is None and not any(item.text in NOBODY for item in items[:at]):
        return [replace(item, kind="plain", name=None) if item in gone else item for item in items]
    if whole is None or whole.name is None or not gone:
        return items
    places = {index.place_of[name] for item in gone if item.name for name in item.name.subjects}
    kept = tuple(name for name in whole.name.subjects if index.place_of[name] not in places)
    left_out = tuple(name for item in gone if item.name for name in item.name.subjects)
    mended = replace(whole, name=replace(whole.name, subjects=kept, how="many", without=left_out))
    before = [mended if item is whole else item for item in items[:at]]
    return [*before, *_told_apart(gone, rest)]


def _all_but_who(items: list[Item], index: RosterIndex, told: frozenset[str]) -> list[Item]:
    """The items, "all ate but A" as "all ate, A refused", where several were named before; `told` are their places."""
    for at in range(2, len(items) - 1):
        names, rest = _taken_away(items[at + 1 :])
        excepts = (
            items[at].text in EXCEPT | {"but"} and bool(names) and not any(item.kind == "word" for item in rest[:1])
        )
        if excepts and _all_ate(items[:at]) and len(told | places_named(items[:at], index)) > 1:
            end = len(items) - len(rest)
            refused = replace(items[at], kind="word", text="refused", senses=(Sense("outcome", "refused"),))
            return [*items[:at], _comma(items[at]), *items[at + 1 : end], refused, *rest]
    return items


def _all_ate(before: list[Item]) -> bool:
    """Whether these items end with "all ate" or "all took it"."""
    last = before[-1]
    eaten = last.verb("eat", "take") or last.sense("outcome", "ate") or last.text == "it"
    return bool(eaten) and any(item.text.partition(" ")[0] == "all" and item.kind != "name" for item in before[-4:])


def _of_those_named(items: list[Item], index: RosterIndex) -> list[Item]:
    """The items, "all but 2" after a comma and several names taken for those but that one: "sprayed the crates, all but 2"."""
    for at in range(2, len(items)):
        but, whole = items[at], items[at - 2]
        if items[at - 1].text != "," or but.name is None or not but.name.without or not _names_several(whole):
            continue
        if whole.name is None or not but.text.startswith("all ") or but.kind != "name":
            continue
        gone = _labelled(but, whole, index) or {index.place_of[name] for name in but.name.without}
        kept = tuple(name for name in whole.name.subjects if index.place_of[name] not in gone)
        if 0 < len(kept) < len(whole.name.subjects):
            mended = replace(whole.name, subjects=kept, how="many", without=but.name.without)
            return [*items[: at - 2], replace(whole, name=mended), *items[at + 1 :]]
    return items


def _labelled(but: Item, whole: Item, index: RosterIndex) -> set[str]:
    """The places of those named that have the numbers of "all but 2 and 5"."""
    labels = [word for word in but.text.split() if word.isdigit()]
    held = whole.name.places if whole.name is not None else frozenset()
    numbered = (
        index.place_of[members[label]] for members in index.numbered.values() for label in labels if label in members
    )
    return {place for place in numbered if place in held}


def _why_apart(items: list[Item]) -> list[Item]:
    """The items, a comma for "who" or "because" where it says why those before it were left out of all."""
    return [_comma(item) if at and _says_why(items[at - 1], item) else item for at, item in enumerate(items)]


def _says_why(before: Item, item: Item) -> bool:
    return before.name is not None and bool(before.name.without) and item.text in RELATIVES - {",", "is", "was"}


def _comma(item: Item) -> Item:
    return replace(item, kind="mark", text=",", raw=",", name=None, senses=())


def _without_stranger(items: list[Item]) -> list[Item]:
    """The items, all of them but one whom nobody here is called as nobody known: it must be asked whom that leaves."""
    for at, item in enumerate(items):
        if item.kind != "name" or not _names_several(item):
            continue
        but = at + 1 + (at + 1 < len(items) and items[at + 1].kind == "date")
        end = _stranger_end(items, but)
        if end > but and item.name is not None:
            unknown = replace(item.name, subjects=(), how="unknown", places=frozenset())
            dates = [other for other in items[at + 1 : but] if other.kind == "date"]
            return [
                *items[:at],
                replace(item, name=unknown, raw=f"{SPARED}{items[end - 1].raw}"),
                *dates,
                *_after_list(items[end:]),
            ]
    return items


def _stranger_end(items: list[Item], but: int) -> int:
    """Where "but the …" ends that names nobody on the roster; the same place where there is none."""
    words = [item.text for item in items[but : but + 2]]
    if len(words) < 2 or words[0] not in {"but", *EXCEPT} or words[1] not in {"the", "my", "our", "those"}:
        return but
    stranger = items[but + 2] if but + 2 < len(items) else None
    if stranger is None or stranger.kind != "plain" or not stranger.text.isalpha():
        return but
    following = items[but + 3] if but + 3 < len(items) else None
    closes = following is None or following.kind in {"mark", "date", "number"} or following.text in {"and", "&"}
    return but + 3 if closes else but


def _after_list(items: list[Item]) -> list[Item]:
    """What comes after more names of an exception."""
    at = 0
    while at < len(items) and (items[at].kind == "name" or items[at].text in {"and", "&", ",", "the", "my"}):
        at += 1
    return items[at:] if any(item.kind == "name" for item in items[:at]) else items


def _excepts(items: list[Item], at: int) -> bool:
    """Whether a word excepts what follows; "but" does where a day stands between it and all of them: "fed everyone today but A"."""
    if items[at].text in EXCEPT and items[at].kind == "plain":
        return True
    if items[at].text == "not":
        names, rest = _taken_away(items[at + 1 :])
        afterthought = at > 0 and items[at - 1].text == ","
        return afterthought and bool(names) and all(item.text in {"though", "mind", "yet"} for item in rest)
    if items[at].text != "but" or at < 2 or not _names_several(items[at - 2]):
        return False
    if items[at - 1].kind != "date" and not items[at - 1].forms:
        return False  # "fed everyone today but A", "all fed but A"
    names, rest = _taken_away(items[at + 1 :])
    return bool(names) and not any(item.kind == "word" for item in rest[:2])


def _names_several(item: Item) -> bool:
    return item.kind == "name" and item.name is not None and len(item.name.subjects) > 1


def _taken_away(items: list[Item]) -> tuple[list[Item], list[Item]]:
    """The names that directly follow, and what comes after them."""
    names: list[Item] = []
    last = 0
    for position, item in enumerate(items):
        if item.kind == "name":
            names.append(item)
            last = position + 1
        elif item.text not in PASSED and not item.sense("filler"):
            break
    return names, items[last:]


def _told_apart(gone: list[Item], rest: list[Item]) -> list[Item]:
    """Read "…, who ate on Saturday" as a clause about the one excepted; of several nothing but the dates is kept."""
    told = list(rest)
    while told and told[0].text in RELATIVES:
        told = told[1:]
    if len(gone) != 1 or not any(item.forms or item.sense("sign") or item.sense("outcome") for item in told):
        relative = any(item.text in RELATIVES - {","} for item in rest[:2])
        return [item for item in rest if item.kind == "date"] if relative else rest
    return [_comma(gone[0]), gone[0], *told]
