"""How long an order of feeders takes to come, as a keeper lays it down: "crickets take 3 days to come"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language import stock_words as said
from bot.language.drafts import Draft

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.clauses import Clause
    from bot.language.items import Item


def delivery_told(clause: Clause, items: Sequence[Item]) -> Draft | None:
    """The note of nobody with `delivery_days` and, where told, `feeder`; None for words on anything else."""
    texts = [item.text for item in items]
    prey = next((item for item in items if item.kind != "name" and item.prey), None)
    ordered = said.DELIVERY & {item.raw.lower() for item in items}  # the word for it may be put right to "delivered"
    takes = any(item.verb("take") and item.forms & {"base", "third"} for item in items)
    takes = takes or (bool(ordered) and any(item.text in {"is", "are"} for item in items))
    comes = bool(ordered) or any(text.split()[0] in said.COMING for text in texts)
    if not takes or not comes or not (prey or ordered):
        return None
    span = _days(items)
    if span is None:
        return None
    draft = Draft("note", clause, [], settled=True).put("delivery_days", span)
    return draft.put("feeder", prey.prey, prey) if prey is not None else draft


def _days(items: Sequence[Item]) -> list[float | None] | None:
    """A length of time in days, [low, high]."""
    for at, item in enumerate(items):
        if item.quantity and at + 1 < len(items) and items[at + 1].text in said.DAYS_IN:
            return item.quantity.measured(said.DAYS_IN[items[at + 1].text])
    days = next((item.date.days for item in items if item.date and item.date.days), None)
    return None if days is None else [days, days]
