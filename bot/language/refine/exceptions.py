"""Exceptions told after the verb: "everything fed except custard and the feeders"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.items import Item
    from bot.language.roster_index import RosterIndex

EXCEPT = {"except", "bar", "excluding", "apart", "besides"}
PASSED = {"the", "and", ",", "for", "from", "&", "+", "my", "except"}


def excepted(items: list[Item], index: RosterIndex) -> list[Item]:
    """Names after "except" taken from those before it; of what follows only the dates are kept."""
    at = next((at for at, item in enumerate(items) if item.text in EXCEPT and item.kind == "plain"), None)
    if at is None:
        return items
    whole = next(
        (item for item in items[:at] if item.kind == "name" and item.name and len(item.name.subjects) > 1), None
    )
    gone = _only_names(items[at + 1 :])
    if whole is None or whole.name is None or not gone:
        return items
    places = {index.place_of[name] for item in gone if item.name for name in item.name.subjects}
    kept = tuple(name for name in whole.name.subjects if index.place_of[name] not in places)
    mended = replace(whole, name=replace(whole.name, subjects=kept, how="many"))
    before = [mended if item is whole else item for item in items[:at]]
    return before + [item for item in items[at:] if item.kind == "date"]


def _only_names(items: list[Item]) -> list[Item]:
    """The names in a stretch; none if something else is told in it too."""
    names = [item for item in items if item.kind == "name"]
    told = any(
        item.kind not in {"name", "date"} and item.text not in PASSED and not item.sense("filler") for item in items
    )
    return [] if told else names
