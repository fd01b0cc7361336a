"""A roster and quick ways to read what a keeper lays down for the animals on it."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from bot.language import read
from bot.language.meaning import Meaning, Plan
from bot.language.roster import roster_from_table

NOW = datetime(2026, 3, 4, 19, 0)  # noqa: DTZ001 - the keeper's clock, a Wednesday
ROSTER = roster_from_table(
    {
        "zone": "Europe/Lisbon",
        "enclosures": [
            {"name": "tub 4", "tags": ["shelf 2"]},
            {"name": "glass cube"},
            {"name": "pot 9"},
            {"name": "arch"},
        ],
        "occupants": [
            {
                "name": "group B",
                "kind": "group",
                "aliases": ["B"],
                "species": "Neoholothele incei",
                "enclosure": "tub 4",
                "count": 44,
            },
            {"name": "Clotho", "kind": "animal", "species": "Damon variegatus", "enclosure": "glass cube"},
            {"name": "Dapple", "kind": "animal", "species": "Opistophthalmus glabrifrons", "enclosure": "pot 9"},
            {
                "name": "the mosses",
                "kind": "group",
                "species": "Heterothele villosella",
                "enclosure": "arch",
                "count": 17,
            },
        ],
    }
)


def heard(text: str) -> Meaning:
    return read(text, NOW, ROSTER)


def plan(text: str) -> Plan:
    meaning = heard(text)
    assert meaning.intent == "plan", meaning
    (found,) = meaning.plans
    return found


def rule(text: str) -> tuple[tuple[str, ...], dict[str, Any]]:
    found = plan(text)
    assert found.kind == "rule", found
    return found.subjects, dict(found.fields)
