"""From settled drafts to a Meaning: entries and plans with their days, or the one question that must be asked first."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from bot.language.dates import read_dates
from bot.language.meaning import Ask, Choice, Entry, Evidence, Meaning, Plan

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from bot.language.dates import DateSpan
    from bot.language.drafts import Draft
    from bot.language.items import Item, Tagged
    from bot.language.meaning import Context
    from bot.language.planning import PlanDraft
    from bot.language.quantities import Quantity
    from bot.language.roster import Roster

TIMELESS = {"now", "right now", "just now", "at the moment"}
MOST = 1_000_000
UNKNOWN_DAY = re.compile(
    r"\b(?:no (?:idea|clue)|not sure|not certain|can(?:'?t|not) (?:remember|recall|think|rmbr)|dunno|don'?t (?:know|remember|recall)|forgot|forgotten|unsure|no longer (?:know|remember))\b"
    r"[^.!?]{0,25}\b(?:when|(?:what|which|the|wat) (?:day|date|night|evening))\b"
)


def entry_of(draft: Draft, now: datetime, text: str) -> Entry:
    """The entry of a draft; without a date of its own it is of today."""
    span = _span(draft)
    on: date | None = now.date()
    at = part = None
    if any(item.date and item.date.recur for item in draft.clause.dates):  # a habit told is a note of today
        return Entry("note", draft.subjects, now.date(), words=text)
    if span is not None:
        on = None if span.vague or span.impossible else span.on or now.date()
        at = None if draft.date is not None and draft.date.text.lower() in TIMELESS else span.at
        part = span.part
    return Entry(draft.kind, draft.subjects, on, at, part, dict(draft.fields), text)


def _span(draft: Draft) -> DateSpan | None:
    return draft.date.date if draft.date is not None else None


def finish_log(text: str, drafts: Sequence[Draft], plans: tuple[tuple[Plan, ...], Meaning | None] | None, ask: Ask | None, now: datetime, roster: Roster, context: Context) -> Meaning | None:
    """The Meaning of what was told, with its plans and question; or what must be asked before it may be written."""
    entries = tuple(entry_of(draft, now, text) for draft in drafts)
    planned = plans[0] if plans else ()
    whole = Meaning("log", entries=entries, plans=planned, ask=ask)
    doubt = _doubt(drafts, entries, whole, now, text)
    if doubt is not None:
        return doubt
    if plans and plans[1] is not None:
        return replace(plans[1], entries=entries)
    return with_evidence(whole, _marks(drafts))


def _doubt(drafts: Sequence[Draft], entries: tuple[Entry, ...], whole: Meaning, now: datetime, text: str) -> Meaning | None:
    unclear = replace(whole, intent="unclear")
    for draft in drafts:
        if "subjects" in draft.missing:
            return question_about("subjects", replace(unclear, missing=("subjects",)), draft.choices, stranger=draft.stranger)
    for draft in drafts:
        if "to" in draft.missing:
            return question_about("to", replace(unclear, missing=("to",)), draft.choices)
        if draft.kind == "count" and "count" not in draft.fields:
            return question_about("count", replace(unclear, missing=("quantity",)), ())
        if draft.kind == "measurement" and "value" not in draft.fields:
            return question_about("value", replace(unclear, missing=("quantity",)), ())
        if _impossible_number(draft):
            return question_about("quantity", replace(unclear, missing=("quantity",)), ())
        twice = _two_numbers(draft)
        if twice:
            return question_about("quantity", replace(unclear, missing=("quantity",)), twice)
    if UNKNOWN_DAY.search(text.lower().replace("\u2019", "'")) and not any(_span(draft) and _span(draft).on and not _span(draft).vague for draft in drafts):  # type: ignore[union-attr]
        acts = tuple(replace(entry, on=None) if entry.kind != "note" else entry for entry in entries)
        if any(entry.on is None for entry in acts):
            return question_about("on", replace(unclear, missing=("on",), entries=acts), ())
    for draft, entry in zip(drafts, entries, strict=True):
        span = _span(draft)
        if span is not None and entry.kind != "note" and draft.kind != "note" and (entry.on is None or _ahead(entry, span, now)):
            return question_about("on", replace(unclear, missing=("on",), entries=tuple(replace(other, on=None) if other is entry else other for other in entries)), tuple(span.alternatives))
    return None


def _ahead(entry: Entry, span: DateSpan, now: datetime) -> bool:
    """Whether an act told as done would lie in the future, also as the keeper's own year has it ("on march 9" said on the 2nd)."""
    today = now.date()
    if entry.on is not None and entry.on > today:
        return True
    if span.relation == "future":
        return True
    return span.this_year is not None and span.this_year > today and (span.this_year - today).days < 300


def _impossible_number(draft: Draft) -> bool:
    pairs = [value for name, value in draft.fields.items() if name in {"quantity", "number", "count"}]
    negative = any(item.text == "-" and number.start == item.end for item in draft.clause.items if item.kind == "mark" for number in draft.clause.numbers if number.end - number.start < 12)
    return any((bound or 0) > MOST for pair in pairs for bound in pair) or (negative and bool(pairs))


def _two_numbers(draft: Draft) -> tuple[str, ...]:
    """ "fed villa 1 2 crickets": twelve, or one or two."""
    items = draft.clause.items
    for first, second in zip(items, items[1:], strict=False):
        if draft.kind in {"feeding", "moult", "death", "arrival", "departure", "count"} and first.quantity and second.quantity and not first.quantity.unit and not second.quantity.unit and not first.quantity.article and first.raw.isdigit() and second.raw.isdigit():
            return (f"{first.raw}{second.raw}", f"{first.raw} to {second.raw}")
    return ()


