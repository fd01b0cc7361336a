"""Plans: what is to come, once or again and again, and reminders to be stopped."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from bot.language.ask_words import KIND_OF_THING, KIND_OF_VERB
from bot.language.drafting import drafts_of
from bot.language.drafts import value_of
from bot.language.mood_told import repeats
from bot.language.ruling import more_of_rule, ruling
from bot.language.settling_dates import usable
from bot.language.sparing import comes_back, goes_away, puts_off, skips

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.drafts import Draft
    from bot.language.items import Item

KEPT = ("amount", "scope", "measure")
"""Fields of an act that its plan keeps."""

ABOUT = {"about", "the", "please", "again", "on", "me", "remind"}
"""All words of a reminder that says no more than whom it is about."""

OTHER_CARE = ("feed", "mist", "clean", "move", "water", "weigh", "measure", "count")


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
    beside: tuple[str, ...] = ()  # those named for sure in a list of which one is in doubt
    stranger: str = ""  # who that is, where nobody on the roster is called so
    made_by: dict[str, list[Item]] = field(default_factory=dict)
    fields: dict[str, Any] = field(default_factory=dict)
    back: list[Item] = field(default_factory=list)  # the days on which one who goes away is back
    days: int | None = None  # how far ahead it is where no day is told


def plans_of(clause: Clause, before: PlanDraft | None, told: Draft | None) -> list[PlanDraft]:
    """The plans of one clause; a clause without an act takes the kind of the plan before it ("… , tub 2 weekly")."""
    laid_down = _laid_down(clause)
    if laid_down is not None:
        return [laid_down]
    if clause.verb("check") and not clause.verb(*OTHER_CARE):
        return [_plan("check", clause, clause.names)]
    if not clause.names and _is_shopping(clause):
        return [_plan("note", clause, [])]
    drafts = drafts_of(clause, None, planned=True)
    acts = [draft for draft in drafts if draft.kind not in {"note", "observation"}]
    if repeats(clause):
        acts = [draft for draft in acts if draft.kind != "move"]  # "switch A to every 2 weeks"
    if acts or len(drafts) > 1:
        return [_plan_of(draft) for draft in (acts or drafts)[:2]]
    return [_plan(_kind_without_act(clause, before, told), clause, clause.names)]


def _laid_down(clause: Clause) -> PlanDraft | None:
    """The plan that is no task: a rule, a time away, or a task let go."""
    rule = ruling(clause)
    if rule is not None:
        return PlanDraft("rule", clause, clause.names, fields=rule)
    if goes_away(clause):
        return PlanDraft("away", clause)
    if not skips(clause):
        return None
    skip = _plan("skip", clause, clause.names)
    skip.of, skip.days = kind_named(clause), 0
    return skip


def adds_to(plan: PlanDraft, clause: Clause) -> bool:
    """Whether a clause only adds to the plan before it: "… but lightly", "… and 24 to 26 C"; then it is added."""
    if plan.kind == "stop" and not plan.names and plan.date is None and goes_away(clause):
        plan.kind, plan.clause = "away", clause  # "no reminders while I'm away 3 to 10 June"
        return True
    if plan.kind == "away":
        if comes_back(clause):
            plan.back += clause.dates
        return comes_back(clause)
    if plan.kind == "rule":
        more = more_of_rule(clause)
        plan.fields |= more
        return bool(more)
    named = kind_named(clause)
    if named and plan.kind == "note" and plan.clause.plain("do") and not clause.names and not clause.dates:
        plan.kind = named  # "must do the bin on the 30th, full clean out"
        return True
    amount = next((item for item in clause.items if item.sense("amount")), None)
    if plan.kind != "misting" or amount is None or clause.names or named:
        return False
    plan.fields["amount"] = value_of(amount, "amount")
    return True


def without_idle(plans: list[PlanDraft]) -> list[PlanDraft]:
    """The plans without those that only led to another: "I'm going to be up to my eyes in it, so remind me to feed B", "To do: …"."""
    named = any(plan.names and plan.kind != "note" for plan in plans)
    return [plan for plan in plans if not (named and _is_idle(plan))]


def _is_idle(plan: PlanDraft) -> bool:
    """Whether a plan says neither what, nor of whom, nor when."""
    says = any(item.sense("verb") or item.thing() or item.prey for item in plan.clause.items if item.kind == "word")
    return plan.kind == "note" and not plan.names and plan.date is None and not says


def _is_shopping(clause: Clause) -> bool:
    """Whether something is to be bought, which is for nobody on the roster."""
    if clause.plain("order", "buy", "get", "pick") or clause.verb("buy"):
        return True
    prey = any(item.prey and item.kind == "word" for item in clause.items)
    needed = clause.plain("need") or clause.senses("plan", "true")
    return bool(needed) and prey and not clause.verb("feed", "offer", "mist", "clean", "count")


def _kind_without_act(clause: Clause, before: PlanDraft | None, told: Draft | None) -> str:
    """The kind of a plan whose clause has no act: by a noun, what was just told, the plan before, or a look."""
    kind = kind_named(clause)
    if kind == "move" and repeats(clause):
        return "note"
    if kind is None and told is not None and clause.plain("again", "it", "same", "that", "them"):
        kind = told.kind
    if kind is None and before is not None and not clause.senses("plan", "true"):
        kind = before.kind
    looked = clause.plain("look", "peek", "eye", "torch") is not None or _is_about_somebody(clause)
    return kind or ("check" if looked else "note")


def _is_about_somebody(clause: Clause) -> bool:
    """Whether somebody is to be thought of and nothing is said of what to do: "remind me about D tomorrow"."""
    rest = {item.text for item in clause.items if item.kind not in {"name", "date", "mark"} and not item.sense("plan")}
    return bool(clause.names) and "about" in rest and rest <= ABOUT


def stop_of(clause: Clause) -> PlanDraft:
    """The stop that "stop feeding reminders for D" asks for: `of` names the kind that is stopped, None for all."""
    stop = _plan("stop", clause, clause.names)
    stop.of = kind_named(clause)
    stop.days = 1 if puts_off(clause) else None
    return stop


def kind_named(clause: Clause) -> str | None:
    """The kind a clause's words name, by verb or noun."""
    senses = ((item, sense) for item in clause.items if item.kind == "word" for sense in item.senses)
    for item, sense in senses:
        if sense.category == "verb" and sense.value in KIND_OF_VERB and _is_meant(clause, item, sense.value):
            return KIND_OF_VERB[sense.value]
        if sense.category == "thing" and sense.value in KIND_OF_THING:
            return KIND_OF_THING[sense.value]
    return "feeding" if any(item.prey and item.kind == "word" for item in clause.items) else None


