"""Notes on what is no animal, in words: feeders in stock, meters over salt, and where a meter hangs."""

from __future__ import annotations

from typing import Any

from bot.wording.numbers import say_count, say_range, say_temperature

Unsaid = dict[str, Any]
"""The fields of an entry that the line has not said yet."""

SALTS = {"NaCl": "table salt", "MgCl2": "magnesium chloride"}

_BECAME = {
    "added": "into stock",
    "left": "left in stock",
    "lost": "out of stock, dead or thrown away",
    "ordered": "on order",
    "low": "running low",
}


def say_beside(unsaid: Unsaid, units: str = "metric") -> str | None:
    """Say such a note from its fields, and take them out; None for any other note."""
    if "stock" in unsaid:
        return _stock(unsaid)
    if "delivery_days" in unsaid:
        days = unsaid.pop("delivery_days")
        what = f"an order of {many(unsaid.pop('feeder'))}" if "feeder" in unsaid else "an order"
        return f"{what} takes {say_count(days, 'day')} to come"
    if "salt" in unsaid:
        return _check(unsaid, units)
    if "meter" not in unsaid:
        return None
    return f"{unsaid.pop('meter')} {'taken down' if unsaid.pop('taken_down', False) else 'hangs here'}"


def many(feeder: str) -> str:
    """The name of a feeder in the plural."""
    return say_count((2, 2), feeder).removeprefix("2 ")


def _stock(unsaid: Unsaid) -> str:
    became = _BECAME.get(unsaid.pop("stock"), "in stock")
    feeder, pieces = unsaid.pop("feeder"), unsaid.pop("pieces", None)
    if became == _BECAME["low"]:
        return f"{many(feeder)} {became}"
    number = f"{many(feeder)}, not counted," if pieces is None else say_count(pieces, feeder)
    return f"{'no ' + many(feeder) if pieces == [0, 0] else number} {became}"


def _check(unsaid: Unsaid, units: str) -> str:
    salt = unsaid.pop("salt")
    warm = unsaid.pop("checked_c", None)
    at = "" if warm is None else f" at {say_temperature(warm, units)}"
    return f"{unsaid.pop('meter')} read {say_range(unsaid.pop('shown_pct'))} % over {SALTS.get(salt, salt)}{at}"
