"""Words of an act that only say what a thing is for: "cleaned the feeding dish in B", "it sits in the moulting box"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.items import Item

GEAR = {
    "bowl", "box", "bucket", "cage", "chamber", "container", "corner", "cup", "dish", "dishes", "jar", "kit", "ledge", "lid", "log", "platform", "plate",
    "pot", "shelf", "spot", "station", "stick", "tank", "tongs", "tool", "tools", "tray", "trough", "tub", "tweezers", "vial", "viv",
    "store", "shop", "bag", "bill", "aisle",
}  # fmt: skip

LEADS = {"the", "a", "an", "my", "our", "her", "his", "its", "their", "this", "that", "new", "old", "clean", "dirty"}


def with_gear(items: list[Item]) -> list[Item]:
    """The items, such a word between what leads a noun on and the thing that it is for as a plain one."""
    return [replace(item, kind="plain", senses=()) if _is_use(items, at) else item for at, item in enumerate(items)]


def _is_use(items: list[Item], at: int) -> bool:
    item = items[at]
    if item.kind != "word" or not 0 < at < len(items) - 1 or not ("ing" in item.forms or item.thing("feeding")):
        return False
    return _leads_on(items[at - 1]) and items[at + 1].text in GEAR and items[at + 1].kind in {"plain", "word"}


def _leads_on(item: Item) -> bool:
    """Whether a noun comes after it; so does the object of an act that was told without an article ("cleaned feeding dish")."""
    return item.text in LEADS or "past" in item.forms
