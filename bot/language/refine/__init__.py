"""Settling what the tagger left open: meters, colonies named like prey, numbers that stand for tubs, and self-repairs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.refine.background import without_background
from bot.language.refine.bare_numbers import numbered_places
from bot.language.refine.exceptions import excepted
from bot.language.refine.gear import with_gear
from bot.language.refine.idioms import without_idioms
from bot.language.refine.instars import with_instars
from bot.language.refine.labels_told import Places
from bot.language.refine.meters import named_meters
from bot.language.refine.name_or_word import one_of, settled, without_dwellings, without_parts, without_places
from bot.language.refine.particles import phrasal
from bot.language.refine.repairs import repaired
from bot.language.refine.series import with_units
from bot.language.refine.those_told import without_count_of_told

if TYPE_CHECKING:
    from bot.language.items import Item
    from bot.language.roster_index import RosterIndex

__all__ = ["refine"]


def refine(items: list[Item], index: RosterIndex, told: Places = frozenset()) -> list[Item]:
    """One sentence's items, settled. `told` are the places that the sentences before it named."""
    items = without_background(without_idioms(items))
    items = phrasal(without_places(settled(named_meters(with_instars(items)))))
    items = with_gear(with_units(one_of(without_dwellings(without_parts(items)))))
    items = without_count_of_told(items)
    return excepted(repaired(numbered_places(items, index, told)), index, told)
