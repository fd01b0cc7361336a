"""Tokens to items: names, dates, quantities and words of the trade, in the order they stand in the message."""

from bot.language.items.item import Item, Tagged
from bot.language.items.tagging import tag

__all__ = ["Item", "Tagged", "tag"]
