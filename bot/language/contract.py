"""A Meaning as the JSON of the parse contract, and the words that made each field."""

from __future__ import annotations

from datetime import date, time
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

    from bot.language.meaning import Ask, Entry, Meaning, Plan

OF_OWN_FIELDS = ("rule", "away", "skip")
"""Plans whose own fields are what they say; those of a task are not in the contract."""

OWN_FIELDS = {
    "uneaten", "meter", "taken_down", "salt", "shown_pct", "checked_c", "stock", "feeder", "pieces", "delivery_days",
}  # fmt: skip
"""Fields that the journal keeps and the contract has no name for."""


def to_contract(meaning: Meaning, *, explain: bool = False) -> dict[str, Any]:
    """The contract's output for a meaning, without the id; `explain` adds evidence and the readings that came next."""
    out: dict[str, Any] = {"intent": "chat" if meaning.intent == "setup" else meaning.intent}
    if meaning.intent == "unclear":
        out |= {"missing": list(meaning.missing), "question": meaning.question}
        if meaning.choices:
            out["choices"] = [choice.label for choice in meaning.choices]
    else:
        if meaning.entries:
            out["entries"] = [entry_to_contract(entry) for entry in meaning.entries]
        if meaning.plans:
            out["plans"] = [plan_to_contract(plan) for plan in meaning.plans]
    if meaning.ask:
        out["ask"] = ask_to_contract(meaning.ask)
    if meaning.amend:
        out["amend"] = {"action": meaning.amend.action}
        if meaning.amend.changes:
            out["amend"]["changes"] = plain(meaning.amend.changes)
    if meaning.setup:
        out["setup"] = {"action": meaning.setup.action, **plain(meaning.setup.fields)}
    if explain:
        out["explain"] = {
            "score": round(meaning.score, 3),
            "words": [
                {"field": mark.where, "words": mark.words, "start": mark.start, "end": mark.end}
                for mark in meaning.evidence
            ],
            "runners_up": [to_contract(other) for other in meaning.runners_up],
        }
    return out


def entry_to_contract(entry: Entry) -> dict[str, Any]:
    """One entry: its kind, subjects, day, time and own fields."""
    return _dropped(
        {
            "kind": entry.kind,
            "subjects": list(entry.subjects),
            "on": entry.on,
            "at": entry.at,
            "part": entry.part,
            **{name: value for name, value in entry.fields.items() if name not in OWN_FIELDS},
        }
    )


def plan_to_contract(plan: Plan) -> dict[str, Any]:
    """One plan."""
    return _dropped(
        {
            "kind": plan.kind,
            "subjects": list(plan.subjects),
            "on": plan.on,
            "at": plan.at,
            "part": plan.part,
            "every_days": plan.every_days,
            "to": plan.to,
            "of": plan.of,
            **(plan.fields if plan.kind in OF_OWN_FIELDS else {}),
        }
    )


def ask_to_contract(ask: Ask) -> dict[str, Any]:
    """One question."""
    return _dropped(
        {
            "about": ask.about,
            "kind": ask.kind,
            "subjects": list(ask.subjects) or None,
            "since": ask.since,
            "until": ask.until,
            "days": ask.days,
        }
    )


def plain(fields: Mapping[str, Any]) -> dict[str, Any]:
    """Fields as JSON values: dates and times as ISO text, tuples as lists."""
    return {name: _plain(value) for name, value in fields.items()}


def _plain(value: Any) -> Any:  # noqa: ANN401 - any JSON value
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, time):
        return value.strftime("%H:%M")
    return list(value) if isinstance(value, tuple) else value


def _dropped(values: dict[str, Any]) -> dict[str, Any]:
    return {name: _plain(value) for name, value in values.items() if value is not None}
