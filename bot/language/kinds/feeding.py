"""Feeding: what was offered, to how many, in what state, and what became of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import Draft, Scope
from bot.language.kinds.outcomes import is_left, of_total, outcome_of
from bot.language.settling_dates import usable
from bot.language.those_meant import others_wanted

if TYPE_CHECKING:
    from bot.language.items import Item

DESCRIBING = {
    "small", "medium", "large", "big", "tiny", "little", "mini", "micro", "nice", "fat", "juicy", "adult", "baby",
    "brown", "black", "silent", "of", "the", "those", "her", "his", "their", "its", "more", "extra", "whole",
    "single", "size", "sized", "sm", "med", "lg", "xl", "s", "m", "l", "half", "grown", "fresh", "good", "decent",
    "first", "second", "house", "banded", "dwarf", "flightless", "young", "or", "so", "white", "last", "smallish",
    "freshly", "wee", "subadult", "juvenile", "huge", "proper", "massive", "these", "new", "mm", "cm", "inch", "x",
    "chunky", "fine", "ones", "dusted", "gutloaded", "newly", "teeny", "weeny", "lovely", "another", "plain",
    "normal", "only", "just", "max", "wriggly",
}  # fmt: skip
TIMES = {
    "time",
    "times",
    "goes",
    "attempts",
    "tries",
    "offers",
    "meals",
    "feeds",
    "days",
    "weeks",
    "hours",
    "hrs",
    "minutes",
    "mins",
}
OF_WHOM = {"from", "of", "out", "out of", "the"}
"""Words between heads that were taken and those they were taken from."""

NOT_DESCRIBING = {"to", "in", "for", "and", "at", "from"}
GOT_SMALL_WORDS = {"the", "a", "all", "both", "only", "then", "ones"}
GOES_WITH_OUTCOME = {"feeding", "observation", "note", "moult", "misting", "watering", "cleaning"}


def feeding(scope: Scope) -> list[Draft]:
    """One draft for each kind of prey, or one for a feeding without prey."""
    if _ate_skin(scope):
        return []
    prey = prey_items(scope)
    if prey and _was_cleared(scope):
        scope.use(*prey)
        return []
    verb = scope.verb("feed", "eat", "take", "refuse") or _got_some(scope) or _offered_food(scope)
    outcome, outcome_items = outcome_of(scope)
    tells = not _fought_over(scope) if prey else _food_without_prey(scope, verb)
    if not tells:
        return []
    drafts = [_draft(scope, item, verb) for item in prey] if prey else [_draft(scope, None, verb)]
    for draft in drafts if outcome else ():
        draft.put("outcome", outcome, *outcome_items)
    scope.use(*prey, *outcome_items, *swallowed(scope))
    return drafts


def _was_cleared(scope: Scope) -> bool:
    """Whether it is the old food that was cleared out right before: "cleared the leftovers, the carrot was vile"."""
    before = scope.before
    cleared = before is not None and before.kind == "cleaning" and before.clause is not scope.clause
    told = scope.names or scope.numbers or any(item.forms for item in scope.free)
    return cleared and not told and scope.clause.texts[0] == "the"


def _ate_skin(scope: Scope) -> bool:
    """Whether it is a shed skin that was eaten ("gobbled up her own skin"), which is no food; then the words are used up."""
    eaten = [item for item in scope.free if item.verb("eat") or item.sense("outcome", "ate")]
    if not eaten or scope.clause.thing("exuvia") is None or scope.prey():
        return False
    scope.use(*eaten)
    return True


def _food_without_prey(scope: Scope, verb: Item | None) -> bool:
    """Whether a clause that names no prey tells a feeding; words that tell none are used up."""
    outcome, outcome_items = outcome_of(scope)
    if outcome is None and (verb is None or verb.text.startswith("touch")):
        return False
    if verb and verb.text == "caught" and scope.sense("sign"):
        scope.use(verb, *scope.numbers)  # "caught two of them fighting"
        return False
    if verb and outcome != "refused" and _dining_together(scope, verb):
        scope.use(verb, *scope.numbers)
        return False
    if scope.planned and (verb is None or not verb.verb("feed", "eat")):
        return False
    if verb is None:
        return not _belongs_elsewhere(scope, outcome_items)
    taken_alone = verb.verb("take", "eat") and outcome is None and not (scope.planned or scope.numbers or scope.names)
    return not taken_alone and not _took_animals(scope, verb)


def _belongs_elsewhere(scope: Scope, outcome_items: list[Item]) -> bool:
    """Whether an outcome alone is of what was told before; then it is used up."""
    if _belongs_before(scope):
        return True
    of_another = _outcome_of_another_act(scope)
    if of_another:
        scope.use(*outcome_items)
    return of_another


def _took_animals(scope: Scope, verb: Item) -> bool:
    """Whether what was taken is no food: animals of ours ("took 5 from B"), temperatures, weights."""
    if not verb.verb("take"):
        return False
    if scope.clause.thing("temperature", "humidity", "weight", "legspan", "body"):
        return True
    following = [item for item in scope.clause.after(verb)[:5] if item.text not in OF_WHOM]
    return [item.kind for item in following[:2]] == ["number", "name"]


def _dining_together(scope: Scope, verb: Item) -> bool:
    """Whether animals are seen eating together: a sight, not a feeding."""
    together = scope.sense("sign", "eating_together") or scope.plain("together")
    return "ing" in verb.forms and bool(together)


def _outcome_of_another_act(scope: Scope) -> bool:
    """Whether "all gone" is said of something told before that is no feeding."""
    return bool(not scope.names and scope.before and scope.before.kind not in GOES_WITH_OUTCOME)


def _belongs_before(scope: Scope) -> bool:
    """Whether an outcome alone ("all gone", "left two") belongs to the feeding before it; then it is put there."""
    before = scope.before
    outcome, items = outcome_of(scope)
    if outcome is None or before is None or not _is_open(before) or scope.names or "outcome" in before.fields:
        return False
    if others_wanted(scope.clause) is not None:
        return False
    if is_of_another_day(scope, before):
        return False
    before.put("outcome", outcome, *items)
    scope.use(*items, *swallowed(scope), *scope.numbers)
    return True


def is_of_another_day(scope: Scope, before: Draft) -> bool:
    """Whether a day of its own is told after one that had its own.

    "Wednesday: ate 6. Thursday: refused.", "refused yesterday but took a roach today"
    """
    days = [usable(clause) for clause in (before.clause, scope.clause)]
    if not all(days):
        return False
    other = len({item.date.on for item in days if item is not None and item.date is not None}) > 1
    return before.clause.number != scope.clause.number or (other and scope.prey() is not None)


def _is_open(before: Draft) -> bool:
    return before.kind == "feeding" and not before.negated


def _fought_over(scope: Scope) -> bool:
    """Whether "fighting over a cricket" tells of a fight, not of a feeding."""
    fights = [item for item in scope.clause.items if item.sense("sign", "fighting")]
    over = scope.clause.plain("over") is not None or any(item.text.endswith(" over") for item in fights)
    return bool(fights) and over


def _offered_food(scope: Scope) -> Item | None:
    """The verb of "offered B food"."""
    return scope.verb("offer") if scope.thing("feeding") and not scope.planned else None


def _got_some(scope: Scope) -> Item | None:
    """The verb of "Marigolds got 10": with nothing else told, food was given."""
    verb = scope.verb("get", "offer")
    if verb is None or not scope.number() or not scope.names:
        return None
    others = [item for item in scope.free if item is not verb and not _goes_with_got(item)]
    return None if others else verb


def _goes_with_got(item: Item) -> bool:
    if item.kind in {"name", "number", "date", "mark"} or item.text in GOT_SMALL_WORDS:
        return True
    return bool(item.sense("filler") or item.sense("each") or item.sense("state"))


def prey_items(scope: Scope) -> list[Item]:
    """Words for prey in the clause; "red runner roaches" was read as one phrase already."""
    return [item for item in scope.free if item.prey and item.kind == "word"]


def swallowed(scope: Scope) -> list[Item]:
    """What has been said by the feeding and makes no entry of its own."""
    return [item for item in scope.free if _goes_with_feeding(item)]


def _goes_with_feeding(item: Item) -> bool:
    if item.verb("feed", "eat", "take", "refuse", "offer", "get", "leave", "put", "see"):
        return True
    if item.sense("state") or item.sense("each") or item.thing("feeding", "leftovers"):
        return True
    return item.quantity is not None and item.quantity.article


def _draft(scope: Scope, prey: Item | None, verb: Item | None) -> Draft:
    draft = Draft("feeding", scope.clause, list(scope.names))
    draft.made_by["kind"] = [item for item in (verb, prey) if item]
    if prey is not None and prey.prey:
        draft.put("prey", prey.prey, prey)
    state = prey_state(scope)
    if state:
        draft.put("prey_state", state[0], state[1])
    number = offered(scope, prey)
    if number is not None and number.quantity:
        draft.put("quantity", number.quantity.count(), number)
        scope.use(number)
    each = scope.sense("each")
    if each is not None:
        draft.mark("each", each)
    _go_on(scope, draft, verb)
    return draft


def _go_on(scope: Scope, draft: Draft, verb: Item | None) -> None:
    """Take over the prey of before ("Emma took a locust and Horatio took two") or its outcome ("… and a waxworm")."""
    before = scope.before
    if before is None or not _is_open(before) or before.clause.number != scope.clause.number:
        return
    if "prey" not in draft.fields and "quantity" in draft.fields and "prey" in before.fields:
        for name in ("prey", "prey_state"):
            if name in before.fields and name not in draft.fields:
                draft.more(name, before)
    eaten = before.fields.get("outcome") == "ate" and before.clause.verb("eat", "take")
    told_alone = verb is None and not scope.names and not scope.verb("offer", "get")
    if eaten and told_alone and "prey" in draft.fields:
        draft.more("outcome", before)


def prey_state(scope: Scope) -> tuple[str, Item] | None:
    """The state the prey was offered in (alive, pre-killed, …) and the word that says so."""
    for item in scope.clause.items:
        sense = item.sense("state")
        if sense and item.kind != "name" and not item.sense("verb", "refuse"):
            return sense.value, item
    return None


def offered(scope: Scope, prey: Item | None) -> Item | None:
    """The quantity offered: right before the prey, or the only number that is not of leftovers."""
    clause = scope.clause
    numbers = [item for item in scope.numbers if item.quantity and item.quantity.unit is None]
    numbers = [item for item in numbers if not is_left(scope, item) and not _counts_times(scope, item)]
    whole = of_total(scope, numbers)
    if whole is not None:
        return whole
    described = _right_before(scope, prey, numbers) if prey is not None else None
    if described is not None:
        return described
    numbers = [item for item in numbers if item.quantity and not item.quantity.article]
    if prey is not None and not scope.verb("feed", "eat", "take", "offer", "get", "put"):
        at = clause.index(prey)
        numbers = [item for item in numbers if clause.index(item) > at] or numbers
    return numbers[0] if numbers else None


def _counts_times(scope: Scope, number: Item) -> bool:
    """Whether a number says how often: "refused again, that's three times now"."""
    following = scope.clause.after(number)[:1]
    return bool(following) and following[0].text in TIMES


def _right_before(scope: Scope, prey: Item, numbers: list[Item]) -> Item | None:
    clause = scope.clause
    at = clause.index(prey)
    before = [item for item in numbers if clause.index(item) < at]
    between = ((item, clause.items[clause.index(item) + 1 : at]) for item in reversed(before))
    return next((item for item, words in between if all(map(_describes, words))), None)


def _describes(item: Item) -> bool:
    """Whether a word between number and prey only describes the prey."""
    if item.text in DESCRIBING or item.sense("state") or (item.quantity and item.quantity.unit):
        return True
    return item.kind == "plain" and item.text not in NOT_DESCRIBING
