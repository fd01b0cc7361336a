"""From settled drafts to a Meaning: entries and plans with their days, or the one question that must be asked first."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from bot.language.dates import read_dates
from bot.language.doubts import ask_for, doubt_of, span_of
from bot.language.drafts import quantity_of
from bot.language.evidence import draft_marks, with_evidence
from bot.language.meaning import Ask, Entry, Meaning, Plan
from bot.language.sparing import days_away

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date, datetime, time

    from bot.language.dates import DateSpan
    from bot.language.drafts import Draft
    from bot.language.items import Item, Tagged
    from bot.language.planning import PlanDraft

TIMELESS = {"now", "right now", "just now", "at the moment"}


@dataclass(frozen=True, slots=True)
class Planned:
    """The plans of a message, and the question that must be asked before they may be written, if any."""

    plans: tuple[Plan, ...] = ()
    doubt: Meaning | None = None


def entry_of(draft: Draft, now: datetime, text: str) -> Entry:
    """The entry of a draft; without a date of its own it is of today, as is a note whose day cannot be."""
    return replace(_entry_of(draft, now, text), beside=draft.beside)


def _entry_of(draft: Draft, now: datetime, text: str) -> Entry:
    if any(item.date and item.date.recur for item in draft.clause.dates):  # a habit told is a note of today
        return Entry("note", draft.subjects, now.date(), words=text)
    span = span_of(draft)
    if span is None or draft.date is None:
        return Entry(draft.kind, draft.subjects, now.date(), fields=dict(draft.fields), words=text)
    known = None if span.vague or span.impossible else span.on or now.date()
    on = known
    if draft.kind == "note" and (known is None or known > now.date()):
        on = now.date()
    return Entry(draft.kind, draft.subjects, on, _time_of(draft.date), span.part, dict(draft.fields), text)


def _tell_uneaten(drafts: Sequence[Draft]) -> None:
    """Put to a feeding how much of it was left ("2 left over"), where that is told of it alone."""
    partly = [draft for draft in drafts if draft.kind == "feeding" and draft.fields.get("outcome") == "partly"]
    numbers = [[item for item in draft.made_by.get("outcome", []) if _is_count(item)] for draft in partly]
    for draft, left in zip(partly, numbers, strict=True):
        if len(left) == 1 and sum(left[0] in others for others in numbers) == 1:
            draft.put("uneaten", quantity_of(left[0]).count(), left[0])


def _is_count(item: Item) -> bool:
    return item.quantity is not None and item.quantity.unit is None


def _time_of(item: Item) -> time | None:
    """The clock time of a date; "right now" sets none."""
    return item.date.at if item.date is not None and item.text.lower() not in TIMELESS else None


def finish_log(text: str, drafts: Sequence[Draft], now: datetime, planned: Planned, ask: Ask | None) -> Meaning:
    """The Meaning of what was told, with its plans and question; or what must be asked before it may be written."""
    _tell_uneaten(drafts)
    entries = tuple(entry_of(draft, now, text) for draft in drafts)
    whole = Meaning("log", entries=entries, plans=planned.plans, ask=ask)
    doubt = doubt_of(drafts, whole, now.date(), text)
    if doubt is not None:
        return doubt
    if planned.doubt is not None:
        return replace(planned.doubt, entries=entries)
    return with_evidence(whole, draft_marks(drafts), text)


def finish_plans(drafts: Sequence[PlanDraft], now: datetime, tagged: Tagged) -> Planned:
    """Plans with their days read forward, and the question that must be asked first, if any."""
    plans: list[Plan] = []
    for draft in drafts:
        plan = _plan_of(draft, now, tagged)
        if _says_anything(plan) and plan not in plans:  # "feed them weekly, they always forget to eat"
            plans.append(plan)
    unclear = Meaning("unclear", plans=tuple(plans))
    return Planned(tuple(plans), next((doubt for draft in drafts if (doubt := _doubt_of_plan(draft, unclear))), None))


def _says_anything(plan: Plan) -> bool:
    """Whether a plan has what it needs; a time away that is past has not."""
    return plan.kind != "away" or bool(plan.fields)


def _doubt_of_plan(draft: PlanDraft, unclear: Meaning) -> Meaning | None:
    if "to" in draft.missing:
        return ask_for("to", unclear, draft.choices)
    for_nobody = not draft.subjects and draft.kind not in {"note", "check", "stop", "away"}
    if "subjects" in draft.missing or for_nobody:
        return ask_for("subjects", unclear, draft.choices, stranger=draft.stranger)
    impossible = draft.date is not None and draft.date.date is not None and draft.date.date.impossible
    return ask_for("on", unclear) if impossible else None


def _plan_of(draft: PlanDraft, now: datetime, tagged: Tagged) -> Plan:
    if draft.kind == "away":
        away = days_away(draft.clause.dates, draft.back, tagged.text, now)
        return Plan("away", (), words=tagged.text, fields=away)
    plan = Plan(
        draft.kind,
        draft.subjects,
        to=draft.to,
        of=draft.of,
        words=tagged.text,
        fields=draft.fields,
        beside=draft.beside,
    )
    if draft.kind == "rule":
        return plan
    if draft.days is not None:
        plan = replace(plan, on=now.date() + timedelta(days=draft.days))
    if draft.kind == "skip":
        return replace(plan, on=_day_skipped(draft, now, tagged))
    span = _span_ahead(draft.date, now, tagged) if draft.date is not None else None
    if span is None or draft.date is None:
        return plan
    if span.recur is not None:
        time, part = span.recur.time or span.at, span.recur.part or span.part
        return replace(plan, every_days=_tidy(span.recur.every_days), at=time, part=part)
    on = span.on or _day_after(draft, span, now.date())
    at = span.at if draft.date.text.lower() not in TIMELESS else None
    return replace(plan, on=on or plan.on or (now.date() if at or span.part else None), at=at, part=span.part)


def _day_skipped(draft: PlanDraft, now: datetime, tagged: Tagged) -> date:
    """The day of which a task is skipped: the one told, but no past one ("this week")."""
    span = _span_ahead(draft.date, now, tagged) if draft.date is not None else None
    return max(now.date(), span.on) if span is not None and span.on else now.date()


def _day_after(draft: PlanDraft, span: DateSpan, today: date) -> date | None:
    """The day that "for three days" ends; for a plan that goes on until then it says nothing of its own day."""
    if not span.days or (span.till and draft.kind != "stop"):
        return None
    return today + timedelta(days=span.days)


def _tidy(days: float | None) -> float | None:
    return None if days is None else int(days) if days == int(days) else round(days, 2)


def _span_ahead(item: Item, now: datetime, tagged: Tagged) -> DateSpan | None:
    """The same words read as pointing ahead."""
    joined = item.date
    spans = read_dates(tagged.text[item.start : item.end], now, "future")
    best = next((span for span in spans if _says_when(span)), None)
    if best is None or joined is None:
        return joined
    later = best if best.on or best.recur else joined
    return replace(later, at=later.at or joined.at, part=later.part or joined.part)


def _says_when(span: DateSpan) -> bool:
    return bool(span.on or span.recur or span.days or span.part or span.impossible)
