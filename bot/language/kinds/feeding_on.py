"""Clauses that go on with the feeding told before: its prey, number, state or outcome told after it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.clauses import HEADING
from bot.language.kinds.feeding import is_of_another_day, offered, prey_items, prey_state, swallowed
from bot.language.kinds.outcomes import is_left, outcome_of
from bot.language.those_meant import others_wanted

if TYPE_CHECKING:
    from bot.language.drafts import Draft, Scope
    from bot.language.items import Item


PRONOUNS = ("they", "she", "he", "it")


def feeding_after(scope: Scope) -> bool:
    """Whether the clause only goes on with the feeding before it; then what it tells is added there."""
    before = scope.before
    if (
        before is None
        or before.kind != "feeding"
        or scope.names
        or before.negated
        or others_wanted(scope.clause) is not None
    ):
        return False
    if scope.clause.joiner in HEADING and before.clause.number != scope.clause.number:
        return False  # it goes on with what stands before its colon
    if is_of_another_day(scope, before) or _tells_another_act(scope, before) or not _tells_more(scope, before):
        return False
    outcome, words = outcome_of(scope)
    prey = prey_items(scope)
    outcome = _joined(_measured(outcome, prey, scope, before), before)
    number = _add_offer(scope, before, prey)
    _add_state(scope, before)
    if outcome:
        before.put("outcome", outcome, *words)
    if outcome == "partly" and scope.plain("still"):
        scope.use_where(lambda item: item.sense("sign"))
    scope.use(*prey, *words, number, *swallowed(scope), *[item for item in scope.numbers if is_left(scope, item)])
    return True


def _tells_another_act(scope: Scope, before: Draft) -> bool:
    """Whether the clause has an act, a sight or a prey of its own."""
    if scope.verb("mist", "clean", "move", "count", "remove"):
        return True
    if scope.verb("feed", "offer") and (before.fields or not scope.clause.plain(*PRONOUNS)):
        return True  # but "I fed the choir. They were given six crickets" is one
    outcome, _ = outcome_of(scope)
    if outcome is None and any(item.sense("sign") for item in scope.free):
        return True
    prey = prey_items(scope)
    other_prey = bool(prey) and "prey" in before.fields and prey[0].prey != before.fields["prey"]
    second_helping = bool(prey) and "quantity" in before.fields and scope.number(articles=True) and not outcome
    return other_prey or bool(second_helping)


def _tells_more(scope: Scope, before: Draft) -> bool:
    if prey_items(scope) or outcome_of(scope)[0] is not None:
        return True
    eating = scope.verb("eat", "take", "get")
    described = prey_state(scope) and "prey_state" not in before.fields and not eating and not scope.numbers
    return bool(described) or _only_number(scope, before)


def _only_number(scope: Scope, before: Draft) -> bool:
    number = scope.number()
    if number is None or "quantity" in before.fields:
        return bool(scope.sense("each")) and not number and not scope.sense("verb")
    return all(item is number or _goes_with_number(item) for item in scope.free)


def _goes_with_number(item: Item) -> bool:
    return item.kind == "plain" or bool(item.sense("each") or item.sense("state") or item.sense("filler"))


def _measured(outcome: str | None, prey: list[Item], scope: Scope, before: Draft) -> str | None:
    """The outcome, `partly` where fewer were eaten than were offered before."""
    number = scope.number()
    offer = before.fields.get("quantity")
    if outcome != "ate" or prey or number is None or number.quantity is None or not offer or offer[1] is None:
        return outcome
    return "partly" if number.quantity.high < offer[1] else outcome


def _joined(outcome: str | None, before: Draft) -> str | None:
    """The outcome together with the one told before: one ate and one refused is `partly`, and stays so."""
    known = before.fields.get("outcome")
    if not outcome or known is None:
        return outcome
    if known == "partly" or {outcome, known} == {"ate", "refused"}:
        return "partly"
    return outcome


def _add_offer(scope: Scope, before: Draft, prey: list[Item]) -> Item | None:
    """Add prey and quantity where the feeding lacks them; the number that was told."""
    if prey and "prey" not in before.fields:
        before.put("prey", prey[0].prey, prey[0])
    number = offered(scope, prey[0] if prey else None)
    quantity = number.quantity if number is not None else None
    if number is not None and quantity and "quantity" not in before.fields and (prey or not quantity.article):
        before.put("quantity", quantity.count(), number)
    return number


def _add_state(scope: Scope, before: Draft) -> None:
    each = scope.sense("each")
    if each:
        before.mark("each", each)
    state = prey_state(scope)
    if state:
        before.put("prey_state", state[0], state[1])
