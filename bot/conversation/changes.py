"""What an answer or a correction does to an entry: the changed entry, the old one untouched."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from bot.language.meaning import Choice, Entry, Meaning, Plan

_NUMBER_OF = {
    "feeding": "quantity",
    "count": "count",
    "move": "count",
    "measurement": "value",
    "moult": "number",
    "death": "number",
    "arrival": "number",
    "departure": "number",
    "sac": "number",
}
_NUMBERS = ("quantity", "number", "count", "value", "pieces", "shown_pct")
_FITS: Mapping[str, frozenset[str]] = {
    "prey": frozenset({"feeding"}),
    "prey_state": frozenset({"feeding"}),
    "outcome": frozenset({"feeding"}),
    "each": frozenset({"feeding"}),
    "amount": frozenset({"misting"}),
    "scope": frozenset({"cleaning"}),
    "to": frozenset({"move"}),
    "measure": frozenset({"measurement"}),
    "temperature_c": frozenset({"reading"}),
    "humidity_pct": frozenset({"reading"}),
    "signs": frozenset({"observation"}),
    "cause": frozenset({"death"}),
    "stage": frozenset({"sac"}),
}
_OWN = frozenset({"kind", "subjects", "on", "at", "part"})


def changed(entry: Entry, changes: Mapping[str, Any]) -> Entry:
    """The entry with these fields set; None as a value takes a field away. A new outcome drops what was left over."""
    own = {name: value for name, value in changes.items() if name in _OWN}
    if "subjects" in own:
        own["subjects"] = tuple(own["subjects"])
    gone = {"uneaten"} if "outcome" in changes else set()
    kept = {name: value for name, value in entry.fields.items() if name not in gone}
    fields = {**kept, **{name: value for name, value in changes.items() if name not in _OWN}}
    return replace(entry, **own, fields={name: value for name, value in fields.items() if value is not None})


def changed_plan(plan: Plan, changes: Mapping[str, Any]) -> Plan:
    """The plan with those of these fields set that a plan has."""
    known = {name: value for name, value in changes.items() if name in Plan.__dataclass_fields__}
    if "subjects" in known:
        known["subjects"] = tuple(known["subjects"])
    return replace(plan, **known)


def number_field(entry: Entry) -> str | None:
    """The field of an entry that a bare number changes: the one it carries, else the one its kind would carry."""
    carried = [name for name in _NUMBERS if name in entry.fields]
    return carried[0] if carried else _NUMBER_OF.get(entry.kind)


def fits(entry: Entry, name: str) -> bool:
    """Whether a field can be said of an entry."""
    if name in _OWN or name in entry.fields or (name == "prey" and "feeder" in entry.fields):
        return True
    if name in _NUMBERS:
        return number_field(entry) is not None
    return entry.kind in _FITS.get(name, frozenset())


def renamed(entry: Entry, changes: Mapping[str, Any]) -> dict[str, Any]:
    """The changes with a bare number, and a prey, under the name that it has in this entry."""
    own = dict(changes)
    if "prey" in own and "feeder" in entry.fields:
        own["feeder"] = own.pop("prey")
    target = number_field(entry)
    for name in ("quantity", "number", "count"):
        if name in own and target is not None and target != name:
            own[target] = own.pop(name)
    return own


def with_choice(meaning: Meaning, choice: Choice) -> Meaning:
    """What a question was about, with one of its choices taken: no longer in doubt."""
    items: list[Entry | Plan] = [*meaning.entries, *meaning.plans]
    doubted = [item for item in items if any(not _holds(item, name) for name in meaning.missing)] or items
    return replace(
        meaning,
        intent="log" if meaning.entries else "plan",
        entries=tuple(changed(entry, choice.changes) if entry in doubted else entry for entry in meaning.entries),
        plans=tuple(changed_plan(plan, choice.changes) if plan in doubted else plan for plan in meaning.plans),
        missing=(),
        question="",
        choices=(),
    )


def picked(choices: Sequence[Choice], text: str) -> Choice | None:
    """The choice that an answer names, by its number or its words; None if it names none."""
    said = " ".join(text.lower().split()).strip(" .!#()")
    if said.isdecimal() and said.isascii() and len(said) < 4:
        number = int(said)
        return choices[number - 1] if 1 <= number <= len(choices) else None
    return next((choice for choice in choices if " ".join(choice.label.lower().split()).strip(" .!#()") == said), None)


def _holds(entry: Entry | Plan, name: str) -> bool:
    if name in Plan.__dataclass_fields__ or name in _OWN:
        return getattr(entry, name, None) not in (None, (), "")
    return isinstance(entry, Entry) and entry.fields.get(name) is not None
