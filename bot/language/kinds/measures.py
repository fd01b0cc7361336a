"""Kinds that are numbers: head counts, measurements, readings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import Draft, Scope, position
from bot.language.quantities import G_IN, MM_IN

if TYPE_CHECKING:
    from bot.language.items import Item
    from bot.language.quantities import Quantity

NUMBER_OF = {
    "moult": "number",
    "death": "number",
    "departure": "number",
    "arrival": "number",
    "count": "count",
    "feeding": "quantity",
}
SEEN = {"left", "visible", "showing", "remaining", "present", "alive", "strong", "accounted", "inside", "total", "altogether", "still", "survivors", "surviving", "there"}  # fmt: skip


def count(scope: Scope) -> list[Draft]:
    """Heads counted or guessed."""
    verb, noun = scope.verb("count"), scope.thing("count")
    number = scope.number()
    same = _same_kind(scope, number)
    if same is not None:
        return [same]
    if number is None or number.quantity is None:
        return _awaited_count(scope, verb, noun)
    pending = scope.before is not None and scope.before.kind == "count" and "count" not in scope.before.fields
    if not (verb or noun or pending or _tells_heads(scope, number)):
        return []
    if scope.prey() and not (verb or noun):
        return []
    if pending and not scope.names and scope.before:
        scope.before.put("count", number.quantity.count(), number)
        scope.use(*scope.free)
        return []
    draft = scope.draft("count", verb, noun, scope.prey()).put("count", number.quantity.count(), number)
    scope.use(
        number,
        scope.verb("see", "get", "leave"),
        *[item for item in scope.numbers if item is not number and scope.clause.plain("of")],
    )
    if not (verb or noun):
        scope.use(*[item for item in scope.free if item.sense("outcome") or item.verb("leave")])
    scope.use(*[item for item in scope.free if item.sense("sign", "out")])
    return [draft]


def _same_kind(scope: Scope, number: Item | None) -> Draft | None:
    """ "8 exuviae in A, 2 in B": a number with a name and nothing else is of the kind told right before."""
    before = scope.before
    if (
        before is None
        or number is None
        or number.quantity is None
        or not scope.names
        or before.kind not in NUMBER_OF
        or before.negated
    ):
        return None
    heading = scope.clause.joiner == ":" and not before.names
    if before.clause.number != scope.clause.number or (NUMBER_OF[before.kind] not in before.fields and not heading):
        return None
    others = [
        item
        for item in scope.free
        if item is not number
        and item.kind not in {"name", "plain", "date"}
        and not item.sense("filler")
        and not item.sense("each")
        and not (item.verb("get") and before.kind == "feeding")
    ]
    if others:
        return None
    draft = scope.draft(before.kind, number).put(NUMBER_OF[before.kind], number.quantity.count(), number)
    for name in ("prey", "prey_state"):
        if name in before.fields:
            draft.put(name, before.fields[name], *before.made_by.get(name, []))
    return draft


def _awaited_count(scope: Scope, verb: Item | None, noun: Item | None) -> list[Draft]:
    """ "counted B on friday:" — the number comes in the next clause."""
    if (
        verb is None
        and not (noun and scope.verb("get", "offer"))
        and not (
            noun
            and noun.text in {"headcount", "head count", "count", "recount"}
            and scope.plain("did", "done", "for", "of")
        )
    ):
        return []
    if scope.sense("negation"):
        return []
    return [scope.draft("count", verb, noun)]


def _tells_heads(scope: Scope, number: Item) -> bool:
    """ "42 in", "about 40 in A", "5 left", "24 I could see", "there are 12 in C", "at least a dozen visible"."""
    clause = scope.clause
    after = clause.after(number)
    texts = [item.text for item in after]
    before = [item.text for item in clause.before(number)]
    fed = scope.before is not None and scope.before.kind == "feeding" and "quantity" in scope.before.fields
    if any(item.kind == "number" and item is not number for item in scope.free) and not scope.clause.plain("of"):
        return False
    others = [
        item
        for item in scope.free
        if item.sense("verb")
        and not item.verb("see", "get", "leave", "check")
        and not item.sense("sign")
        and not item.sense("outcome")
    ]
    if others:
        return False
    guessed = number.quantity is not None and number.quantity.sense != "exact"
    alone = not [
        item
        for item in scope.free
        if item is not number
        and item.kind not in {"name", "date"}
        and not item.sense("filler")
        and item.text not in {"i", "the", "of", "think"}
    ]
    if (
        guessed
        and ((after and after[0].kind == "name") or (alone and scope.names))
        and not scope.prey()
        and not scope.sense("sign")
        and not _lives(scope)
    ):
        return True
    left = any(item.text in {"left", "remaining", "left over"} or item.verb("leave") for item in after[:2])
    if (
        texts == []
        and any(item.text in {"leaves", "leaving"} for item in clause.before(number))
        and scope.before is not None
        and scope.before.kind in {"departure", "death", "move", "count"}
    ):
        return True
    if left:
        return not fed and not scope.sense("outcome", "ate")
    if texts[:1] == ["in"] or (texts[:1] and texts[0] == "of" and texts[1:2] == ["them"]):
        return (
            len(after) == 1
            or after[1].kind == "name"
            or texts[1] in {"there", "total", "all", "the", "my"}
            or after[1].kind == "date"
        ) and not _lives(scope)
    if after and after[0].kind == "name" and len(after) > 1 and after[1].text in {"in", "left", "alive", "visible"}:
        return not _lives(scope)
    see = scope.verb("see")
    if see and ("could" in clause.texts or "can" in clause.texts) and not scope.sense("sign"):
        return True
    if (
        number.quantity
        and number.quantity.sense != "exact"
        and scope.names
        and scope.sense("sign", "out")
        and not _lives(scope)
    ):
        return True
    if SEEN & set(texts[:2]) and not _lives(scope):
        return True
    if {"there", "guess", "still"} & set(before[-4:]) and not _lives(scope) and (scope.names or scope.before):
        return True
    return bool(after[:1] and after[0].thing("count"))


def _lives(scope: Scope) -> bool:
    """Whether the clause tells of something else that is counted."""
    return bool(
        scope.thing("exuvia", "death", "sac", "eggs", "leftovers")
        or scope.verb("moult", "die", "hatch")
        or [item for item in scope.free if item.sense("sign") and not item.sense("sign", "out")]
    )


def measurement(scope: Scope) -> list[Draft]:
    """Legspan, body length, weight: one draft for each value."""
    drafts: list[Draft] = []
    names = list(scope.names)
    for number in list(scope.numbers):
        assert number.quantity is not None  # noqa: S101 - numbers have quantities
        if _sizes_prey(scope, number):
            scope.use(number)
            continue
        measure = _measure(scope, number)
        if measure is None:
            continue
        factor = _factor(number.quantity, measure)
        draft = Draft("measurement", scope.clause, names)
        word = scope.thing(measure)
        draft.put("measure", measure, *(item for item in (word,) if item)).put(
            "value", number.quantity.measured(factor), number
        )
        draft.made_by["kind"] = [item for item in (word, number) if item]
        scope.use(number, word)
        drafts.append(draft)
    if drafts:
        scope.use(
            *[
                item
                for item in scope.free
                if item.verb("weigh", "measure", "get", "put") or item.thing("legspan", "body", "weight")
            ]
        )
    elif (
        (scope.verb("weigh") or scope.thing("weight") or scope.verb("measure"))
        and (scope.names or scope.planned)
        and not scope.numbers
    ):
        word = scope.verb("weigh", "measure") or scope.thing("weight")
        return [scope.draft("measurement", word)]
    return drafts


def _sizes_prey(scope: Scope, number: Item) -> bool:
    """ "two 5 mm crickets", "a 1 inch roach": a length right before prey is the prey's."""
    if not (number.quantity and number.quantity.unit in MM_IN):
        return False
    after = scope.clause.after(number)
    for item in after[:3]:
        if item.prey:
            return True
        if item.kind != "plain" and not item.sense("state"):
            return False
    return False


