"""What the finder of names finds."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class NameSpan:
    """Roster names that some tokens stand for, first to last (exclusive).

    `how` is name, many, all, either (only one of several is meant) or unknown (somebody or a place not on the roster).
    `without` names those left out of all of them. `beside` are those of a list who are sure, where one of it is in doubt.
    """

    first: int
    last: int
    subjects: tuple[str, ...]
    how: str = "name"
    typo: bool = False
    part: bool = False  # only one word of a longer name was said ("the box")
    places: frozenset[str] = frozenset()  # the enclosures they stand for
    groups: bool = False  # all of them are groups, not single animals
    animals: bool = False  # all of them are single animals, by their own names
    beside: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
