"""What each column of a table holds: the names a keeper gives, the guesses offered, and the mapping kept in a file."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path

from bot.moving.told import ImportFault
from bot.moving.written_days import Order, day_at, time_at
from bot.roster_file import toml_text

ROLES: Mapping[str, str] = {
    "date": "the day it was",
    "time": "the time of day",
    "date and time": "both in one, or Unix seconds",
    "animal": "which animal or group, by its name on the roster",
    "place": "which enclosure; in a roster where it lives, in a move where it went",
    "happening": "what happened, in a word: fed, moulted, misted, refused, moved, …",
    "amount": "how many, or how much, was fed",
    "prey": "what was fed",
    "left over": "how many were left",
    "eaten": "whether it was eaten: yes, no or partly",
    "count": "how many heads",
    "weight g": "a weight in grams",
    "weight oz": "a weight in ounces",
    "size mm": "a size in millimetres",
    "size cm": "a size in centimetres",
    "size in": "a size in inches",
    "temperature C": "degrees Celsius",
    "temperature F": "degrees Fahrenheit",
    "humidity": "per cent",
    "text": "a line in plain words, to be read as if you had said it",
    "note": "a remark, kept as it is",
    "species": "the species, in a roster",
    "kind": "group or animal, in a roster",
    "tags": "words for several places, in a roster, parted by semicolons",
    "ignore": "leave this column out",
}
"""What a column may hold, each with what that is."""

MANY = frozenset({"ignore", "note", "text"})
"""What more than one column may hold."""

OF_ROSTERS = frozenset({"species", "kind", "tags"})
WHEN = frozenset({"date", "date and time"})
_TELLING = frozenset(ROLES) - OF_ROSTERS - WHEN - {"time", "animal", "place", "ignore"}

_HEADS: Sequence[tuple[str, str]] = (
    ("date and time", r"date ?time|timestamp|when|date and time|unix"),
    ("date", r"date|day|on"),
    ("time", r"time|hour|at"),
    ("species", r"species|scientific.*|latin.*|taxon"),
    ("animal", r"animal|name|group|who|pet|specimen|critter|id|tank ?mate|colony|spider|individual"),
    ("place", r"place|enclosure|tub|tank|box|terrarium|where|location|room|to"),
    ("happening", r"event|action|activity|what|type|happening|did|category|task"),
    ("left over", r"left ?overs?|left|uneaten|remaining"),
    ("eaten", r"eaten|ate|accepted|taken|result|outcome"),
    ("amount", r"amount|quantity|qty|number|how many|pieces"),
    ("prey", r"prey|food|feeder|feeders|item|fed"),
    ("count", r"count|heads|head ?count|population|size of group"),
    ("weight oz", r"weight.*\boz|weight.*ounce.*"),
    ("weight g", r"weight.*|mass.*|grams?|g"),
    ("size cm", r"(?:size|leg ?span|length|body).*\bcm"),
    ("size in", r"(?:size|leg ?span|length|body).*(?:\bin|inch.*)"),
    ("size mm", r"(?:size|leg ?span|length|body).*|mm"),
    ("temperature F", r"temp.*\bf"),
    ("temperature C", r"temp.*|degrees.*"),
    ("humidity", r"humid.*|rh.*"),
    ("tags", r"tags?|shelf|labels?"),
    ("kind", r"kind|group or animal"),
    ("note", r"notes?|remarks?|comments?|observations?"),
    ("text", r"text|entry|log|message|description|details"),
)


def guess(head: str, values: Sequence[str], taken: Sequence[str]) -> str:
    """What a column probably holds, by its head and then by its values; `taken` are those that others hold already."""
    plain = re.sub(r"[\s_()\[\]./-]+", " ", head).strip().lower()
    named = next((role for role, pattern in _HEADS if re.fullmatch(pattern, plain)), None) or _by_values(values)
    return named if named in MANY or named not in taken else "ignore"


def _by_values(values: Sequence[str]) -> str:
    filled = [value.strip() for value in values if value.strip()]
    if not filled:
        return "ignore"
    days = [day_at(value) for value in filled]
    if all(days):
        with_time = any(found is not None and found[1] < len(value) for found, value in zip(days, filled, strict=True))
        return "date and time" if with_time else "date"
    try:
        if all(time_at(value, 0) for value in filled):
            return "time"
    except ValueError:
        return "ignore"
    return "text" if sum(value.count(" ") for value in filled) >= 2 * len(filled) else "ignore"


def check(roles: Sequence[str]) -> None:
    """Raise ImportFault for a mapping by which nothing can be brought in."""
    twice = next((role for role, number in Counter(roles).items() if number > 1 and role not in MANY), None)
    if twice is not None:
        raise ImportFault(f"Two columns cannot both be “{twice}”; map one of them to “ignore”.")
    held = set(roles)
    if held >= WHEN or {"date and time", "time"} <= held:
        raise ImportFault("“date and time” stands alone; map the other column to “ignore”.")
    if not held & WHEN:
        _check_roster(held)
        return
    if held & OF_ROSTERS:
        role = min(held & OF_ROSTERS)
        raise ImportFault(f"A table with days is no roster, so “{role}” has no use in it; map that column to “ignore”.")
    if not held & {"animal", "place", "text"} or not held & _TELLING:
        raise ImportFault(
            "Beside the date there must be an animal or a place and something that happened to it, or a line of text."
        )


def _check_roster(held: set[str]) -> None:
    if not {"animal", "place"} <= held:
        raise ImportFault(
            "No column is a “date”, so this is a roster; then one column must be “animal” and one “place”."
        )
    stray = sorted(held - OF_ROSTERS - {"animal", "place", "count", "ignore"})
    if stray:
        raise ImportFault(f"In a roster (no column is a “date”) “{stray[0]}” has no use; map that column to “ignore”.")


def load_mapping(path: Path, heads: Sequence[str]) -> tuple[list[str], Order | None]:
    """The roles of these columns, by a mapping that was kept, and what comes first in its days. Raises ImportFault."""
    try:
        table = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as fault:
        raise ImportFault(f"{path} cannot be read: {fault.strerror or fault}.") from fault
    except ValueError as fault:
        raise ImportFault(f"{path} is not good TOML: {fault}.") from fault
    columns = table.get("columns")
    if not isinstance(columns, dict):
        raise ImportFault(f"{path} has no table [columns], in which each column's name says what it holds.")
    wrong = next((str(role) for role in columns.values() if role not in ROLES), None)
    if wrong is not None:
        raise ImportFault(f"{path}: a column cannot be “{wrong}”; it is one of: {', '.join(ROLES)}.")
    missing = next((head for head in heads if head not in columns), None)
    if missing is not None:
        raise ImportFault(f"{path} does not say what the column “{missing}” holds.")
    order = table.get("first")
    if order not in (None, "day", "month"):
        raise ImportFault(f"{path}: first is “day” or “month”, not “{order}”.")
    return [str(columns[head]) for head in heads], order


def mapping_text(heads: Sequence[str], roles: Sequence[str], order: Order | None) -> str:
    """A mapping as TOML, as `load_mapping` reads it."""
    first = toml_text({"first": order}) + "\n" if order else ""
    return f"{first}[columns]\n{toml_text(dict(zip(heads, roles, strict=True)))}"
