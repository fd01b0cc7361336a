"""Bare numbers that stand for places of a sort told of before: "fed the slings, 24 looks in premoult", "Misted 1 and 3"."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.items import Item
    from bot.language.roster_index import RosterIndex

Places = frozenset[str]

OPENING = {"and", "but", "so", "then", "while", "because", "since", "as", "or"}
BEING = {"is", "was", "has", "looks", "looked", "seems", "seemed", "got", "had"}
SEVERAL_ARE = BEING | {"are", "were", "have", "look", "seem"}
HOW = {
    "both",
    "each",
    "did",
    "not",
    "no",
    "all",
    "still",
    "skipped",
    "nothing",
    "none",
    "very",
    "completely",
    "fine",
    "ok",
    "dry",
    "wet",
}
EXCEPT = {"but", "except", "bar", "besides", "for", "from"}
INSIDE = {"in", "of", "inside"}
AFTER = {
    "and",
    "then",
    "but",
    "too",
    "also",
    "today",
    "again",
    "now",
    "since",
    "because",
    "as",
    "so",
    "who",
    "which",
    "who's",
    "that",
}
"""What may follow a number that is nothing but the name of a place."""

NEVER_COUNTING = ("mist", "water", "clean")
"""Acts that are done to places, and never to so many of anything."""


def places_named(items: Sequence[Item], index: RosterIndex) -> Places:
    """The places that the names among these items stand for."""
    subjects = (subject for item in items if item.kind == "name" and item.name for subject in item.name.subjects)
    return frozenset(index.place_of[subject] for subject in subjects if subject in index.place_of)


def members_told(labels: Sequence[str], index: RosterIndex, told: Places) -> dict[str, str] | None:
    """The numbered names that have all these labels, of a sort of which some place was told before; None where there is none."""
    for base, members in index.numbered.items():
        fits = len(base[-1]) > 1 and all(label in members for label in labels)
        if fits and any(index.place_of[name] in told for name in members.values()):
            return members
    return None


def stand_for_places(
    items: Sequence[Item], at: int, end: int, labels: Sequence[str], *, several: int, listed: bool
) -> bool:
    """Whether the numbers from `at` to `end` name places and count nothing.

    There are `several` names of their sort; `listed` says that another number of the sentence named one already.
    """
    before = items[at - 1] if at else None
    following = items[end] if end < len(items) else None
    closes = following is None or following.kind in {"mark", "date"} or following.text in AFTER
    surely = len(labels) > 1 or int(labels[0]) > several  # "1 and 3", and the 24 of four slings, are no amount
    if surely and before is not None and before.verb("feed") and following is not None and following.kind == "number":
        return len(labels) > 1  # "fed 2 and 3 a few roaches"
    if closes and before is not None:
        return (
            _after_act(items, at, surely=surely) or before.text in EXCEPT | INSIDE or (before.text == "only" and surely)
        )
    opens = before is None or before.kind == "mark" or before.text in OPENING
    if not opens or following is None or following.prey or following.kind in {"number", "name"}:
        return False
    if following.text.partition(" ")[0] in (SEVERAL_ARE if len(labels) > 1 else BEING):
        return surely or labels[0] != "1" or before is None or before.text == ":"
    told = following.text in HOW or bool(following.sense("sign") or following.sense("outcome")) or _by_animal(following)
    return told and (surely or listed or _heads_a_list(items, at))


def _after_act(items: Sequence[Item], at: int, *, surely: bool) -> bool:
    """Whether they follow a keeper's act: "misted only 2", "fed 1 and 3"."""
    lead = items[at - 1] if items[at - 1].text != "only" or at < 2 else items[at - 2]
    return lead.verb(*NEVER_COUNTING) or (surely and lead.verb("feed"))


def _by_animal(item: Item) -> bool:
    return any(sense.agent == "animal" and sense.category == "verb" for sense in item.senses) and not item.thing()


def _heads_a_list(items: Sequence[Item], at: int) -> bool:
    """Whether the number comes first, or next, in a list under a name of several: "Crates: 1 all out, 2 no sign"."""
    heading = next((place for place, item in enumerate(items[:at]) if item.text == ":"), None)
    return heading is not None and any(item.name and len(item.name.subjects) > 1 for item in items[:heading])
