"""Readings of thermometers and hygrometers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import quantity_of

if TYPE_CHECKING:
    from bot.language.drafts import Draft, Scope
    from bot.language.items import Item
    from bot.language.quantities import Quantity

WARMTH = {"C", "F", "deg"}
ENDS = ("cool", "hot", "warm", "cold", "end", "side", "top", "bottom", "warmer", "cooler", "other")


def reading(scope: Scope) -> list[Draft]:
    """Temperature in °C and humidity in percent; a second reading of one place widens the first."""
    warm, damp = _reading_numbers(scope)
    if warm is None and damp is None:
        return []
    words = [item for item in scope.free if item.thing("temperature", "humidity")]
    draft = scope.draft("reading", *words)
    if warm is not None:
        draft.put("temperature_c", celsius(quantity_of(warm)), warm)
    if damp is not None:
        draft.put("humidity_pct", quantity_of(damp).measured(), damp)
    scope.use(warm, damp)
    scope.use_where(lambda item: item.verb("get", "measure", "offer") or item.text == "damp")
    return [] if scope.before and _added_to(scope.before, draft, scope) else [draft]


def _added_to(before: Draft, draft: Draft, scope: Scope) -> bool:
    """Whether the reading is the other end or the other number of the one told before; then it is put there."""
    if before.kind != "reading":
        return False
    elsewhere = scope.names and before.names
    if not elsewhere and set(draft.fields) <= set(before.fields) and _other_end(scope):
        _widen(before, draft)
        return True
    if set(before.fields) & set(draft.fields) or (scope.names and before.clause.number != scope.clause.number):
        return False
    if draft.names and before.names:
        return False
    if draft.names:  # "25 C and 60% in tub 3 at half six"
        before.names, before.clause = draft.names, scope.clause
    for name in draft.fields:
        before.more(name, draft)
    return True


def _widen(before: Draft, draft: Draft) -> None:
    for name, value in draft.fields.items():
        bounds = [bound for bound in (*before.fields[name], *value) if bound is not None]
        words = (*before.made_by.get(name, []), *draft.made_by.get(name, []))
        before.put(name, [min(bounds), max(bounds)], *words)
    before.names = before.names or draft.names


def _reading_numbers(scope: Scope) -> tuple[Item | None, Item | None]:
    """The first number of warmth and the first of damp."""
    words = [item for item in scope.clause.items if item.thing("temperature", "humidity") and item.kind == "word"]
    units = {item.quantity.unit for item in scope.numbers if item.quantity}
    found: dict[str, Item] = {}
    for number in scope.numbers:
        kind = _kind_by_unit(quantity_of(number), units, scope) or _kind_by_words(scope, number, words)
        if kind is not None:
            found.setdefault(kind, number)
    return found.get("temperature"), found.get("humidity")


def _kind_by_unit(quantity: Quantity, units: set[str | None], scope: Scope) -> str | None:
    """By its unit; the bare number beside a humidity is one a room can have as its temperature ("25.1 / 78%")."""
    if quantity.unit in WARMTH:
        return "temperature"
    if quantity.unit == "%":
        return "humidity"
    if not quantity.bare or "%" not in units or units & WARMTH:
        return None
    likely = 10 <= quantity.low <= 45 or 50 <= quantity.low <= 110
    return "temperature" if likely and not scope.prey() and not scope.verb("feed", "count") else None


def _kind_by_words(scope: Scope, number: Item, words: list[Item]) -> str | None:
    """A bare number: by the nearest word for warmth or damp before it, else by the reading that went before."""
    if not quantity_of(number).bare:
        return None
    if not words:
        return _other_number(scope)
    at = scope.clause.index(number)
    before = [word for word in words if scope.clause.index(word) < at]
    word = before[-1] if before else words[0] if not scope.prey() else None
    if word is not None:
        return "temperature" if word.thing("temperature") else "humidity"
    return _other_number(scope)


def _other_number(scope: Scope) -> str | None:
    """What a bare number after a reading is of: the same at another place or end, else the humidity still missing."""
    before = scope.before
    if before is None or before.kind != "reading" or scope.sense("verb") or scope.prey() or scope.sense("sign"):
        return None
    if scope.names or _other_end(scope):
        return "temperature" if "temperature_c" in before.fields else "humidity"
    return "humidity" if "humidity_pct" not in before.fields else None


def _other_end(scope: Scope) -> bool:
    """Whether a second reading is of the other end of the same place, or of another hour."""
    return scope.clause.plain(*ENDS) is not None or scope.thing("temperature") is not None


def celsius(quantity: Quantity) -> list[float | None]:
    """[low, high] in °C; without a letter, 45 and more is °F (common practice: animal rooms run at 18 to 32 °C)."""
    fahrenheit = quantity.unit == "F" or (quantity.unit != "C" and quantity.low >= 45)
    values = quantity.measured()
    if not fahrenheit:
        return values
    return [None if value is None else round((value - 32) * 5 / 9, 1) for value in values]
