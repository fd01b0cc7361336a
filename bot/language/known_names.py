"""Whole names looked up on the roster."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.roster_index import key_of, roster_index

if TYPE_CHECKING:
    from bot.language.roster import Roster


def known(name: str, roster: Roster) -> str | None:
    """The roster's spelling of a name or alias; None where nobody has it."""
    node = roster_index(roster).tree
    for key in key_of(name.strip(" '\"")):
        if key not in node.next:
            return None
        node = node.next[key]
    return node.subjects[0] if node.subjects and len(node.subjects) == 1 and node.how == "name" else None
