"""Water: dishes filled, and misting or wetting the substrate."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import value_of
from bot.language.names.everyone import FIXTURES

if TYPE_CHECKING:
    from bot.language.drafts import Draft, Scope
    from bot.language.items import Item

WATER_VERBS = ("fill", "change", "offer", "remove", "get", "put", "clean", "spotclean", "buy", "take")
WATER_DONE = ("done", "did", "full", "topped", "fresh", "do", "sorted", "new", "out")
FOUND_SO = ("still", "is", "are", "was", "were", "looks", "half", "nearly")
"""Words with which a dish is found full, and was not filled."""

SOME = {
    "drop",
    "drops",
    "splash",
    "sip",
    "dribble",
    "bit",
    "some",
    "fresh",
    "more",
    "little",
    "of",
    "too",
    "also",
    "only",
    "just",
}
POURED = ("poured", "pour", "squirted", "squirt", "trickled", "dribbled")


def watering(scope: Scope) -> list[Draft]:
    """Dish filled, changed, taken out; water given."""
    verb = next((item for item in scope.free if item.verb("water") and (scope.planned or _is_past(item))), None)
    thing = scope.thing("water", "watering") or _everybodys_dishes(scope) or _filled_too(scope)
    act = scope.verb(*WATER_VERBS) or (scope.plain(*WATER_DONE) if not scope.clause.plain(*FOUND_SO) else None)
    if verb is None and not (thing and (act or _water_given(scope, thing))):
        return []
    if scope.verb("mist") or scope.clause.thing("exuvia") or (scope.thing("dampness") and not scope.verb("fill")):
        return []
    draft = scope.draft("watering", verb, thing, act if act and act.kind == "word" else None)
    scope.use_where(_goes_with_water)
    return [draft]


def _everybodys_dishes(scope: Scope) -> Item | None:
    """The name that "all the dishes" is read as."""
    return next((item for item in scope.names if FIXTURES & set(item.text.split())), None)


def _filled_too(scope: Scope) -> Item | None:
    """The verb of "changed the water in A and topped up B": water, where nothing else is said to be filled up."""
    before = scope.before
    told = before is not None and before.kind == "watering" and before.clause.number == scope.clause.number
    others = any(item.thing() or item.prey for item in scope.free if item.kind == "word")
    return scope.verb("fill") if told and scope.names and not others else None


def _is_past(item: Item) -> bool:
    sense = item.sense("verb")
    return sense is not None and sense.form == "past"


def _water_given(scope: Scope, thing: Item) -> bool:
    """Whether the bare word for water tells that it was given."""
    listed = scope.clause.joiner in {"+", "&"} or _for_somebody(scope)
    return bool(thing.thing("watering") or scope.planned or listed or (thing.thing("water") and _bare_list(scope)))


def _for_somebody(scope: Scope) -> bool:
    """Whether a clause is only "water for everyone"."""
    return bool(scope.names) and all(
        item.kind == "name" or item.thing("water") or item.text in {"for", "the", "to", "all"} for item in scope.free
    )


def _bare_list(scope: Scope) -> bool:
    """Whether a clause is nothing but water, after something done: "B: 3 crickets, water"."""
    if scope.before is None:
        return False
    return all(item.thing("water") or item.kind == "name" or _measures_out(item) for item in scope.free)


def _measures_out(item: Item) -> bool:
    """Whether a word only says how much water: "a drop of"."""
    article = item.quantity is not None and item.quantity.article
    return article or item.kind == "date" or item.text in SOME or item.sense("filler") is not None


def _goes_with_water(item: Item) -> bool:
    done = item.verb("fill", "clean", "change", "get", "offer", "remove", "put", "water") or item.text == "out"
    return done or item.thing("water", "watering")


def misting(scope: Scope) -> list[Draft]:
    """Spraying, or wetting the substrate."""
    verb = next((item for item in scope.free if item.verb("mist") and not _adjective(scope, item)), None)
    poured = scope.plain(*POURED)
    if verb is None and poured and (scope.thing("water", "dampness") or scope.names):
        verb = poured
    noun = scope.thing("misting")
    if verb is None and not (noun and (scope.names or _done(scope))):
        return []
    amount = _amount(scope)
    told = _told_already(scope)
    if amount and verb is not None and told is not None:
        told.fields.setdefault("amount", amount[0])
        scope.use_where(_goes_with_mist)
        return []
    draft = scope.draft("misting", verb, noun)
    if amount:
        draft.put("amount", amount[0], amount[1])
    scope.use_where(_goes_with_mist)
    return [draft]


def _told_already(scope: Scope) -> Draft | None:
    """The misting told right before, where this is more of it: "sprayed the whips real good, soaked them"."""
    before = scope.before
    same = before is not None and before.kind == "misting" and before.clause.number == scope.clause.number
    more = same and not scope.names and scope.clause.plain("them", "it") is not None
    return before if more else None


def _done(scope: Scope) -> bool:
    """Whether a noun for misting tells that it was done."""
    verb = scope.verb("get", "offer", "put", "take") or scope.plain("done", "did", "do")
    listed = scope.clause.joiner in {",", "and", ":", "+"}
    return bool(scope.planned or verb or scope.sense("amount") or listed)


def _goes_with_mist(item: Item) -> bool:
    if item.thing("dampness", "misting", "water", "substrate") or item.sense("amount"):
        return True
    article = item.quantity is not None and item.quantity.article
    return article or item.verb("get", "offer", "mist", "put", "fill")


def _adjective(scope: Scope, item: Item) -> bool:
    """Whether "wet" says how it is, not what was done: "the boxes are still wet"."""
    before = scope.clause.before(item)
    if item.text not in {"wet", "damp"} or scope.thing("dampness", "substrate"):
        return False
    ordered = scope.planned and not before
    return not ordered and (not before or before[-1].text != "to")


def _amount(scope: Scope) -> tuple[str, Item] | None:
    for item in scope.clause.items:
        amount = value_of(item, "amount")
        compared = amount == "heavy" and item.text in {"well", "big"} and scope.clause.plain("as")
        if amount and not compared:
            return amount, item
    return None


def amount_alone(scope: Scope) -> list[Draft]:
    """An amount told after a misting, of it or of another place: "t2 just lightly"."""
    before = scope.before
    amount = scope.sense("amount")
    if amount is None or before is None or before.kind != "misting":
        return []
    others = any(item.sense("verb") and not item.sense("amount") for item in scope.free)
    if others or scope.sense("sign"):
        return []
    value = value_of(amount, "amount")
    if not scope.names:
        before.fields.setdefault("amount", value)
        scope.use(amount)
        return []
    return [scope.draft("misting", amount).put("amount", value, amount)]
