"""The words for each kind of entry and for the values of its fields."""

from __future__ import annotations

from types import MappingProxyType

_NOUNS = MappingProxyType(
    {
        "feeding": ("feeding", "feedings"),
        "misting": ("misting", "mistings"),
        "watering": ("watering", "waterings"),
        "cleaning": ("cleaning", "cleanings"),
        "moult": ("moult", "moults"),
        "move": ("move", "moves"),
        "count": ("head count", "head counts"),
        "measurement": ("measurement", "measurements"),
        "reading": ("reading", "readings"),
        "observation": ("sighting", "sightings"),
        "death": ("death", "deaths"),
        "arrival": ("arrival", "arrivals"),
        "departure": ("departure", "departures"),
        "pairing": ("pairing", "pairings"),
        "sac": ("egg sac", "egg sacs"),
        "note": ("note", "notes"),
        "check": ("look-in", "look-ins"),
        "placed": ("placing", "placings"),
        "ended": ("ending", "endings"),
    }
)

_DONE = MappingProxyType(
    {
        "feeding": "fed",
        "misting": "misted",
        "watering": "watered",
        "cleaning": "cleaned",
        "moult": "moulted",
        "move": "moved",
        "count": "counted",
        "measurement": "measured",
        "reading": "read",
        "observation": "seen",
        "death": "lost",
        "arrival": "added to",
        "departure": "sold or given away from",
        "pairing": "paired",
    }
)

TASKS = MappingProxyType(
    {
        "feeding": "feed",
        "misting": "mist",
        "watering": "fill the dish",
        "cleaning": "clean",
        "moult": "look for a moult",
        "move": "move",
        "count": "count heads",
        "measurement": "measure",
        "reading": "take a reading",
        "observation": "look for signs",
        "death": "look for a death",
        "arrival": "take in",
        "departure": "hand over",
        "pairing": "pair",
        "sac": "see to the egg sac",
        "note": "remember",
        "check": "look in",
    }
)
"""What a plan of each kind sets the keeper to do."""

SIGNS = MappingProxyType(
    {
        "hiding": "hiding, not seen",
        "out": "out in the open",
        "webbing": "webbing",
        "burrowing": "burrowing",
        "premoult": "in premoult",
        "active": "active",
        "lethargic": "lethargic",
        "eating_together": "eating together",
        "fighting": "fighting",
        "mould": "mould",
        "mites": "mites",
        "escaped": "escaped",
        "injured": "injured",
    }
)
"""Observation signs in plain words."""

MEASURES = MappingProxyType({"legspan": "legspan", "body": "body length", "weight": "weight"})
"""Measures in plain words."""


def noun(kind: str | None) -> str:
    """Name one entry of a kind ("feeding"); "entry" when any kind is meant."""
    if kind is None:
        return "entry"
    return _NOUNS[kind][0] if kind in _NOUNS else kind.replace("_", " ")


def nouns(kind: str | None) -> str:
    """Name several entries of a kind ("feedings")."""
    if kind is None:
        return "entries"
    return _NOUNS[kind][1] if kind in _NOUNS else kind.replace("_", " ")


def done(kind: str | None) -> str:
    """Say what was done or has happened, as a participle ("fed"); "recorded" where the kind has none of its own."""
    return _DONE.get(kind or "", "recorded")