def _measure(scope: Scope, number: Item) -> str | None:
    quantity = number.quantity
    assert quantity is not None  # noqa: S101 - numbers have quantities
    if quantity.unit in G_IN and not scope.prey():
        return "weight"
    if quantity.unit in MM_IN:
        word = _nearest_measure(scope, number)
        return word or "legspan"
    if quantity.unit is None and not quantity.article and not scope.prey():
        before = scope.before
        carried = (
            before is not None
            and before.kind == "measurement"
            and bool(scope.names)
            and not scope.sense("verb")
            and not scope.sense("sign")
        )
        if scope.verb("weigh") or scope.thing("weight"):
            return "weight"
        if carried and before is not None and before.made_by.get("kind"):
            return str(before.fields.get("measure", "weight"))
    return None


def _nearest_measure(scope: Scope, number: Item) -> str | None:
    at = position(scope.clause, number)
    words = [item for item in scope.clause.items if item.thing("legspan", "body") and item.kind == "word"]
    if not words:
        before = scope.before
        return (
            str(before.fields.get("measure"))
            if before
            and before.kind == "measurement"
            and before.fields.get("measure") in {"legspan", "body"}
            and scope.names
            else None
        )
    word = min(words, key=lambda item: abs(position(scope.clause, item) - at))
    return "legspan" if word.thing("legspan") else "body"


