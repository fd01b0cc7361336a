"""The answer to a question: the pending Meaning with what was missing filled in."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from bot.language.clauses import Clause
from bot.language.drafts import quantity_of
from bot.language.items import tag
from bot.language.kinds.measures import factor_of
from bot.language.meaning import Meaning
from bot.language.planning import kind_named

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date, datetime

    from bot.language.items import Item
    from bot.language.meaning import Entry, Plan
    from bot.language.roster import Roster

LONGEST = 120  # characters
SHORT = 8  # words; a longer text is a message of its own, not an answer
NUMBER_FIELD = {
    "count": "count", "move": "count", "moult": "number", "death": "number", "arrival": "number",
    "departure": "number", "sac": "number",
}  # fmt: skip
PLACE_LEADS = {"the", "a", "to", "in", "into", "it", "was", "went"}
NOBODY = {
    "none", "none of them", "none of those", "none of these", "neither", "nobody", "no one", "nobody else", "no one else", "no other", "no others",
    "not that one", "leave it", "leave it out", "leave that out", "leave that one out", "skip it", "skip that", "skip that one", "without it",
}  # fmt: skip
"""Answers to "which one?" that leave the one in doubt out."""

COMMON = {"kind", "subjects", "on", "at", "part"}
WHEN = {"on", "at", "part"}


@dataclass(frozen=True, slots=True)
class Answer:
    """A keeper's answer taken apart, with what it answers."""

    pending: Meaning
    items: tuple[Item, ...]
    today: date

    @property
    def tells_act(self) -> bool:
        """Whether it tells an act or a sign of its own and so is no answer."""
        words = [item for item in self.items if item.kind == "word"]
        acts = (item for item in words if item.sense("verb") and not item.verb("get", "take", "see", "leave"))
        return any(acts) or any(item.sense("sign") for item in words)

    @property
    def says_nobody(self) -> bool:
        """Whether it is a bare "none" or "nobody else"."""
        return " ".join(item.text for item in self.items if item.kind != "mark") in NOBODY


def beside(pending: Meaning) -> tuple[str, ...]:
    """Those named for sure beside the one asked about; empty where without that one an act would be of nobody."""
    acts: list[Entry | Plan] = [*pending.entries, *pending.plans]
    doubtful = [act for act in acts if not act.subjects]
    sure = tuple(dict.fromkeys(name for act in doubtful for name in act.beside))
    return sure if all(act.beside for act in doubtful) else ()


def complete(pending: Meaning, text: str, now: datetime, roster: Roster) -> Meaning | None:
    """The pending meaning completed by an answer (a choice's number or label, or what was missing); else None."""
    changes = _chosen(pending, text) or _said(pending, text, now, roster)
    return apply(pending, changes) if changes else None


def _chosen(pending: Meaning, text: str) -> Mapping[str, Any] | None:
    answer = text.strip().lower().rstrip(".!)")
    for number, choice in enumerate(pending.choices, start=1):
        if answer in {str(number), f"{number})", choice.label.lower()}:
            return choice.changes
    return None


def _said(pending: Meaning, text: str, now: datetime, roster: Roster) -> Mapping[str, Any] | None:
    if len(text) > LONGEST or len(text.split()) > SHORT:
        return None
    finder = FINDERS.get(pending.missing[0] if pending.missing else "")
    return finder(Answer(pending, tag(text, now, roster).items, now.date())) if finder else None


def _subjects(answer: Answer) -> Mapping[str, Any] | None:
    if answer.says_nobody and beside(answer.pending):
        return {"subjects": ()}
    spans = [item.name for item in answer.items if item.name]
    numbered = any(item.quantity or (item.prey and item.kind == "word") for item in answer.items)
    unsure = any(span.how in {"either", "unknown"} for span in spans)
    if not spans or numbered or unsure or answer.tells_act:
        return None
    found = {"subjects": tuple(dict.fromkeys(subject for span in spans for subject in span.subjects))}
    return {**found, "dated": _on(answer) or {}}


def _on(answer: Answer) -> Mapping[str, Any] | None:
    span = next((item.date for item in answer.items if item.date and item.date.on), None)
    if span is None or span.on is None or answer.tells_act:
        return None
    if answer.pending.entries and span.on > answer.today:
        return None
    found = {"on": span.on, "at": span.at, "part": span.part}
    return {name: value for name, value in found.items() if value is not None}


def _quantity(answer: Answer) -> Mapping[str, Any] | None:
    number = next((item for item in answer.items if item.quantity), None)
    if number is None or answer.tells_act:
        return None
    kind = answer.pending.entries[0].kind if answer.pending.entries else "feeding"
    if kind == "measurement":
        return {"value": quantity_of(number).measured(factor_of(number))}
    return {NUMBER_FIELD.get(kind, "quantity"): quantity_of(number).count()}


def _to(answer: Answer) -> Mapping[str, Any] | None:
    spans = (item.name for item in answer.items if item.name and item.name.how != "either")
    known = next((span.subjects[0] for span in spans if span.subjects), None)
    if known is not None:
        return {"to": known}
    words = [item.raw for item in answer.items if item.kind != "mark" and item.text not in PLACE_LEADS]
    return {"to": " ".join(words)} if words else None


def _kind(answer: Answer) -> Mapping[str, Any] | None:
    kind = kind_named(Clause(answer.items)) or _loosely(answer.items)
    if kind is None:
        return None
    offered = (choice.changes for choice in answer.pending.choices if choice.changes.get("kind") == kind)
    return next(offered, {"kind": kind})


def _loosely(items: tuple[Item, ...]) -> str | None:
    texts = {item.text for item in items}
    if {"count", "counted", "heads", "head", "alive"} & texts:
        return "count"
    return "note" if "note" in texts else None


FINDERS = {"subjects": _subjects, "on": _on, "quantity": _quantity, "to": _to, "kind": _kind}
"""For each field that may be missing, what finds it in an answer."""


def apply(pending: Meaning, changes: Mapping[str, Any]) -> Meaning:
    """The meaning with the changes put where something was missing; one question settles all entries in doubt."""
    common = {name: value for name, value in changes.items() if name in COMMON}
    own = {name: value for name, value in changes.items() if name not in COMMON}
    dated = own.pop("dated", {})  # a day said with the answer is meant, whatever was taken for it before
    entries = tuple(
        replace(entry, **{**_needed(entry, common), **dated}, fields={**entry.fields, **(own if number == 0 else {})})
        for number, entry in enumerate(pending.entries)
    )
    plans = tuple(_planned(plan, {**_needed(plan, common), **dated, **own}) for plan in pending.plans)
    ask = pending.ask
    if ask is not None and "subjects" in changes and not ask.subjects:
        ask = replace(ask, subjects=changes["subjects"])
    return Meaning("log" if entries else "plan" if plans else "ask", entries=entries, plans=plans, ask=ask, score=1.0)


def _planned(plan: Plan, changes: Mapping[str, Any]) -> Plan:
    return replace(plan, **{name: value for name, value in changes.items() if hasattr(plan, name)})


def _needed(entry: Entry | Plan, common: Mapping[str, Any]) -> dict[str, Any]:
    """Of the common changes those that the entry still lacks; a kind that was asked for always."""
    held = ({"subjects"} if entry.subjects else set()) | (WHEN if entry.on is not None else set())
    needed = {name: value for name, value in common.items() if name not in held}
    if "subjects" in needed and entry.beside:
        needed |= {"subjects": tuple(dict.fromkeys((*entry.beside, *needed["subjects"]))), "beside": ()}
    return needed
