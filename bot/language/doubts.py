"""What must be asked before told acts may be written: whom, where to, how many, or which day."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from bot.language.questioning import question_about

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from bot.language.dates import DateSpan
    from bot.language.drafts import Draft
    from bot.language.items import Item
    from bot.language.meaning import Meaning

MOST = 1_000_000
LONGEST_NUMBER = 12  # characters
COUNTED = {"feeding", "moult", "death", "arrival", "departure", "count"}
VALUE_OF = {"count": "count", "measurement": "value"}
"""Kinds that tell nothing without their number, and the field it is in."""
UNKNOWN_DAY = re.compile(
    r"\b(?:no (?:idea|clue)|not sure|not certain|can(?:'?t|not) (?:remember|recall|think|rmbr)|dunno"
    r"|don'?t (?:know|remember|recall)|forgot|forgotten|unsure|no longer (?:know|remember))\b"
    r"[^.!?]{0,25}\b(?:when|(?:what|which|the|wat) (?:day|date|night|evening))\b"
)


def span_of(draft: Draft) -> DateSpan | None:
    """The date told for a draft."""
    return draft.date.date if draft.date is not None else None


def doubt_of(drafts: Sequence[Draft], whole: Meaning, today: date, text: str) -> Meaning | None:
    """The first question that `whole`, which holds an entry for each draft, must ask; None where all is clear."""
    unclear = replace(whole, intent="unclear")
    return (
        _doubt_of_subjects(drafts, unclear)
        or next((doubt for draft in drafts if (doubt := _doubt_of_fields(draft, unclear))), None)
        or _day_not_known(drafts, unclear, text)
        or _doubt_of_days(drafts, unclear, today)
    )


def ask_for(field: str, unclear: Meaning, choices: Sequence[Any] = (), *, stranger: str = "") -> Meaning:
    """The question about a missing field."""
    return question_about(field, replace(unclear, missing=(field,)), choices, stranger=stranger)


def _doubt_of_subjects(drafts: Sequence[Draft], unclear: Meaning) -> Meaning | None:
    draft = next((draft for draft in drafts if "subjects" in draft.missing), None)
    return ask_for("subjects", unclear, draft.choices, stranger=draft.stranger) if draft else None


def _doubt_of_fields(draft: Draft, unclear: Meaning) -> Meaning | None:
    if "to" in draft.missing:
        return ask_for("to", unclear, draft.choices)
    field = VALUE_OF.get(draft.kind)
    if field is not None and field not in draft.fields:
        return question_about(field, replace(unclear, missing=("quantity",)), ())
    if _impossible_number(draft):
        return ask_for("quantity", unclear)
    twice = _two_numbers(draft)
    return ask_for("quantity", unclear, twice) if twice else None


def _impossible_number(draft: Draft) -> bool:
    pairs = [value for name, value in draft.fields.items() if name in {"quantity", "number", "count"}]
    too_many = any((bound or 0) > MOST for pair in pairs for bound in pair)
    return too_many or (bool(pairs) and _below_nothing(draft))


def _below_nothing(draft: Draft) -> bool:
    """Whether a minus stands right before a number."""
    minus = {item.end for item in draft.clause.items if item.kind == "mark" and item.text == "-"}
    numbers = [item for item in draft.clause.numbers if item.end - item.start < LONGEST_NUMBER]
    return any(item.start in minus for item in numbers)


def _two_numbers(draft: Draft) -> tuple[str, ...]:
    """The readings of two bare numbers in a row: "fed villa 1 2 crickets" is twelve, or one or two."""
    if draft.kind not in COUNTED:
        return ()
    for first, second in pairwise(draft.clause.items):
        if _is_bare_number(first) and _is_bare_number(second):
            return (f"{first.raw}{second.raw}", f"{first.raw} to {second.raw}")
    return ()


def _is_bare_number(item: Item) -> bool:
    return item.quantity is not None and not item.quantity.unit and item.raw.isdigit()


def _day_not_known(drafts: Sequence[Draft], unclear: Meaning, text: str) -> Meaning | None:
    """The question for the day where the keeper says it is not known ("fed A, can't remember when")."""
    if not UNKNOWN_DAY.search(text.lower().replace("\u2019", "'")):
        return None
    spans = [span_of(draft) for draft in drafts]
    if any(span and span.on and not span.vague for span in spans):
        return None
    acts = tuple(replace(entry, on=None) if entry.kind != "note" else entry for entry in unclear.entries)
    return ask_for("on", replace(unclear, entries=acts)) if any(entry.on is None for entry in acts) else None


def _doubt_of_days(drafts: Sequence[Draft], unclear: Meaning, today: date) -> Meaning | None:
    for draft, entry in zip(drafts, unclear.entries, strict=True):
        span = span_of(draft)
        if span is None or "note" in {entry.kind, draft.kind}:
            continue
        if entry.on is None or _ahead(entry.on, span, today):
            entries = tuple(replace(other, on=None) if other is entry else other for other in unclear.entries)
            return ask_for("on", replace(unclear, entries=entries), tuple(span.alternatives))
    return None


def _ahead(on: date, span: DateSpan, today: date) -> bool:
    """Whether an act told as done would lie ahead, also as this year has it ("on march 9" said on the 2nd)."""
    this_year = span.this_year
    soon = this_year is not None and this_year > today and (this_year - today).days < 300
    return on > today or span.relation == "future" or soon