def _factor(quantity: Quantity, measure: str) -> float:
    return MM_IN.get(quantity.unit or "", G_IN.get(quantity.unit or "", 1.0)) if measure else 1.0


def reading(scope: Scope) -> list[Draft]:
    """Thermometer and hygrometer."""
    warm, damp = _reading_numbers(scope)
    if warm is None and damp is None:
        return []
    words = [item for item in scope.free if item.thing("temperature", "humidity")]
    draft = scope.draft("reading", *words)
    if warm is not None and warm.quantity:
        draft.put("temperature_c", celsius(warm.quantity), warm)
    if damp is not None and damp.quantity:
        draft.put("humidity_pct", damp.quantity.measured(), damp)
    scope.use(warm, damp, *[item for item in scope.free if item.verb("get", "measure") or item.text in {"damp"}])
    before = scope.before
    if (
        before
        and before.kind == "reading"
        and not (scope.names and before.names)
        and set(draft.fields) <= set(before.fields)
        and _other_end(scope)
    ):
        for name, value in draft.fields.items():
            bounds = [bound for bound in (*before.fields[name], *value) if bound is not None]
            before.put(name, [min(bounds), max(bounds)], *before.made_by.get(name, []), *draft.made_by.get(name, []))
        before.names = before.names or draft.names
        return []
    if before and before.kind == "reading" and not scope.names and not set(before.fields) & set(draft.fields):
        before.fields.update(draft.fields)
        before.made_by.update({name: items for name, items in draft.made_by.items() if name in draft.fields})
        return []
    return [draft]


def _reading_numbers(scope: Scope) -> tuple[Item | None, Item | None]:
    warm = damp = None
    for number in scope.numbers:
        quantity = number.quantity
        assert quantity is not None  # noqa: S101 - numbers have quantities
        if quantity.unit in {"C", "F", "deg"}:
            warm = warm or number
        elif quantity.unit == "%":
            damp = damp or number
        elif quantity.unit is None and not quantity.article and _beside_humidity(scope, number):
            warm = warm or number
        elif quantity.unit is None and not quantity.article:
            kind = _kind_of_reading(scope, number)
            warm = number if kind == "temperature" and warm is None else warm
            damp = number if kind == "humidity" and damp is None else damp
    return warm, damp


def _beside_humidity(scope: Scope, number: Item) -> bool:
    """ "25.1 / 78%": the bare number beside a humidity is the temperature, if a room can have it."""
    damp = any(item.quantity and item.quantity.unit == "%" for item in scope.numbers)
    warm = any(item.quantity and item.quantity.unit in {"C", "F", "deg"} for item in scope.numbers)
    bare = number.quantity is not None and (10 <= number.quantity.low <= 45 or 50 <= number.quantity.low <= 110)
    return damp and not warm and bare and not scope.prey() and not scope.verb("feed", "count")


def _kind_of_reading(scope: Scope, number: Item) -> str | None:
    """A bare number: by the nearest word for warmth or damp before it, else by the reading that went before."""
    clause = scope.clause
    words = [item for item in clause.before(number) if item.thing("temperature", "humidity") and item.kind == "word"]
    if words:
        return "temperature" if words[-1].thing("temperature") else "humidity"
    following = [item for item in clause.after(number) if item.thing("temperature", "humidity") and item.kind == "word"]
    if following and not scope.prey():
        return "temperature" if following[0].thing("temperature") else "humidity"
    before = scope.before
    if before and before.kind == "reading" and not scope.sense("verb") and not scope.prey() and not scope.sense("sign"):
        if scope.names or _other_end(scope):
            return "temperature" if "temperature_c" in before.fields else "humidity"
        return "humidity" if "humidity_pct" not in before.fields else None
    return None


def _other_end(scope: Scope) -> bool:
    """Whether a second reading is of the other end of the same place, or of another hour."""
    return (
        scope.clause.plain("cool", "hot", "warm", "cold", "end", "side", "top", "bottom", "warmer", "cooler", "other")
        is not None
        or scope.thing("temperature") is not None
    )


def celsius(quantity: Quantity) -> list[float | None]:
    """[low, high] in °C; without a letter, 45 and more is °F (common practice: animal rooms run at 18 to 32 °C)."""
    fahrenheit = quantity.unit == "F" or (quantity.unit != "C" and quantity.low >= 45)
    values = quantity.measured()
    if not fahrenheit:
        return values
    return [None if value is None else round((value - 32) * 5 / 9, 1) for value in values]
