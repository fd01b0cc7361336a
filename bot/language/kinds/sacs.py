"""Egg sacs, oothecae and clutches: laid, pulled, eaten, hatched."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.drafts import Draft, Scope
    from bot.language.items import Item

FRESH = ("new", "fresh", "another", "first", "second")
BESIDE = {"in", "with", "from", "by", "the", "a", "an", "egg", "there", "is", "on", "at"}
PLACES = ("on ", "in ", "under ", "behind ", "at ")
SAC_VERBS = ("lay", "take", "cannibalise", "get", "remove", "see", "put", "eat", "offer")


def sac(scope: Scope) -> list[Draft]:
    """Egg sac, ootheca or clutch: laid (or first seen), pulled, eaten, hatched."""
    if _more_of_sac(scope):
        return []
    noun, eggs, hatch = scope.thing("sac"), scope.thing("eggs"), scope.verb("hatch")
    laid = next((item for item in scope.free if item.text in {"laid", "layed"}), None)
    eggs_told = laid or (
        eggs and (scope.verb("lay", "see", "remove", "get", "eat") or scope.plain(*FRESH) or _carries(scope, eggs))
    )
    stage = _stage(scope)
    bought = hatch and scope.verb("buy", "arrive")
    if stage is None or (noun is None and (bought or not (hatch or eggs_told))):
        return []
    number = _young(scope)
    told = scope.verb("remove", "eat", "lay", "see", "get"), scope.thing("young"), scope.sense("outcome")
    draft = scope.draft("sac", noun, eggs, hatch, laid, *told)
    draft.put("stage", stage, *draft.made_by["kind"])
    if number is not None and number.quantity:
        draft.put("number", number.quantity.count(), number)
        scope.use(number)
    scope.use_where(lambda item: item.verb(*SAC_VERBS) or item.sense("outcome") or item.thing("young"))
    scope.use_where(_says_where)
    return [draft]


def _says_where(item: Item) -> bool:
    """Whether a sign only says where the sac is: "laid on the lid"."""
    return item.sense("sign", "out", "hiding") is not None and item.text.startswith(PLACES)


def _carries(scope: Scope, eggs: Item) -> bool:
    """Whether eggs are told as hers: "has eggs under her", "with eggs"."""
    return any(item.text in {"has", "have", "with", "carrying"} for item in scope.clause.before(eggs)[-3:])


def _more_of_sac(scope: Scope) -> bool:
    """Whether "… hatched, 150 or so" gives the number in a clause of its own; then it is put there."""
    before, number = scope.before, _young(scope)
    if before is None or before.kind != "sac" or "number" in before.fields:
        return False
    if number is None or number.quantity is None:
        return False
    alone = scope.clause.items[0] is number and not any(item.forms for item in scope.free)
    if (scope.names and not alone) or _another_act(scope):
        return False
    before.put("number", number.quantity.count(), number)
    scope.use_all()
    return True


def _another_act(scope: Scope) -> bool:
    of_young = scope.thing("eggs", "young") is not None  # "pulled her sac and counted 85 eggs"
    verb = scope.verb("feed", "mist", "sell", "die", "moult", "move", *([] if of_young else ["count"]))
    return bool(scope.prey() or verb or scope.thing("sac", "exuvia", "death"))


def _stage(scope: Scope) -> str | None:
    hatch = scope.verb("hatch")
    if hatch and not scope.planned and "past" not in hatch.forms and "ing" not in hatch.forms:
        return None  # "due to hatch any day"
    if hatch:
        return "hatched"
    if scope.verb("eat", "cannibalise") or scope.sense("outcome", "ate"):
        return "eaten"
    if scope.verb("remove", "take") or scope.plain("opened", "open", "cut", "incubator", "incubating"):
        return "pulled"
    noun = scope.thing("sac")
    owned = (
        scope.plain("has", "with")
        if noun is None
        else next((item for item in scope.clause.before(noun) if item.text in {"has", "with"}), None)
    )
    there = scope.clause.texts[:1] == ["there"] and not scope.sense("negation")
    first_seen = (
        there or scope.verb("lay", "see", "offer") or _had_before(scope, noun) or owned or scope.plain(*FRESH, "gravid")
    )
    return "laid" if first_seen or _told_alone(scope, noun) else None


def _told_alone(scope: Scope, noun: Item | None) -> bool:
    """Whether a sac and whose it is are all that is told: "sac in B!"."""
    if noun is None or not scope.names or scope.planned:
        return False
    return all(
        item is noun or item.kind in {"name", "date", "mark"} or item.text in BESIDE for item in scope.clause.items
    )


def _had_before(scope: Scope, noun: Item | None) -> Item | None:
    """A verb of having that stands before the sac: "the whips have eggs", not "the sac has gone bad"."""
    had = scope.verb("get")
    return had if had is not None and (noun is None or had.start < noun.start) else None


def _young(scope: Scope) -> Item | None:
    """The number of young or eggs: never the number of sacs."""
    return next((item for item in scope.numbers if _counts_young(scope, item)), None)


def _counts_young(scope: Scope, number: Item) -> bool:
    if number.quantity is None or not number.quantity.bare:
        return False
    following = scope.clause.after(number)
    texts = [item.text for item in following[:2]]
    of_others = texts[:1] == ["of"] and any(item.kind == "name" for item in following[1:5])
    return not of_others and not (following and following[0].thing("sac"))
