"""Clauses that tell of the food told before: the same for others, some on another day, as many for B."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.going_on import all_named, is_day_or_small
from bot.language.settling_dates import usable

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.drafts import Draft
    from bot.language.reading import Reading


def got_same(clause: Clause, before: Draft, reading: Reading) -> Draft | None:
    """The same food for others: "A got 5 roaches, B got the same", "C got the same as A"."""
    same = clause.plain("same")
    names = [item for item in clause.names if same is not None and item.start < same.start]
    if same is None or not names or clause.verb("get", "offer") is None:
        return None
    like = all_named([item for item in clause.names if item not in names])
    fed = (draft for draft in reversed(reading.drafts) if draft.kind == "feeding" and like <= all_named(draft.names))
    told = next(fed, None) if like else before
    if told is None or told.kind != "feeding" or told.negated:
        return None
    fields = {name: value for name, value in told.fields.items() if name not in {"outcome", "uneaten"}}
    return replace(told, clause=clause, fields=fields, names=names)


def some_for_others(clause: Clause, before: Draft) -> Draft | None:
    """As many of the same prey for others: "12 crickets for A. Six for B"."""
    numbers = [item for item in clause.numbers if item.quantity and item.quantity.unit is None]
    rest = [item for item in clause.items if item not in numbers and item.kind not in {"name", "date", "mark"}]
    small = all(
        item.text in {"for", "the", "to", "and", "my"} or item.sense("each") or item.sense("filler") for item in rest
    )
    given = before.kind == "feeding" and "prey" in before.fields and not before.negated
    if not given or not small or len(numbers) != 1 or not clause.names or clause.plain("for", "to") is None:
        return None
    fields = {name: value for name, value in before.fields.items() if name in {"prey", "prey_state"}}
    others = replace(before, clause=clause, fields=fields, made_by={}, names=clause.names)
    each = clause.senses("each")
    if each:
        others.mark("each", *each)
    return others.put("quantity", numbers[0].quantity.count(), numbers[0]) if numbers[0].quantity else None


def more_on_another_day(clause: Clause, before: Draft) -> Draft | None:
    """As much again of the same food on another day: "fed B a roach yesterday and two more today"."""
    if before.kind != "feeding" or usable(before.clause) is None or usable(clause) is None or clause.names:
        return None
    numbers = [item for item in clause.numbers if item.quantity and item.quantity.unit is None]
    rest = (item for item in clause.items if item not in numbers and item.text not in {"more", "another"})
    if len(numbers) != 1 or numbers[0].quantity is None or not all(is_day_or_small(item) for item in rest):
        return None
    again = replace(
        before, clause=clause, fields=dict(before.fields), made_by=dict(before.made_by), names=list(before.names)
    )
    return again.put("quantity", numbers[0].quantity.count(), numbers[0])
