"""What became of a feeding: eaten, refused, or eaten in part."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from bot.language.drafts import Scope

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item

LOOSELY_ATE = {
    "are gone", "is gone", "were gone", "was gone", "got it", "disappeared", "vanished", "finished", "accepted",
    "hungry", "caught it", "caught them", "caught both", "grabbed it", "grabbed them", "nailed it", "gone already",
    "gone overnight",
}  # fmt: skip
UNEATEN = {"left", "left over", "leftover", "remaining", "uneaten", "untouched"}
BETWEEN_LEFT = {"is", "are", "was", "were", "still", "of", "them", "it", "which"}
OTHERS_THERE = ("sac", "eggs", "exuvia", "mould", "mites", "equipment", "young", "death")
"""What may be told to be still there, and is no food."""

LEAVING = {"left", "leaving", "leaves"}


def outcome_of(scope: Scope) -> tuple[str | None, list[Item]]:
    """`ate`, `refused` or `partly`, and the words that say so; None where the text says nothing of it."""
    for outcome, find in (("partly", _partly), ("refused", _refused), ("ate", _ate)):
        words = find(scope)
        if words:
            return outcome, words
    return None, []


def _refused(scope: Scope) -> list[Item]:
    left, prey = scope.verb("leave"), scope.prey()
    if left and prey and not scope.numbers and scope.clause.index(prey) > scope.clause.index(left):
        return [left, prey]
    if (
        left
        and any(item.text in {"which", "that"} for item in scope.clause.before(left)[-2:])
        and not scope.clause.after(left)
    ):
        return [left]  # "a hornworm, which she left"
    untouched = bool(prey) and not scope.numbers
    refused = [item for item in scope.free if _refuses(scope, item) or (untouched and item.text == "uneaten")]
    refused = refused or [item for item in scope.numbers if _all_left(scope, item) and is_left(scope, item)]
    if refused:
        return refused
    negation = scope.sense("negation")
    eat = scope.verb("eat", "take")
    denied = _words_for_eaten(scope) or ([eat] if eat else [])
    if negation is None or negation.text.startswith("skip"):  # "ate yesterday so skipping her today"
        return []
    return [negation, *denied] if denied else []


def _refuses(scope: Scope, item: Item) -> bool:
    """Whether a word tells that food was refused: "still there" of food alone, "refused to" of eating alone."""
    if _is_word(item, "refuse"):
        following = scope.clause.after(item)
        return (
            not following or following[0].text != "to" or any(other.verb("eat", "take", "feed") for other in following)
        )
    if not item.sense("outcome", "refused") or _keeper_left(scope, item):
        return False
    of_other = bool(scope.numbers or scope.thing(*OTHERS_THERE) or scope.sense("sign", "mould", "mites"))
    return not ("still there" in item.text and of_other and not _about_food(scope))


def _keeper_left(scope: Scope, item: Item) -> bool:
    """Whether it is the keeper who let somebody be: "B was still wet, so I left them alone"."""
    lead = scope.clause.before(item)[-1:]
    return item.text.startswith("left ") and bool(lead) and lead[0].text in {"i", "we", "so"}


def _ate(scope: Scope) -> list[Item]:
    ate = _words_for_eaten(scope)
    loosely = len(ate) == 1 and ate[0].text in LOOSELY_ATE and not _about_food(scope)
    if ate and not loosely:
        return ate
    eat = scope.verb("eat", "take")
    if eat is not None and "to" in [item.text for item in scope.clause.before(eat)[-1:]]:
        return []  # "some springtails for them to eat"
    touched = eat is not None and eat.text.startswith("touch")  # only what is not touched tells of food
    return [eat] if eat is not None and not touched and not scope.planned and _is_finite(eat) else []


def _words_for_eaten(scope: Scope) -> list[Item]:
    return [item for item in scope.free if item.sense("outcome", "ate") and item.kind == "word"]


def _is_word(item: Item, verb: str) -> bool:
    return item.verb(verb) and item.kind == "word"


def _is_finite(verb: Item) -> bool:
    sense = verb.sense("verb")
    return sense is not None and sense.form in {"past", "ing", "third", "base"}


def _about_food(scope: Scope) -> bool:
    return bool(scope.prey() or scope.verb("feed", "eat") or _after_feeding(scope))


def _after_feeding(scope: Scope) -> bool:
    return scope.before is not None and scope.before.kind == "feeding"


def _partly(scope: Scope) -> list[Item]:
    phrases = [item for item in scope.free if item.sense("outcome", "partly")]
    if phrases:
        return phrases
    left = [item for item in scope.numbers if is_left(scope, item)]
    fed = scope.prey() or scope.verb("feed", "eat", "take", "offer", "get") or _after_feeding(scope)
    if left and fed and not _all_left(scope, left[0]):
        verb = scope.verb("leave")
        one = left[0].quantity is not None and left[0].quantity.article  # "left a cricket": no more than that counts
        return [item for item in (verb, *(left[:1] if one else left)) if item]
    numbers = [item for item in scope.numbers if item.quantity and item.quantity.unit is None]
    eat = scope.verb("eat", "take")
    return [eat] if eat and (of_total(scope, numbers) or _took_fewer(scope, eat, numbers)) else []


def _all_left(scope: Scope, number: Item) -> bool:
    """Whether nothing was eaten: "all 3 still there", in the clause after the one that told the food."""
    before = scope.clause.before(number)[-1:]
    return bool(before) and before[0].text == "all" and not scope.verb("eat", "take")


def is_left(scope: Scope, number: Item) -> bool:
    """Whether a number is of what was left: "left two", "2 left over", "two are still walking around"."""
    clause = scope.clause
    at = clause.index(number)
    following = list(clause.items[at + 1 :])
    if number.quantity is not None and number.quantity.article and _none_or_half_eaten(clause):
        return False  # "left a cricket untouched", "… half eaten": all that was offered
    still = False
    if following and following[0].text.startswith("still ") and following[0].sense("outcome", "refused"):
        return _after_feeding(scope) and not scope.names  # "2 still there this morning"
    while following and following[0].text in BETWEEN_LEFT:
        still = still or following[0].text == "still"
        following = following[1:]
    if still and _after_feeding(scope) and not scope.names and not scope.prey():
        return True
    before = clause.items[at - 1] if at else None
    if before is not None and before.verb("leave") and before.text in LEAVING:
        return True
    return bool(following) and _means_uneaten(following[0])


def _none_or_half_eaten(clause: Clause) -> bool:
    halves = (item for item in clause.senses("outcome", "partly") if "half" in item.text)
    return clause.plain("untouched", "uneaten") is not None or any(halves)


def _means_uneaten(item: Item) -> bool:
    said = item.text in UNEATEN or item.verb("leave") or item.thing("leftovers")
    return said or item.sense("outcome", "partly") is not None


def of_total(scope: Scope, numbers: list[Item]) -> Item | None:
    """The whole of which a part was taken: of "took 3 of the 5" the 5; None where no part is told."""
    for first, second in pairwise(numbers):
        between = scope.clause.items[scope.clause.index(first) + 1 : scope.clause.index(second)]
        if any(item.text in {"of", "out of"} for item in between) and len(between) <= 3:
            return second
    return None


def _took_fewer(scope: Scope, eat: Item, numbers: list[Item]) -> bool:
    """Whether fewer were taken than offered, in this clause or the one before: "2 crickets, took 1"."""
    clause = scope.clause
    at = clause.index(eat)
    after = [item.quantity for item in numbers if clause.index(item) > at]
    taken = next((quantity for quantity in after if quantity and not quantity.article), None)
    offered = next((item.quantity for item in numbers if clause.index(item) < at), None)
    high = offered.high if offered else _offered_before(scope)
    return taken is not None and high is not None and taken.high < high


def _offered_before(scope: Scope) -> float | None:
    """The most that was offered in the feeding told before of the same animals."""
    if scope.before is None or scope.before.kind != "feeding" or scope.names:
        return None
    pair: list[float | None] | None = scope.before.fields.get("quantity")
    return pair[1] if pair else None
