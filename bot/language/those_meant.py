"""Whom "both", "all three", "neither" and "the other two" mean: so many of those told before, or the rest of their sort."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from bot.language.names.everyone import SO_MANY
from bot.language.refine.those_told import those_told

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.drafts import Draft
    from bot.language.roster_index import RosterIndex

Subjects = tuple[str, ...]

OTHERS = {"other", "others"}
OF_KIN = {"by", "with", "from", "than", "like", "as", "and"}
"""Words before "the others" that are no subject: "eaten by the others"."""


def so_many(clause: Clause, earlier: Sequence[Subjects], place_of: Mapping[str, str]) -> Subjects:
    """As many as are said of those told last: "A got 5 and B got 4, then misted both", "… topped up all three dishes"."""
    wanted = those_told(clause.items)
    found: dict[str, str] = {}
    for subjects in reversed(earlier):
        if len(found) < wanted:
            found = {place_of.get(name, name): name for name in subjects} | found
    return tuple(found.values()) if len(found) == wanted else ()


def fewer_of(draft: Draft, earlier: Sequence[Subjects], place_of: Mapping[str, str]) -> Subjects:
    """The two told last of a sort of which there are more: "sold 6 of B and 2 of C …, cleaned both tubs"."""
    wanted = those_told(draft.clause.items)
    if len(draft.names) != 1 or draft.names[0].name is None or not 0 < wanted < len(draft.names[0].name.subjects):
        return ()
    found = so_many(draft.clause, earlier, place_of)
    return found if {place_of.get(name, name) for name in found} <= draft.names[0].name.places else ()


def sets_of(said: Sequence[Clause]) -> list[Subjects]:
    """All that a message names as several."""
    return [item.name.subjects for clause in said for item in clause.names if item.name and len(item.name.subjects) > 1]


def the_others(draft: Draft, last: Subjects, sets: Sequence[Subjects], index: RosterIndex) -> Subjects:
    """The rest of those of whom some were told last: "22 and 24 took theirs, the other two not interested"."""
    wanted = others_wanted(draft.clause) if draft.kind != "death" else None
    told = {index.place_of.get(name, name) for name in last}
    if wanted is None or not told:
        return ()
    sorts = [tuple(members.values()) for base, members in index.numbered.items() if len(base[-1]) > 1]
    for whole in (*reversed(sets), *sorts):
        places = [index.place_of.get(name, name) for name in whole]
        rest = tuple(name for name, place in zip(whole, places, strict=True) if place not in told)
        if told < set(places) and wanted in {0, len(rest)}:
            return rest
    return ()


def others_wanted(clause: Clause) -> int | None:
    """How many others are said, 0 where no number is; None where nothing is said of others."""
    at = next((at for at, item in enumerate(clause.items) if item.text in OTHERS), None)
    if at is None or any(item.text in OF_KIN for item in clause.items[max(0, at - 2) : at]):
        return None
    following = clause.items[at + 1].text if at + 1 < len(clause.items) else ""
    if clause.items[at].text == "other" and following not in SO_MANY:
        return None
    return SO_MANY.get(following, 0)
