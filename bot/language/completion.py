"""The answer to a question: the pending Meaning with what was missing filled in."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from bot.language.items import tag
from bot.language.meaning import Meaning
from bot.language.planning import kind_named
from bot.language.clauses import Clause

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from bot.language.items import Item, Tagged
    from bot.language.roster import Roster

SHORT = 8  # words; a longer text is a message of its own, not an answer


def complete(pending: Meaning, text: str, now: datetime, roster: Roster) -> Meaning | None:
    """The pending meaning completed by an answer: a choice's number or label, or the missing thing itself; else None."""
    changes = _chosen(pending, text) or _said(pending, text, now, roster)
    return apply(pending, changes) if changes else None


def _chosen(pending: Meaning, text: str) -> Mapping[str, Any] | None:
    answer = text.strip().lower().rstrip(".!)")
    for number, choice in enumerate(pending.choices, start=1):
        if answer in {str(number), f"{number})", choice.label.lower()}:
            return choice.changes
    return None


def _said(pending: Meaning, text: str, now: datetime, roster: Roster) -> Mapping[str, Any] | None:
    if len(text) > 120 or len(text.split()) > SHORT:
        return None
    tagged = tag(text, now, roster)
    field = pending.missing[0] if pending.missing else ""
    finder = {"subjects": _subjects, "on": _on, "quantity": _quantity, "to": _to, "kind": _kind}.get(field)
    return finder(pending, tagged, now) if finder else None


def _others(tagged: Tagged, *kinds: str) -> bool:
    """Whether the answer tells an act of its own and so is no answer."""
    return any(item.kind == "word" and item.sense("verb") and not item.verb("get", "take", "see", "leave") for item in tagged.items) and bool(kinds)


def _subjects(pending: Meaning, tagged: Tagged, _now: datetime) -> Mapping[str, Any] | None:
    names = [item.name for item in tagged.items if item.name]
    numbered = any(item.quantity or (item.prey and item.kind == "word") for item in tagged.items)
    if not names or numbered or any(span.how in {"either", "unknown"} for span in names) or _others(tagged, "name"):
        return None
    return {"subjects": tuple(dict.fromkeys(subject for span in names for subject in span.subjects))}


def _on(pending: Meaning, tagged: Tagged, now: datetime) -> Mapping[str, Any] | None:
    span = next((item.date for item in tagged.items if item.date and item.date.on), None)
    if span is None or _others(tagged, "date") or (pending.entries and span.on is not None and span.on > now.date()):
        return None
    return {name: value for name, value in {"on": span.on, "at": span.at, "part": span.part}.items() if value is not None}


def _quantity(pending: Meaning, tagged: Tagged, _now: datetime) -> Mapping[str, Any] | None:
    number = next((item.quantity for item in tagged.items if item.quantity), None)
    if number is None or _others(tagged, "number"):
        return None
    kind = pending.entries[0].kind if pending.entries else "feeding"
    if kind == "measurement":
        from bot.language.units import G_IN, MM_IN  # noqa: PLC0415 - two tables, used only here

        return {"value": number.measured(MM_IN.get(number.unit or "", G_IN.get(number.unit or "", 1.0)))}
    return {NUMBER_FIELD.get(kind, "quantity"): number.count()}


NUMBER_FIELD = {"count": "count", "move": "count", "moult": "number", "death": "number", "arrival": "number", "departure": "number", "sac": "number"}


def _to(pending: Meaning, tagged: Tagged, _now: datetime) -> Mapping[str, Any] | None:
    name = next((item.name for item in tagged.items if item.name and item.name.how != "either"), None)
    if name is not None:
        return {"to": name.subjects[0]}
    words = [item.raw for item in tagged.items if item.kind != "mark" and item.text not in {"the", "a", "to", "in", "into", "it", "was", "went"}]
    return {"to": " ".join(words)} if words else None


def _kind(pending: Meaning, tagged: Tagged, _now: datetime) -> Mapping[str, Any] | None:
    kind = kind_named(Clause(tagged.items)) or _loosely(tagged.items)
    if kind is None:
        return None
    for choice in pending.choices:
        if choice.changes.get("kind") == kind:
            return choice.changes
    return {"kind": kind}


def _loosely(items: tuple[Item, ...]) -> str | None:
    texts = {item.text for item in items}
    if {"count", "counted", "heads", "head", "alive"} & texts:
        return "count"
    return "note" if "note" in texts else None


def apply(pending: Meaning, changes: Mapping[str, Any]) -> Meaning:
    """The meaning with the changes put where something was missing; one question settles all entries in doubt."""
    common = {name: value for name, value in changes.items() if name in {"kind", "subjects", "on", "at", "part"}}
    own = {name: value for name, value in changes.items() if name not in common}
    entries = tuple(
        replace(entry, **_needed(entry, common), fields={**entry.fields, **(own if index == 0 or not own else {})}) for index, entry in enumerate(pending.entries)
    )
    plans = tuple(replace(plan, **{k: v for k, v in {**_needed(plan, common), **own}.items() if hasattr(plan, k)}) for plan in pending.plans)
    ask = replace(pending.ask, subjects=changes["subjects"]) if pending.ask and "subjects" in changes and not pending.ask.subjects else pending.ask
    intent = "log" if entries else "plan" if plans else "ask"
    return Meaning(intent, entries=entries, plans=plans, ask=ask, score=1.0)


def _needed(entry: Any, common: Mapping[str, Any]) -> dict[str, Any]:  # noqa: ANN401 - an Entry or a Plan
    """Of the common changes those that the entry still lacks; a day or a kind that was asked for always."""
    needed = dict(common)
    if entry.subjects:
        needed.pop("subjects", None)
    if getattr(entry, "on", None) is not None:
        needed = {name: value for name, value in needed.items() if name not in {"on", "at", "part"}}
    return needed