def question_about(field: str, meaning: Meaning, choices: Sequence[Any], *, stranger: str = "", number: Quantity | None = None) -> Meaning:
    """An unclear Meaning with its question and the choices to tap."""
    offered = tuple(_choice(field, choice) for choice in choices if choice != "")
    if field == "kind":
        offered = _kind_choices(number)
    return replace(meaning, question=_question(field, meaning, offered, stranger), choices=offered, score=0.4)


def _choice(field: str, choice: Any) -> Choice:  # noqa: ANN401 - a name, a day or a number in words
    if field == "subjects":
        return Choice(str(choice), {"subjects": (choice,)})
    if field == "quantity":
        low, _, high = str(choice).partition(" to ")
        return Choice(str(choice), {"quantity": [int(low), int(high or low)]})
    if field == "on":
        return Choice(f"{choice:%a} {choice.day} {choice:%b}", {"on": choice})
    return Choice(str(choice), {field: choice})


def _kind_choices(number: Quantity | None) -> tuple[Choice, ...]:
    if number is None:
        return (Choice("fed", {"kind": "feeding"}), Choice("misted", {"kind": "misting"}), Choice("just a note", {"kind": "note"}))
    pair = number.count()
    return (
        Choice("a head count", {"kind": "count", "count": pair}),
        Choice("prey given", {"kind": "feeding", "quantity": pair}),
        Choice("moults found", {"kind": "moult", "number": pair}),
    )


def _question(field: str, meaning: Meaning, offered: tuple[Choice, ...], stranger: str) -> str:
    labels = " or ".join(choice.label for choice in offered) if 0 < len(offered) <= 4 else ""
    who = ", ".join(meaning.entries[0].subjects) if meaning.entries else ""
    if field == "subjects":
        if stranger:
            return f"There is no {stranger} on the roster. Which one was it?"
        return f"Which one: {labels}?" if labels else "Which one was it for?"
    if field == "to":
        return f"Where to: {labels}?" if labels else "Where to?"
    if field == "on":
        return f"Which day was that: {labels}?" if labels else "Which day was that?"
    if field == "kind":
        return f"What about {who}: {labels}?"
    if field in {"count", "value"}:
        return "How many were there?" if field == "count" else "What was the value?"
    return f"How many: {labels}?" if labels else "How many was it?"


def finish_plans(drafts: Sequence[PlanDraft], now: datetime, tagged: Tagged, roster: Roster) -> tuple[tuple[Plan, ...], Meaning | None] | None:
    """Plans with their days read forward, and the question that must be asked first, if any."""
    if not drafts:
        return None
    plans = tuple(_plan_of(draft, now, tagged) for draft in drafts)
    unclear = Meaning("unclear", plans=plans)
    for draft in drafts:
        if "to" in draft.missing:
            return plans, question_about("to", replace(unclear, missing=("to",)), draft.choices)
        if "subjects" in draft.missing or (not draft.subjects and draft.kind not in {"note", "check", "stop"}):
            return plans, question_about("subjects", replace(unclear, missing=("subjects",)), draft.choices)
        if draft.date is not None and draft.date.date is not None and draft.date.date.impossible:
            return plans, question_about("on", replace(unclear, missing=("on",)), ())
    return plans, None


def _plan_of(draft: PlanDraft, now: datetime, tagged: Tagged) -> Plan:
    span = _ahead_span(draft.date, now, tagged) if draft.date is not None else None
    plan = Plan(draft.kind, draft.subjects, to=draft.to, of=draft.of, words=tagged.text)
    if span is None:
        return plan
    if span.recur is not None:
        return replace(plan, every_days=_tidy(span.recur.every_days), at=span.recur.time or span.at, part=span.recur.part or span.part)
    on = span.on
    if on is None and span.days:
        on = now.date() + timedelta(days=span.days)
    if span.till and draft.kind != "stop":
        on = span.on
    at = span.at if draft.date is not None and draft.date.text.lower() not in TIMELESS else None
    return replace(plan, on=on or (now.date() if at or span.part else None), at=at, part=span.part)


def _tidy(days: float | None) -> float | None:
    return None if days is None else int(days) if days == int(days) else round(days, 2)


def _ahead_span(item: Item, now: datetime, tagged: Tagged) -> DateSpan | None:
    """The same words read as pointing ahead."""
    words = tagged.text[item.start : item.end]
    spans = read_dates(words, now, "future")
    best = next((span for span in spans if span.on or span.recur or span.days or span.part or span.impossible), None)
    joined = item.date
    if best is None or joined is None:
        return joined
    later = best if best.on or best.recur else joined
    return replace(later, at=later.at or joined.at, part=later.part or joined.part)


def _marks(drafts: Sequence[Draft]) -> list[tuple[str, Item]]:
    marks: list[tuple[str, Item]] = []
    for number, draft in enumerate(drafts):
        for name, items in draft.made_by.items():
            marks += [(f"entries.{number}.{name}", item) for item in items]
        marks += [(f"entries.{number}.subjects", item) for item in draft.names]
        if draft.date is not None:
            marks.append((f"entries.{number}.on", draft.date))
    return marks


def with_evidence(meaning: Meaning, marks: Sequence[tuple[str, Item]]) -> Meaning:
    """The meaning with the words that made its fields."""
    return replace(meaning, evidence=tuple(Evidence(where, item.raw or item.text, item.start, item.end) for where, item in marks))
