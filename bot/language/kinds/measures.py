"""Measurements: legspan, body length and weight."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import Draft, quantity_of
from bot.language.units import G_IN, MM_IN

if TYPE_CHECKING:
    from bot.language.drafts import Scope
    from bot.language.items import Item

THESE = {"the", "these", "those", "all", "both", "my", "our"}


def measurement(scope: Scope) -> list[Draft]:
    """Legspan, body length, weight: one draft for each value, in mm or g."""
    drafts: list[Draft] = []
    names = list(scope.names)
    for number in list(scope.numbers) if _measures(scope) else ():
        if _sizes_prey(scope, number):
            scope.use(number)
            continue
        measure = _measure(scope, number)
        if measure is not None:
            drafts.append(_value(scope, names, number, measure))
    if drafts:
        scope.use_where(_goes_with_measuring)
        return drafts
    return _awaited_measure(scope)


def _measures(scope: Scope) -> bool:
    """Whether any number of the clause may be a measurement: by its unit, or by what the clause says of all."""
    units = {quantity_of(number).unit for number in scope.numbers}
    return any(unit in MM_IN or unit in G_IN for unit in units) or _measure_said(scope) is not None


def _value(scope: Scope, names: list[Item], number: Item, measure: str) -> Draft:
    word = scope.thing(measure)
    words = [word] if word else []
    draft = Draft("measurement", scope.clause, names).put("measure", measure, *words)
    draft.put("value", quantity_of(number).measured(factor_of(number)), number)
    draft.made_by["kind"] = [*words, number]
    scope.use(number, word)
    return draft


def factor_of(number: Item) -> float:
    """What a value is multiplied by to come out in mm or g; 1 without a unit."""
    unit = quantity_of(number).unit or ""
    return MM_IN.get(unit, G_IN.get(unit, 1.0))


def _goes_with_measuring(item: Item) -> bool:
    return item.verb("weigh", "measure", "get", "put") or item.thing("legspan", "body", "weight")


def _awaited_measure(scope: Scope) -> list[Draft]:
    """The measurement of "weighed B today", whose value comes later."""
    word = scope.verb("weigh", "measure") or scope.thing("weight")
    known = scope.names or scope.planned
    return [scope.draft("measurement", word)] if word and known and not scope.numbers else []


def _sizes_prey(scope: Scope, number: Item) -> bool:
    """Whether a length stands right before prey and is the prey's: "two 5 mm crickets", "a 1 inch roach"."""
    if quantity_of(number).unit not in MM_IN:
        return False
    for item in scope.clause.after(number)[:3]:
        if item.prey:
            return True
        if item.kind != "plain" and not item.sense("state"):
            return False
    return False


def _measure(scope: Scope, number: Item) -> str | None:
    """Which measure a number is of: by its unit, else by the words beside it."""
    quantity = quantity_of(number)
    if quantity.unit in MM_IN:
        if _is_side(scope, number) or _is_of_stuff(scope, number):
            return None
        return _nearest_measure(scope, number) or "legspan"
    if scope.prey() or _is_of_heads(scope, number):
        return None
    if quantity.unit in G_IN:
        return "weight"
    return _measure_said(scope) if quantity.bare else None


def _is_side(scope: Scope, number: Item) -> bool:
    """Whether a length is a side of a box: "30x20x15 cm"."""
    return any(item.kind == "number" and item.text.endswith("x") for item in scope.clause.before(number)[-1:])


def _is_of_stuff(scope: Scope, number: Item) -> bool:
    """Whether a length says how much there is of something: "a foot of snow"."""
    after = scope.clause.after(number)[:2]
    return len(after) > 1 and after[0].text == "of" and after[1].kind == "plain"


def _is_of_heads(scope: Scope, number: Item) -> bool:
    """Whether a bare number says how many were measured: "weighed 3 of B", "weighed the two big ones"."""
    after, lead = scope.clause.after(number)[:1], scope.clause.before(number)[-1:]
    of_them = any(item.text in {"of", "from"} for item in after) or any(item.text in THESE for item in lead)
    return quantity_of(number).unit is None and of_them


def _measure_said(scope: Scope) -> str | None:
    if scope.verb("weigh") or scope.thing("weight"):
        return "weight"
    before = scope.before
    if before is None or before.kind != "measurement" or not before.made_by.get("kind"):
        return None
    carried = scope.names and not scope.sense("verb") and not scope.sense("sign")
    return str(before.fields.get("measure", "weight")) if carried else None


def _nearest_measure(scope: Scope, number: Item) -> str | None:
    """The measure whose word stands nearest to a length, else the one measured before on another animal."""
    at = scope.clause.index(number)
    words = [item for item in scope.clause.items if item.thing("legspan", "body") and item.kind == "word"]
    if words:
        word = min(words, key=lambda item: abs(scope.clause.index(item) - at))
        return "legspan" if word.thing("legspan") else "body"
    before = scope.before
    if before is None or before.kind != "measurement" or not scope.names:
        return None
    measure = before.fields.get("measure")
    return measure if measure in {"legspan", "body"} else None