def _is_meant(clause: Clause, item: Item, verb: str) -> bool:
    """Whether a verb means its kind; "lay" does so in its own words or of a sac."""
    return verb != "lay" or item.text.startswith(("lay", "laid")) or clause.thing("sac", "eggs") is not None


def _plan(kind: str, clause: Clause, names: list[Item]) -> PlanDraft:
    return PlanDraft(kind, clause, names, date=_date_of(clause))


def _plan_of(draft: Draft) -> PlanDraft:
    plan = _plan(draft.kind, draft.clause, draft.names)
    plan.to = draft.fields.get("to")
    plan.missing = list(draft.missing)
    plan.choices = draft.choices
    plan.made_by = draft.made_by
    plan.fields = {name: draft.fields[name] for name in KEPT if name in draft.fields}
    return plan


def _date_of(clause: Clause) -> Item | None:
    """When a plan is for: its repeat, else the day told after its marker, else the day or the distance told."""
    dates = [item for item in clause.dates if item.date]
    repeat = next((item for item in dates if item.date and item.date.recur), None)
    distance = next((item for item in dates if item.date and (item.date.on or item.date.days)), None)
    return repeat or _day_after_marker(clause) or usable(clause) or distance


def _day_after_marker(clause: Clause) -> Item | None:
    """The day after "remind me", where another stands before it and neither has a time: "on monday remind me …"."""
    marker = next((item for item in clause.items if item.kind == "word" and item.sense("plan", "true")), None)
    dates = [(item, item.date) for item in clause.dates if item.date]
    if marker is None or any(date.at for _, date in dates):
        return None
    later = [item for item, date in dates if date.on and item.start > marker.start]
    return later[0] if later and len(clause.dates) > len(later) else None


def settle_plans(plans: list[PlanDraft], told: tuple[str, ...], focus: tuple[str, ...]) -> None:
    """Subjects and dates of plans: their own, else of the plan before, else of what was told, else the focus."""
    known, when = told, None
    for plan in plans:
        if plan.kind == "away":
            continue
        spans = [item.name for item in plan.names if item.name]
        own = tuple(dict.fromkeys(subject for span in spans for subject in span.subjects))
        doubt = next((item for item in plan.names if item.name and item.name.how in {"either", "unknown"}), None)
        if doubt is not None and doubt.name is not None:
            plan.missing.append("subjects")
            plan.choices, plan.beside = doubt.name.subjects, doubt.name.beside
            plan.stranger = doubt.raw if doubt.name.how == "unknown" else ""
        else:
            plan.subjects = known = own or known or focus
        plan.date = when = plan.date or (None if plan.kind == "rule" else when)
    _from_behind(plans)


def _from_behind(plans: list[PlanDraft]) -> None:
    """Plans without a day take that of the next one in their sentence; those without subjects, those of the next."""
    later: PlanDraft | None = None
    subjects: tuple[str, ...] = ()
    for plan in reversed(plans):
        if plan.kind in {"rule", "away"}:
            continue
        if plan.date is None and later is not None and later.clause.number == plan.clause.number:
            plan.date = later.date
        if plan.date is not None:
            later = plan
        if "subjects" not in plan.missing:
            plan.subjects = subjects = plan.subjects or subjects
