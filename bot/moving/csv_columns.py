"""The columns of the tables that records move out in, and what of an entry stands under which. Values are metric."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from bot.moving.cells import Cell, listed
from bot.wording.entries import INTERNAL
from bot.wording.terms import SIGNS

WHEN = ("date", "time", "part of day", "time zone")
WHO = ("who", "who it is", "species", "place")

RANGES: Mapping[str, tuple[str, str]] = {
    "quantity": ("prey offered", "prey offered, at most"),
    "uneaten": ("left over", "left over, at most"),
    "number": ("number", "number, at most"),
    "count": ("number", "number, at most"),
    "pieces": ("number", "number, at most"),
    "temperature_c": ("temperature (°C)", "temperature, at most (°C)"),
    "humidity_pct": ("humidity (%)", "humidity, at most (%)"),
    "shown_pct": ("humidity (%)", "humidity, at most (%)"),
    "checked_c": ("temperature (°C)", "temperature, at most (°C)"),
}
"""Fields that are [least, most], with the headings of both."""

MEASURED: Mapping[str, tuple[str, str]] = {
    "legspan": ("leg span (mm)", "leg span, at most (mm)"),
    "body": ("body length (mm)", "body length, at most (mm)"),
    "weight": ("weight (g)", "weight, at most (g)"),
}

PLAIN: Mapping[str, str] = {
    "prey": "prey",
    "feeder": "prey",
    "prey_state": "prey state",
    "each": "for each",
    "outcome": "outcome",
    "amount": "amount",
    "scope": "scope",
    "to": "to",
    "stage": "stage",
    "cause": "cause",
    "meter": "meter",
    "salt": "salt",
    "text": "text",
    "stock": "stock",
}

AMOUNTS = tuple(
    dict.fromkeys(
        [
            *(PLAIN[name] for name in ("prey", "prey_state")),
            *RANGES["quantity"],
            *(PLAIN[name] for name in ("each", "outcome")),
            *(heading for name in ("uneaten", "number") for heading in RANGES[name]),
            *(heading for pair in MEASURED.values() for heading in pair),
            *(heading for name in ("temperature_c", "humidity_pct") for heading in RANGES[name]),
            *PLAIN.values(),
            *("signs", "other"),
        ]
    )
)

OR_MORE = "or more"


def amounts(fields: Mapping[str, Any]) -> dict[str, Cell]:
    """The cells of an entry's fields; what has no column of its own stands under "other", so that nothing is left out."""
    cells: dict[str, Cell] = {}
    other = []
    for name, value in fields.items():
        if value is None or name in INTERNAL or (name == "measure" and "value" in fields):
            continue
        found = _cells(name, value, fields)
        if found is None or found.keys() & cells.keys():
            other.append(f"{name.replace('_', ' ')}: {_plain(value)}")
        else:
            cells |= found
    return {**cells, "other": listed(other)} if other else cells


def _cells(name: str, value: Any, fields: Mapping[str, Any]) -> dict[str, Cell] | None:  # noqa: ANN401 - any JSON value
    if name == "signs" and isinstance(value, list):
        return {"signs": listed(SIGNS.get(sign, str(sign)) for sign in value)}
    if name in PLAIN and isinstance(value, str | bool):
        return {PLAIN[name]: value}
    headings = MEASURED.get(str(fields.get("measure"))) if name == "value" else RANGES.get(name)
    return None if headings is None else _range(headings, value)


def _range(headings: tuple[str, str], value: Any) -> dict[str, Cell] | None:  # noqa: ANN401 - any JSON value
    """The least under its heading, the most only where it is another."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return {headings[0]: value}
    if not isinstance(value, list) or len(value) != 2:
        return None
    low, high = value
    if not all(edge is None or isinstance(edge, int | float) for edge in value):
        return None
    most: Cell = OR_MORE if high is None else None if high == low else high
    return {headings[0]: low, headings[1]: most}


def _plain(value: Any) -> str:  # noqa: ANN401 - any JSON value
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
