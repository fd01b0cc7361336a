"""Whether a clause tells something that has happened."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item

DENIED_SIGNS = ("no ", "not ", "have not", "has not", "did not", "still ")


def is_told(clause: Clause) -> bool:
    """Whether the clause has a verb in the past, or a sight: something that has happened."""
    return any(_tells(clause, item) for item in clause.items)


def _tells(clause: Clause, item: Item) -> bool:
    if "past" in item.forms and not _infinitive(clause, item):
        return True
    if item.kind != "word":
        return False
    denied_sign = item.sense("sign") is not None and item.text.startswith(DENIED_SIGNS)
    return denied_sign or (item.sense("outcome") is not None and not item.forms)


def _infinitive(clause: Clause, item: Item) -> bool:
    """Whether a verb spelled alike in both forms ("put", "split") is no past, since it comes after "to"."""
    before = clause.before(item)
    if not before:
        return False
    lead = before[-1]
    if lead.text in {"be", "needs be", "get"} and len(before) > 1:
        return True
    leads = lead.text in {"to", "not"} or lead.sense("plan") is not None or lead.text.endswith(" to")
    return "base" in item.forms and leads


def has_base_verb(items: tuple[Item, ...] | list[Item]) -> bool:
    """Whether a verb in its base form is among the items: an order, or what an auxiliary asks for."""
    senses = (sense for item in items for sense in item.senses)
    return any(sense.category == "verb" and sense.form == "base" for sense in senses)


def repeats(clause: Clause) -> bool:
    """Whether the clause has a repeat: "every other day", "weekly"."""
    return any(item.date and item.date.recur for item in clause.dates)
