"""Words of the trade in a turn of phrase that means something else: "took me an hour", "wiped me out of crickets", "missing a leg"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.refine.in_phrase import in_phrase, is_ordinal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.items import Item

KEEPERS = {"me", "us"}
TIME_TAKEN = KEEPERS | {"ages", "forever", "hours", "days", "weeks", "long", "time", "longer", "ages and ages"}
HOURS = {"hours", "hour", "hrs", "hr", "mins", "min", "minutes", "minute", "goes", "attempts", "tries"}
CLEANED_OUT = 5
"""So many words from "wiped" to the end of "wiped me out of crickets"."""

ENDED = {"finished", "done"}
ROUND = {"in", "up", "here", "off", "work", "for", "my", "the", "with"}
"""What follows where the keeper's own round is finished: "just finished in here"."""

INTO = {"in", "to", "into", "inside", "down"}
LACKING = {"a", "an", "one", "two", "the", "three", "his", "her", "its", "some", "part", "half"}
LIMBS = {
    "leg", "legs", "palp", "palps", "pedipalp", "claw", "claws", "pincer", "pincers", "whip", "whips", "antenna", "antennae", "foot", "toe", "tail",
    "limb", "limbs", "fang", "spinneret", "spinnerets",
}  # fmt: skip
OCCASIONS = {
    "sesh",
    "session",
    "sessions",
    "chores",
    "man",
    "lady",
    "guy",
    "people",
    "girl",
    "keeper",
    "keeping",
    "club",
    "shop",
    "fair",
    "expo",
    "show",
}
VERY = {"tired", "busy", "quiet", "slow", "easy", "simple", "chuffed", "keen", "excited", "handy", "right", "good"}
FARTHEST_LIMB = 7


def without_idioms(items: list[Item]) -> list[Item]:
    """The items, those of a turn of phrase as plain words, or as what they mean there."""
    out = list(items)
    for at, item in enumerate(items):
        if _cleaned_out(items, at):
            out[at : at + CLEANED_OUT] = map(_plain, items[at : at + CLEANED_OUT])
        elif any(is_so(items, at) for is_so in SAYING_NOTHING):
            out[at] = _plain(item)
        elif item.text == "missing" and (_text(items, at + 1).split(" ")[0] in LACKING or _of_limb(items, at)):
            out[at] = _lacking(items, at)
    return out


def _plain(item: Item) -> Item:
    return item if item.kind in {"name", "date", "mark"} else replace(item, kind="plain", senses=(), quantity=None)


def _text(items: Sequence[Item], at: int) -> str:
    return items[at].text if at < len(items) else ""


def _means_both(items: Sequence[Item], at: int) -> bool:
    """Whether a number only says "both": "gave the two of them a light spray"."""
    of_them = _text(items, at + 1) == "of" and _text(items, at + 2) in {"them", "em", "us"}
    return items[at].kind == "number" and at > 0 and items[at - 1].text == "the" and of_them


def _is_building(items: Sequence[Item], at: int) -> bool:
    """Whether it is the shed that the animals are in: "in the shed", "out to the shed"."""
    return items[at].text == "shed" and at > 1 and items[at - 1].text in {"the", "my"} and items[at - 2].text in INTO


def _takes_time(items: Sequence[Item], at: int) -> bool:
    """What something took of the keeper: "took me an hour", "took ages"."""
    while_taken = _text(items, at + 1) == "a" and _text(items, at + 2) == "while"
    following = items[at + 1] if at + 1 < len(items) else None
    counted = following is not None and following.kind == "number" and _text(items, at + 2) in HOURS
    return items[at].verb("take") and (while_taken or counted or _text(items, at + 1) in TIME_TAKEN)


def _cleaned_out(items: Sequence[Item], at: int) -> bool:
    return items[at].verb("clean") and _text(items, at + 1) in KEEPERS and _text(items, at + 2).startswith("out")


def _ends_round(items: Sequence[Item], at: int) -> bool:
    """Whether it is the keeper who has finished: nobody was named yet, and a place or a task follows."""
    if items[at].text not in ENDED:
        return False
    named = any(item.kind == "name" or item.prey for item in items[:at])
    task = at + 1 < len(items) and "ing" in items[at + 1].forms
    return not named and (task or _text(items, at + 1) in ROUND)


