"""Which words of a message made which field."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.language.meaning import Evidence, Meaning

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.drafts import Draft
    from bot.language.items import Item
    from bot.language.planning import PlanDraft

Marks = list[tuple[str, "Item"]]
"""Fields (`entries.0.prey`) with an item that made them."""


def with_evidence(meaning: Meaning, marks: Marks, text: str) -> Meaning:
    """The meaning with the words of the text that made its fields."""
    found = (Evidence(where, text[item.start : item.end], item.start, item.end) for where, item in marks)
    return replace(meaning, evidence=tuple(found))


def draft_marks(drafts: Sequence[Draft]) -> Marks:
    """Which items made each entry's fields."""
    return _marks("entries", drafts)


def plan_marks(plans: Sequence[PlanDraft]) -> Marks:
    """Which items made each plan's fields."""
    return _marks("plans", plans)


def _marks(where: str, drafts: Sequence[Draft | PlanDraft]) -> Marks:
    marks: Marks = []
    for number, draft in enumerate(drafts):
        marks += [(f"{where}.{number}.{name}", item) for name, items in draft.made_by.items() for item in items]
        marks += [(f"{where}.{number}.subjects", item) for item in draft.names]
        marks += [(f"{where}.{number}.on", draft.date)] if draft.date is not None else []
    return marks
