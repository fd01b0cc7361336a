"""The house that the tests of reading talk about, and short ways to read a message in it. All of it is invented."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from bot.language import read
from bot.language.contract import entry_to_contract, plan_to_contract, to_contract
from bot.language.meaning import Context, Meaning
from bot.language.roster import roster_from_table

NOW = datetime(2026, 3, 12, 21, 30)  # noqa: DTZ001 - the keeper's local clock carries no zone; a Thursday
TODAY = "2026-03-12"

GROUPS = (
    ("A", "Neoholothele incei", 24),
    ("B", "Neoholothele incei", 42),
    ("C", "Heterothele villosella", 60),
    ("D", "Damon medius", 12),
)
TABLE: dict[str, Any] = {
    "zone": "Europe/Lisbon",
    "enclosures": [
        *({"name": f"tub {n}", "aliases": [f"t{n}"], "tags": ["shelf 1" if n < 3 else "shelf 2"]} for n in (1, 2, 3, 4, 5)),
        *({"name": f"pot {n}", "tags": ["nursery"]} for n in (1, 2, 3, 4)),
        {"name": "glass cube", "size_cm": [30, 30, 45]},
        {"name": "tall tank", "aliases": ["the tower"]},
        {"name": "bark jar"},
        {"name": "moss jar"},
        {"name": "spare tub", "aliases": ["the spare"]},
        {"name": "roach bin", "tags": ["feeders"]},
    ],
    "occupants": [
        *(
            {"name": f"group {letter}", "kind": "group", "aliases": [letter], "species": species, "enclosure": f"tub {n}", "count": count}
            for n, (letter, species, count) in enumerate(GROUPS, start=1)
        ),
        {"name": "Mabel", "kind": "animal", "species": "Brachypelma hamorii", "enclosure": "tub 5"},
        *({"name": f"sling {n}", "kind": "animal", "species": "Caribena versicolor", "enclosure": f"pot {n}"} for n in (1, 2, 3, 4)),
        {"name": "Clove", "kind": "animal", "species": "Correlophus ciliatus", "enclosure": "glass cube"},
        {"name": "the stilts", "kind": "group", "aliases": ["stilts"], "species": "Damon diadema", "enclosure": "tall tank", "count": 9},
        {"name": "Rilla", "kind": "animal", "species": "Psalmopoeus irminia", "enclosure": "bark jar"},
        {"name": "Rolla", "kind": "animal", "species": "Psalmopoeus irminia", "enclosure": "moss jar"},
        {"name": "dubia colony", "kind": "group", "species": "Blaptica dubia", "enclosure": "roach bin", "count": 250},
    ],
}  # fmt: skip
HOUSE = roster_from_table(TABLE)


def meaning(text: str, now: datetime = NOW, context: Context | None = None) -> Meaning:
    """What a message means in this house."""
    return read(text, now, HOUSE, context)


def contract(text: str, now: datetime = NOW) -> dict[str, Any]:
    """The contract's output for a message."""
    return to_contract(meaning(text, now))


def entries(text: str, now: datetime = NOW) -> list[dict[str, Any]]:
    """The entries of a message that logs and does nothing else."""
    found = meaning(text, now)
    assert found.intent == "log", (text, to_contract(found))
    return [entry_to_contract(entry) for entry in found.entries]


def entry(text: str, now: datetime = NOW) -> dict[str, Any]:
    """The one entry of a message that logs."""
    found = entries(text, now)
    assert len(found) == 1, (text, found)
    return found[0]


def fields(text: str, now: datetime = NOW) -> dict[str, Any]:
    """The own fields of the one entry of a message: without kind, subjects and date."""
    return {
        name: value for name, value in entry(text, now).items() if name not in {"kind", "subjects", "on", "at", "part"}
    }


def plans(text: str, now: datetime = NOW) -> list[dict[str, Any]]:
    """The plans of a message that plans and logs nothing."""
    found = meaning(text, now)
    assert found.intent == "plan", (text, to_contract(found))
    return [plan_to_contract(plan) for plan in found.plans]


def plan(text: str, now: datetime = NOW) -> dict[str, Any]:
    """The one plan of a message."""
    found = plans(text, now)
    assert len(found) == 1, (text, found)
    return found[0]


def ask(text: str, now: datetime = NOW) -> dict[str, Any]:
    """What a message asks."""
    found = contract(text, now)
    assert found["intent"] == "ask", (text, found)
    return dict(found["ask"])


def changes(text: str, now: datetime = NOW) -> dict[str, Any]:
    """What a correction changes."""
    found = contract(text, now)
    assert found["intent"] == "amend", (text, found)
    assert found["amend"]["action"] == "change", (text, found)
    return dict(found["amend"]["changes"])


def missing(text: str, now: datetime = NOW) -> list[str]:
    """What a doubtful message leaves in doubt."""
    found = contract(text, now)
    assert found["intent"] == "unclear", (text, found)
    return list(found["missing"])
