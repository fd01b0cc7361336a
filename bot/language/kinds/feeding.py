"""Feeding: what was offered, to how many, in what state, and what became of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import Draft, Scope, position

if TYPE_CHECKING:
    from bot.language.items import Item
    from bot.language.quantities import Quantity

DESCRIBING = {"small", "medium", "large", "big", "tiny", "little", "mini", "micro", "nice", "fat", "juicy", "adult", "baby", "brown", "black", "silent", "of", "the", "those", "her", "his", "their", "its", "more", "extra", "whole", "single", "size", "sized", "sm", "med", "lg", "xl", "s", "m", "l", "half", "grown", "fresh", "good", "decent", "first", "second", "house", "banded", "dwarf", "flightless", "young", "or", "so", "white", "last", "smallish", "freshly", "wee", "subadult", "juvenile", "huge", "proper", "massive", "these", "new", "mm", "cm", "inch", "x", "chunky", "fine", "ones", "dusted", "gutloaded", "newly", "teeny", "weeny", "lovely", "another", "plain", "normal", "only", "just", "max", "wriggly"}  # fmt: skip
LOOSELY_ATE = {"are gone", "is gone", "were gone", "was gone", "got it", "disappeared", "vanished", "finished", "accepted", "hungry", "caught it", "caught them", "caught both", "grabbed it", "grabbed them", "nailed it", "gone already", "gone overnight"}
UNEATEN = {"left", "left over", "leftover", "remaining", "uneaten", "untouched"}


def feeding(scope: Scope) -> list[Draft]:
    """One draft for each kind of prey, or one for a feeding without prey."""
    if scope.verb("eat") and scope.clause.thing("exuvia") and not scope.prey():
        scope.use(scope.verb("eat"))
        return []
    prey = _prey_items(scope)
    verb = scope.verb("feed", "eat", "take", "refuse") or _got_some(scope)
    outcome, outcome_items = outcome_of(scope)
    if not prey and verb is None and outcome is None:
        return []
    if prey and _fought_over(scope):
        return []
    together = scope.sense("sign", "eating_together") or scope.plain("together")
    if not prey and verb and "ing" in verb.forms and together and not outcome_of(scope)[0] == "refused":
        scope.use(verb, *scope.numbers)
        return []
    if scope.planned and not prey and (verb is None or not verb.verb("feed", "eat")):
        return []
    if not prey and verb is None and _belongs_before(scope):
        return []
    if not prey and outcome and verb is None and not scope.names and scope.before and scope.before.kind not in {"feeding", "observation", "note", "moult", "misting", "watering", "cleaning"}:
        scope.use(*outcome_items)
        return []
    if not prey and verb and verb.verb("take", "eat") and outcome is None and not (scope.planned or scope.numbers or scope.names):
        return []
    drafts = [_draft(scope, item, verb) for item in prey] if prey else [_draft(scope, None, verb)]
    if outcome:
        for draft in drafts:
            draft.put("outcome", outcome, *outcome_items)
    scope.use(*prey, *outcome_items, *_swallowed(scope))
    return drafts


def _fought_over(scope: Scope) -> bool:
    """ "fighting over a cricket" tells of a fight, not of a feeding."""
    fights = [item for item in scope.clause.items if item.sense("sign", "fighting")]
    return bool(fights) and (scope.clause.plain("over") is not None or any(item.text.endswith(" over") for item in fights))


def _got_some(scope: Scope) -> Item | None:
    """ "Marigolds got 10": with nothing else told, food was given."""
    verb = scope.verb("get", "offer")
    others = [item for item in scope.free if item is not verb and item.kind not in {"name", "number", "date", "mark"} and not item.sense("filler") and not item.sense("each") and item.text not in {"the", "a", "all", "both", "only", "then"}]
    return verb if verb and not others and scope.number() and scope.names else None


def _prey_items(scope: Scope) -> list[Item]:
    """Words for prey in the clause; a general one beside a named one ("red runner roaches") was read as one phrase already."""
    return [item for item in scope.free if item.prey and item.kind == "word"]


def _swallowed(scope: Scope) -> list[Item]:
    """What has been said by the feeding and makes no entry of its own."""
    return [item for item in scope.free if item.verb("feed", "eat", "take", "refuse", "offer", "get", "leave", "put", "see") or item.sense("state") or item.sense("each") or item.thing("feeding", "leftovers") or (item.quantity and item.quantity.article)]


def _draft(scope: Scope, prey: Item | None, verb: Item | None) -> Draft:
    draft = Draft("feeding", scope.clause, list(scope.names))
    draft.made_by["kind"] = [item for item in (verb, prey) if item]
    if prey is not None and prey.prey:
        draft.put("prey", prey.prey, prey)
    state = _state(scope)
    if state:
        draft.put("prey_state", state[0], state[1])
    number = _offered(scope, prey)
    if number is not None and number.quantity:
        draft.put("quantity", number.quantity.count(), number)
        scope.use(number)
    each = scope.sense("each")
    if each is not None:
        draft.put("each", True, each)
    _go_on(scope, draft, verb)
    return draft


def _go_on(scope: Scope, draft: Draft, verb: Item | None) -> None:
    """ "Emma took a locust and Horatio took two": the prey of before; "… and a waxworm": the outcome of before."""
    before = scope.before
    if before is None or before.kind != "feeding" or before.negated or before.clause.number != scope.clause.number:
        return
    if "prey" not in draft.fields and "quantity" in draft.fields and "prey" in before.fields:
        draft.put("prey", before.fields["prey"], *before.made_by.get("prey", []))
        if "prey_state" in before.fields and "prey_state" not in draft.fields:
            draft.put("prey_state", before.fields["prey_state"], *before.made_by.get("prey_state", []))
    eaten = before.fields.get("outcome") == "ate" and before.clause.verb("eat", "take")
    if verb is None and eaten and not scope.names and not scope.verb("offer", "get") and "prey" in draft.fields:
        draft.put("outcome", "ate", *before.made_by.get("outcome", []))


def _state(scope: Scope) -> tuple[str, Item] | None:
    for item in scope.clause.items:
        sense = item.sense("state")
        if sense and item.kind != "name" and not item.sense("verb", "refuse"):
            return sense.value, item
    return None


def _offered(scope: Scope, prey: Item | None) -> Item | None:
    """The quantity offered: right before the prey, or the only number that is not of leftovers."""
    clause = scope.clause
    numbers = [item for item in scope.numbers if item.quantity and item.quantity.unit is None and not _is_left(scope, item)]
    of_them = _of_total(scope, numbers)
    if of_them is not None:
        return of_them
    if prey is not None:
        at = position(clause, prey)
        before = [item for item in numbers if position(clause, item) < at]
        for item in reversed(before):
            if _describes(clause.items[position(clause, item) + 1 : at]):
                return item
    numbers = [item for item in numbers if item.quantity and not item.quantity.article]
    if prey is not None and not scope.verb("feed", "eat", "take", "offer", "get", "put"):
        after = [item for item in numbers if position(clause, item) > position(clause, prey)]
        return after[0] if after else (numbers[0] if numbers and not scope.names else numbers[0] if numbers else None)
    return numbers[0] if numbers else None


def _of_total(scope: Scope, numbers: list[Item]) -> Item | None:
    """ "took 3 of the 5": five were offered."""
    for first, second in zip(numbers, numbers[1:], strict=False):
        between = scope.clause.items[position(scope.clause, first) + 1 : position(scope.clause, second)]
        if any(item.text in {"of", "out of"} for item in between) and len(between) <= 3:
            return second
    return None


def _describes(between: tuple[Item, ...]) -> bool:
    return all(item.text in DESCRIBING or item.sense("state") or (item.quantity and item.quantity.unit) or (item.kind == "plain" and item.text not in {"to", "in", "for", "and", "at", "from"}) for item in between)


def _is_left(scope: Scope, number: Item) -> bool:
    """A number of what was left: "left two", "2 left over", "two are still walking around"."""
    clause = scope.clause
    at = position(clause, number)
    before = clause.items[at - 1] if at else None
    following = list(clause.items[at + 1 :])
    still = False
    while following and following[0].text in {"is", "are", "was", "were", "still", "of", "them", "it", "which"}:
        still = still or following[0].text == "still"
        following = following[1:]
    if still and scope.before is not None and scope.before.kind == "feeding" and not scope.names and not scope.prey():
        return True
    after = following[0] if following else None
    if before is not None and before.verb("leave") and before.text in {"left", "leaving", "leaves"}:
        return True
    return after is not None and (after.text in UNEATEN or after.verb("leave") or after.thing("leftovers") or after.sense("outcome", "partly") is not None)


def outcome_of(scope: Scope) -> tuple[str | None, list[Item]]:
    """`ate`, `refused` or `partly`, and the words that say so; None where the text says nothing of it."""
    partly = _partly(scope)
    if partly:
        return "partly", partly
    left = scope.verb("leave")
    prey = scope.prey()
    if left and prey and not scope.numbers and position(scope.clause, prey) > position(scope.clause, left):
        return "refused", [left, prey]
    refused = [item for item in scope.free if item.sense("outcome", "refused") or (item.verb("refuse") and item.kind == "word")]
    if refused:
        return "refused", refused
    ate = [item for item in scope.free if item.sense("outcome", "ate") and item.kind == "word"]
    negation = scope.sense("negation")
    eat = scope.verb("eat", "take")
    if negation is not None and (ate or eat):
        return "refused", [negation, *(ate or [eat])]  # type: ignore[list-item]
    if ate and not (len(ate) == 1 and ate[0].text in LOOSELY_ATE and not _about_food(scope)):
        return "ate", ate
    if eat is not None and not scope.planned and eat.sense("verb").form in {"past", "ing", "third", "base"}:  # type: ignore[union-attr]
        return "ate", [eat]
    return None, []


def _about_food(scope: Scope) -> bool:
    return bool(scope.prey() or scope.verb("feed", "eat") or (scope.before and scope.before.kind == "feeding"))


def _partly(scope: Scope) -> list[Item] | None:
    phrases = [item for item in scope.free if item.sense("outcome", "partly")]
    if phrases:
        return phrases
    left = [item for item in scope.numbers if _is_left(scope, item)]
    fed = scope.prey() or scope.verb("feed", "eat", "take", "offer", "get") or (scope.before and scope.before.kind == "feeding")
    if left and fed:
        verb = scope.verb("leave")
        if left[0].quantity and left[0].quantity.article:  # "left a cricket" of one offered is a refusal, of several a part
            return [item for item in (verb, left[0]) if item]
        return [item for item in (verb, *left) if item]
    numbers = [item for item in scope.numbers if item.quantity and item.quantity.unit is None]
    eat = scope.verb("eat", "take")
    if eat and (_of_total(scope, numbers) or _took_fewer(scope, eat, numbers)):
        return [eat]
    return None


def _took_fewer(scope: Scope, eat: Item, numbers: list[Item]) -> bool:
    """ "2 crickets, took 1": fewer than were offered, in this clause or the one before."""
    clause = scope.clause
    taken = next((item for item in numbers if position(clause, item) > position(clause, eat) and item.quantity and not item.quantity.article), None)
    offered = next((item for item in numbers if position(clause, item) < position(clause, eat) and item.quantity), None)
    before = scope.before.fields.get("quantity") if scope.before and scope.before.kind == "feeding" and not scope.names else None
    high = offered.quantity.high if offered and offered.quantity else before[1] if before else None
    return taken is not None and taken.quantity is not None and high is not None and taken.quantity.high < high


def _belongs_before(scope: Scope) -> bool:
    """An outcome alone ("all gone", "left two") belongs to the feeding before it."""
    before = scope.before
    outcome, items = outcome_of(scope)
    if outcome is None or before is None or before.kind != "feeding" or scope.names or "outcome" in before.fields or before.negated:
        return False
    before.put("outcome", outcome, *items)
    scope.use(*items, *_swallowed(scope), *scope.numbers)
    return True


def feeding_after(scope: Scope) -> bool:
    """Whether the clause only goes on with the feeding before it: its prey, number, state or outcome; then it is added there."""
    before = scope.before
    if before is None or before.kind != "feeding" or scope.names or before.negated:
        return False
    if scope.verb("feed", "mist", "clean", "move", "count", "offer", "remove"):
        return False
    outcome, items = outcome_of(scope)
    if outcome is None and any(item.sense("sign") for item in scope.free):
        return False
    prey = _prey_items(scope)
    if prey and ("prey" in before.fields and prey[0].prey != before.fields["prey"]):
        return False
    if prey and "quantity" in before.fields and scope.number(articles=True) and not outcome:
        return False
    state = _state(scope)
    described = state is not None and not prey and "prey_state" not in before.fields and not scope.verb("eat", "take", "get") and not scope.numbers
    if not prey and outcome is None and not described and not _only_number(scope, before):
        return False
    number = scope.number()
    offered = before.fields.get("quantity")
    if outcome == "ate" and not prey and number and number.quantity and offered and offered[1] is not None and number.quantity.high < offered[1]:
        outcome = "partly"
    if outcome and "outcome" in before.fields:
        outcome = "partly" if {outcome, before.fields["outcome"]} == {"ate", "refused"} else outcome
        outcome = before.fields["outcome"] if before.fields["outcome"] == "partly" else outcome
    if prey and "prey" not in before.fields:
        before.put("prey", prey[0].prey, prey[0])
    number = _offered(scope, prey[0] if prey else None)
    if number is not None and number.quantity and "quantity" not in before.fields and not (number.quantity.article and not prey):
        before.put("quantity", number.quantity.count(), number)
    if scope.sense("each"):
        before.put("each", True, scope.sense("each"))  # type: ignore[arg-type]
    if state:
        before.put("prey_state", state[0], state[1])
    if outcome:
        before.put("outcome", outcome, *items)
    if outcome == "partly" and scope.plain("still"):
        scope.use(*[item for item in scope.free if item.sense("sign")])
    scope.use(*prey, *items, number, *_swallowed(scope), *[item for item in scope.numbers if _is_left(scope, item)])
    return True


def _only_number(scope: Scope, before: Draft) -> bool:
    number = scope.number()
    if number is None or "quantity" in before.fields:
        return bool(scope.sense("each")) and not number and not scope.sense("verb")
    others = [item for item in scope.free if item is not number and item.kind != "plain" and not item.sense("each") and not item.sense("state") and not item.sense("filler")]
    return not others


def quantity_of(quantity: Quantity) -> list[float | None]:
    """The contract's pair for a quantity."""
    return quantity.count()
