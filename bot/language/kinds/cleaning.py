"""Cleaning: spot cleans, leftovers or mould taken out, full changes of substrate."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.drafts import Draft, Scope
    from bot.language.items import Item

CLEANED_THINGS = ("leftovers", "mould", "substrate", "exuvia", "fullclean", "spotclean", "cleanout", "dampness")

LOOKING = {"look", "looks", "looked", "seem", "seems", "is", "are", "was", "were", "still", "all"}


@dataclass(frozen=True, slots=True)
class Signs:
    """The words of a clause that may tell of cleaning: its verb, what was taken out, names for sorts of cleaning."""

    verb: Item | None
    rubbish: Item | None
    full: Item | None
    spot: Item | None
    noun: Item | None

    def does(self, *verbs: str) -> bool:
        """Whether the verb is one of these."""
        return self.verb is not None and self.verb.verb(*verbs)


def cleaning(scope: Scope) -> list[Draft]:
    """Spot clean, leftovers or mould out, full change of substrate."""
    if _is_watering(scope) or _looks_clean(scope):
        return []
    noun = scope.thing("cleaning", "cleanout")
    signs = Signs(
        verb=scope.verb("clean", "spotclean", "remove", "change"),
        rubbish=scope.thing("leftovers") or _uneaten(scope),
        full=scope.thing("fullclean"),
        spot=scope.thing("spotclean"),
        noun=None if _says_of_others(scope, noun) else noun,
    )
    evidence = _evidence(scope, signs)
    if not evidence:
        return []
    draft = scope.draft("cleaning", *evidence)
    size = _size(scope, signs)
    if size:
        draft.put("scope", size, *evidence)
    scope.use_where(lambda item: _goes_with_cleaning(item) or (signs.rubbish and _goes_with_rubbish(item)))
    before = scope.before
    if before and size and not scope.names and _lacks_scope(before):
        before.put("scope", size, *evidence)
        return []
    return [draft]


def _looks_clean(scope: Scope) -> bool:
    """Whether it is said that they look clean, and not that they were cleaned."""
    clean = next((item for item in scope.clause.items if item.text == "clean"), None)
    lead = scope.clause.before(clean)[-1:] if clean is not None else ()
    return bool(lead) and lead[0].text in LOOKING


def _lacks_scope(before: Draft) -> bool:
    return before.kind == "cleaning" and "scope" not in before.fields and not before.negated


def _goes_with_cleaning(item: Item) -> bool:
    return bool(item.thing(*CLEANED_THINGS) or item.sense("scope") or item.sense("sign", "mould", "out"))


def _goes_with_rubbish(item: Item) -> bool:
    return bool(item.prey or item.sense("outcome") or item.kind == "number" or item.verb("take", "leave"))


def _uneaten(scope: Scope) -> Item | None:
    """Prey that is taken out again: "pulled the leftover roach", "took the cricket out"."""
    return scope.prey() if scope.verb("remove") is not None else None


def _evidence(scope: Scope, signs: Signs) -> list[Item]:
    """The items that say something was cleaned; empty where nothing was."""
    if signs.does("clean", "spotclean") and (scope.planned or not _says_of_others(scope, signs.verb)):
        found = (signs.verb, signs.rubbish, signs.full)
    elif signs.does("change") and (scope.thing("substrate") or signs.full):
        found = (signs.verb, scope.thing("substrate"), signs.full)
    elif signs.does("remove") and (signs.rubbish or scope.thing("mould", "exuvia") or scope.sense("sign", "mould")):
        found = (signs.verb, signs.rubbish, scope.thing("mould"))
    elif signs.verb and signs.does("remove") and _it_was_rubbish(scope, signs.verb):
        found = (signs.verb, None, None)
    elif signs.rubbish and _rubbish_gone(scope, signs.rubbish):
        found = (signs.rubbish, None, None)
    else:
        found = (signs.full or signs.spot or signs.noun if _done(scope) else None, None, None)
    return [item for item in found if item]


def _says_of_others(scope: Scope, verb: Item | None) -> bool:
    """Whether the verb is in the third person ("she cleans herself"), or says how something came: "came off clean"."""
    sense = verb.sense("verb") if verb else None
    if sense is None or verb is None:
        return False
    lead = scope.clause.before(verb)[-1:]
    how = (
        verb.text == "clean"
        and bool(lead)
        and lead[0].text.split()[-1] in {"off", "out", "up", "away", "came", "is", "are", "was", "were", "looks"}
    )
    looks = (
        verb.text == "clean" and scope.clause.joiner == "and" and len(scope.clause.items) == 1
    )  # "shed yesterday, lovely and clean"
    return sense.form == "third" or how or looks


def _done(scope: Scope) -> bool:
    """Whether a noun for cleaning tells that it was done."""
    verb = scope.verb("get", "offer", "put", "see") or scope.plain("done", "did", "do", "out", "does")
    return bool(scope.planned or verb or scope.clause.joiner in {",", ":"} or scope.names)


def _rubbish_gone(scope: Scope, rubbish: Item) -> bool:
    if rubbish.text == "wings" or (rubbish.text == "uneaten" and scope.prey() and not scope.verb("take")):
        return False  # "he has got his wings at last", "found the roach uneaten"
    gone = scope.plain("out", "gone", "up") or scope.verb("take", "see", "get")
    return rubbish.thing("leftovers") and bool(gone) and not scope.sense("outcome", "partly")


def _it_was_rubbish(scope: Scope, verb: Item) -> bool:
    """Whether "picked it out" comes right after mould or food left: then it is a spot clean."""
    before = scope.before
    if before is None or scope.numbers or scope.names:
        return False
    pronoun = scope.plain("it", "them", "that", "those", "these", "both") or verb.text.endswith("out")
    mouldy = before.kind == "observation" and "mould" in before.fields.get("signs", ())
    left = before.kind == "feeding" and before.fields.get("outcome") in {"refused", "partly"}
    return bool(pronoun) and (mouldy or left)


def _size(scope: Scope, signs: Signs) -> str | None:
    if signs.full or signs.does("change") or scope.sense("scope", "full"):
        return "full"
    removed = signs.rubbish or signs.does("remove") or scope.thing("mould")
    spot = signs.spot or signs.does("spotclean") or scope.sense("scope", "spot")
    return "spot" if removed or spot else None


def _is_watering(scope: Scope) -> bool:
    water = scope.thing("water", "watering")
    if water is None or scope.thing("leftovers", "fullclean", "substrate"):
        return False
    return scope.verb("fill", "change", "offer", "remove") is not None and scope.verb("clean") is None
