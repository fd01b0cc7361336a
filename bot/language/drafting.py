"""From a clause to drafts of entries: every kind is tried in turn, and what is denied becomes a note."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.denial import denied, did_not, let_be, negation_in, worth_noting
from bot.language.drafts import Draft, Scope
from bot.language.kinds import RECOGNISERS, feeding_after
from bot.language.strangers import stranger_in

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item

LOOKS = {"looks", "looked", "dried", "think", "probably"}


def drafts_of(clause: Clause, before: Draft | None, *, planned: bool = False) -> list[Draft]:
    """What one clause tells: drafts in the order they are recognised; an empty list where it tells nothing of care.

    `before` is the draft told before, which the clause may go on with. `planned` reads the clause as something to come.
    """
    if before is not None and before.kind == "death" and _tells_cause(clause):
        before.fields.setdefault("cause", " ".join(item.raw for item in clause.items))
        return []
    scope = Scope(clause, list(clause.items), before, planned)
    if feeding_after(scope) and not _tells_more(scope):
        return []
    did = _did_after_all(clause, before)
    if did is not None:
        return [did]
    drafts = _recognised(scope)
    negation = negation_in(clause)
    if not drafts and let_be(clause):
        drafts = [Draft("note", clause, list(clause.names), negated=True)]
    elif negation is not None:
        drafts = _with_denial(clause, drafts, negation, before)
    for draft in drafts:
        draft.stranger = stranger_in(clause) if not draft.names else ""
    return drafts


def _recognised(scope: Scope) -> list[Draft]:
    drafts: list[Draft] = []
    for recognise in RECOGNISERS:
        made = recognise(scope)
        drafts += made
        if made:
            scope.before = made[-1]
    return drafts


def _tells_more(scope: Scope) -> bool:
    """Whether a clause that went on with a feeding tells something besides."""
    words = (item for item in scope.free if item.kind == "word")
    return any(item.sense("sign") or item.sense("verb") or item.thing() for item in words)


def _with_denial(clause: Clause, drafts: list[Draft], negation: Item, before: Draft | None) -> list[Draft]:
    """The drafts with what is denied taken as a note, or as a refusal of food."""
    if drafts:
        return [denied(draft, negation) for draft in drafts]
    if did_not(clause, negation, before):
        return [Draft("feeding", clause, list(clause.names)).put("outcome", "refused", negation)]
    if worth_noting(clause, negation):
        return [Draft("note", clause, list(clause.names), negated=True)]
    return []


def _did_after_all(clause: Clause, before: Draft | None) -> Draft | None:
    """The act that was denied and then done: "Forgot to mist A yesterday. I did it this morning"; the denial goes."""
    if before is None or not before.was or clause.names or clause.senses("negation"):
        return None
    if not clause.plain("did", "done") or not clause.plain("it", "that", "them", "now"):
        return None
    kind, before.kind = before.was, ""
    return Draft(kind, clause, list(before.names))


def _tells_cause(clause: Clause) -> bool:
    """Whether looks of the dead are told, which are no sighting: "… dead. Found him curled up, looks dehydrated"."""
    if clause.names or clause.numbers or clause.thing("exuvia"):
        return False
    if any(item.forms and not item.verb("see", "get", "check", "moult", "eat", "take") for item in clause.items):
        return False
    return any(item.sense("sign") or item.sense("outcome") or item.text in LOOKS for item in clause.items)