def _caught_up(items: Sequence[Item], at: int) -> bool:
    text = items[at].text
    return text.startswith(("caught", "catch")) and "up" in {_text(items, at + 1), text.split()[-1]}


def _longs(items: Sequence[Item], at: int) -> bool:
    """Whether somebody is longed for: "missing him already"."""
    alone = items[at].text in {"missing her", "missing his"} and _text(items, at + 1) in {
        "",
        "already",
        "so",
        "loads",
        "lots",
        "tonight",
    }
    return alone or (
        items[at].text in {"missing", "miss"} and _text(items, at + 1) in {"him", "her", "them", "it", "you"}
    )


def _nearly_died(items: Sequence[Item], at: int) -> bool:
    """Whether it is the keeper who "nearly died"."""
    before = [item.text for item in items[max(0, at - 4) : at]]
    return items[at].verb("die") and "i" in before and bool({"nearly", "almost", "could"} & set(before))


def _names_occasion(items: Sequence[Item], at: int) -> bool:
    """Whether a word for prey only says what an occasion or a person is about: "bug session", "cricket man"."""
    return bool(items[at].prey) and items[at].kind == "word" and _text(items, at + 1) in OCCASIONS


def _worn_out(items: Sequence[Item], at: int) -> bool:
    """Whether "dead" is said of the keeper or of the weather: "dead on my feet", "dead tired"."""
    following = [_text(items, at + 1), _text(items, at + 2)]
    standing = following[0] == "on" and following[1] in {"my", "me", "our", "his", "her"}
    return items[at].text == "dead" and (standing or following[0] in VERY)


def _of_keeper(items: Sequence[Item], at: int) -> bool:
    """Whether what would be a sight was the keeper's own doing: "while I was hunting for my keys"."""
    before = [item.text for item in items[max(0, at - 2) : at]]
    return bool(items[at].sense("sign")) and before in (["i", "was"], ["i", "am"], ["we", "were"], ["we", "are"])


def _as_if_nothing(items: Sequence[Item], at: int) -> bool:
    """Whether it is the "nothing" of "like nothing happened"."""
    return items[at].text == "nothing" and at > 0 and items[at - 1].text in {"like", "if", "though"}


def _is_vessel(items: Sequence[Item], at: int) -> bool:
    """Whether "the bin" is what something is in, and no act of throwing away."""
    return items[at].text == "bin" and at > 0 and items[at - 1].text in {"the", "my", "our", "their", "this"}


def _never_so(items: Sequence[Item], at: int) -> bool:
    """Whether a never only says how much: "never seen them so active"."""
    return items[at].text == "never" and any(item.text == "so" for item in items[at + 1 : at + 4])


def _cheers(items: Sequence[Item], at: int) -> bool:
    """Whether it is a cheer: "let's go!"."""
    return items[at].text in {"let us go", "let us go on"} and at + 1 >= len(items)


def _sheds_load(items: Sequence[Item], at: int) -> bool:
    """Whether it is the power or a tear that is shed: "load shedding"."""
    led = at > 0 and items[at - 1].text == "load"
    return items[at].verb("moult") and (led or _text(items, at + 1) in {"tears", "light"})


SAYING_NOTHING = (
    in_phrase,
    is_ordinal,
    _never_so,
    _is_vessel,
    _cheers,
    _worn_out,
    _of_keeper,
    _as_if_nothing,
    _sheds_load,
    _longs,
    _nearly_died,
    _names_occasion,
    _takes_time,
    _ends_round,
    _means_both,
    _is_building,
    _caught_up,
)
"""What a word of the trade may be, here, that tells nothing of the animals."""


def _of_limb(items: Sequence[Item], at: int) -> bool:
    """Whether it is said of a limb right before: "a leg is missing"."""
    return any(item.text in LIMBS for item in items[max(0, at - 2) : at])


def _lacking(items: Sequence[Item], at: int) -> Item:
    """Not gone from its tub: hurt where it is a limb that is missing, and nothing that we know otherwise."""
    hurt = _of_limb(items, at) or any(item.text in LIMBS for item in items[at + 1 : at + FARTHEST_LIMB])
    item = items[at]
    senses = tuple(replace(sense, value="injured") for sense in item.senses if sense.category == "sign") if hurt else ()
    return replace(item, kind="word" if senses else "plain", senses=senses)
