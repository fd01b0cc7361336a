"""Plans: what is to come, once or again and again, and reminders to be stopped."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from bot.language.ask_words import KIND_OF_THING, KIND_OF_VERB
from bot.language.drafting import drafts_of
from bot.language.settling_dates import usable

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.drafts import Draft
    from bot.language.items import Item


@dataclass(slots=True)
class PlanDraft:
    """A plan in the making, before its subjects are settled across clauses."""

    kind: str
    clause: Clause
    names: list[Item] = field(default_factory=list)
    to: str | None = None
    of: str | None = None
    missing: list[str] = field(default_factory=list)
    choices: tuple[str, ...] = ()
    date: Item | None = None
    subjects: tuple[str, ...] = ()
    made_by: dict[str, list[Item]] = field(default_factory=dict)


def plans_of(clause: Clause, before: PlanDraft | None, told: Draft | None) -> list[PlanDraft]:
    """The plans of one clause; a clause without an act takes the kind of the plan before it ("… , tub 2 weekly")."""
    if clause.verb("check") and not clause.verb("feed", "mist", "clean", "move", "water", "weigh", "measure", "count"):
        return [_dated(PlanDraft("check", clause, clause.names), clause)]
    needed = clause.plain("need") or clause.senses("plan", "true")
    shopping = (
        needed
        and any(item.prey and item.kind == "word" for item in clause.items)
        and not clause.verb("feed", "offer", "mist", "clean", "count")
    )
    if not clause.names and shopping:
        return [_dated(PlanDraft("note", clause, []), clause)]
    if (not clause.names and clause.plain("order", "buy", "get", "pick")) or (not clause.names and clause.verb("buy")):
        return [_dated(PlanDraft("note", clause, []), clause)]  # shopping is for nobody on the roster
    drafts = drafts_of(clause, None, planned=True)
    drafts = [draft for draft in drafts if draft.kind not in {"note", "observation"}] or drafts
    if drafts and not (len(drafts) == 1 and drafts[0].kind in {"observation", "note"}):
        return [
            _dated(
                PlanDraft(
                    draft.kind,
                    clause,
                    draft.names,
                    to=draft.fields.get("to"),
                    missing=list(draft.missing),
                    choices=draft.choices,
                    made_by=draft.made_by,
                ),
                clause,
            )
            for draft in drafts[:2]
        ]
    kind = kind_named(clause)
    if kind is None and told is not None and clause.plain("again", "it", "same", "that", "them"):
        kind = told.kind
    if kind is None and before is not None and not clause.senses("plan", "true"):
        kind = before.kind
    if kind is None:
        kind = "check" if clause.plain("look", "peek", "eye", "torch") else "note"
    return [_dated(PlanDraft(kind, clause, clause.names), clause)]


def stop_of(clause: Clause) -> PlanDraft:
    """Of "stop feeding reminders for D": `of` names the kind that is stopped, None for all."""
    return _dated(PlanDraft("stop", clause, clause.names, of=kind_named(clause)), clause)


def kind_named(clause: Clause) -> str | None:
    """The kind a clause's words name, by verb or noun."""
    for item in clause.items:
        for sense in item.senses if item.kind == "word" else ():
            if (
                sense.category == "verb"
                and sense.value in KIND_OF_VERB
                and (sense.value != "lay" or item.text.startswith(("lay", "laid")) or clause.thing("sac", "eggs"))
            ):
                return KIND_OF_VERB[sense.value]
            if sense.category == "thing" and sense.value in KIND_OF_THING:
                return KIND_OF_THING[sense.value]
    return "feeding" if any(item.prey and item.kind == "word" for item in clause.items) else None


def _dated(plan: PlanDraft, clause: Clause) -> PlanDraft:
    repeat = next((item for item in clause.dates if item.date and item.date.recur), None)
    marker = next((item for item in clause.items if item.kind == "word" and item.sense("plan", "true")), None)
    later = [item for item in clause.dates if marker and item.start > marker.start and item.date and item.date.on]
    plan.date = (
        repeat
        or (
            later[0]
            if later and len(clause.dates) > len(later) and not any(item.date and item.date.at for item in clause.dates)
            else None
        )
        or usable(clause)
        or next((item for item in clause.dates if item.date and (item.date.on or item.date.days)), None)
    )
    return plan


def settle_plans(plans: list[PlanDraft], told: tuple[str, ...], focus: tuple[str, ...]) -> None:
    """Subjects and dates of plans: their own, else of the plan before, else of what was told, else the focus."""
    known, when = told, None
    for plan in plans:
        spans = [item.name for item in plan.names if item.name]
        doubt = next((span for span in spans if span.how == "either"), None)
        if doubt is not None:
            plan.missing.append("subjects")
            plan.choices = doubt.subjects
        plan.subjects = tuple(dict.fromkeys(subject for span in spans for subject in span.subjects)) or known or focus
        known = plan.subjects
        plan.date = plan.date or when
        when = plan.date
    _dates_from_behind(plans)


def _dates_from_behind(plans: list[PlanDraft]) -> None:
    following = None
    for plan in reversed(plans):
        if plan.date is None and following is not None and plan.clause.number == following[0]:
            plan.date = following[1]
        if plan.date is not None:
            following = (plan.clause.number, plan.date)
    subjects: tuple[str, ...] = ()
    for plan in reversed(plans):
        plan.subjects = plan.subjects or subjects
        subjects = plan.subjects
