"""Run-on text: a stretch without marks parted where a new subject or a new act of the keeper begins."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bot.language.clauses.predicates import NOTHING, animal_predicate_follows, verb_follows
from bot.language.units import G_IN, MM_IN

if TYPE_CHECKING:
    from bot.language.items import Item

PRONOUNS = {"i", "we", "they", "she", "he", "it"}
OBJECT_LEADS = {
    "of", "with", "to", "into", "in", "from", "for", "off", "out", "at", "on", "onto", "the", "if", "and", "over", "between", "both", "see",
    "saw", "that", "by",
}  # fmt: skip
ASKING = {"please", "you", "can", "could", "to", "and", "just", "will", "would", "not", "don't", "also", "then"}
"""Words before "remind me" that belong to it."""

LOOKING = {"see", "weigh", "measure"}
SLIGHT = {"get", "see", "check", "take"}
ACT_LEADS = {
    "to", "got", "was", "were", "been", "being", "is", "has", "have", "be", "get", "not", "and", "that", "of",
}  # fmt: skip
"""Words before a verb that make it no act of its own."""


def runs(items: list[Item]) -> list[list[Item]]:
    """Part a stretch without marks where a new subject or a new act of the keeper begins."""
    runs: list[list[Item]] = [[]]
    for position, item in enumerate(items):
        current = runs[-1]
        begins = _new_subject(items, position, current) or _new_act(items, position, current)
        new = bool(current) and (_opens_anew(items, position) or (begins and _has_said_something(current)))
        if new:
            runs.append([])
        runs[-1].append(item)
    return runs


def _opens_anew(items: Sequence[Item], position: int) -> bool:
    """Whether a clause of its own begins, whatever stands before it: "… remind me to …", "… so i have misted …"."""
    item = items[position]
    if item.sense("plan") and item.text.startswith("remind "):
        only_when = all(other.kind == "date" or other.sense("filler") for other in items[:position])
        return items[position - 1].text not in ASKING and not only_when
    if item.text != "so" or item.kind not in {"plain", "word"}:
        return False
    subject, verb = [*(other.text for other in items[position + 1 : position + 3]), "", ""][:2]
    acts = items[position + 1] if position + 1 < len(items) else None
    if acts is not None and acts.forms == {"past"} and any(sense.agent == "keeper" for sense in acts.senses):
        return True  # "cannot sleep so misted B"
    stands = subject in {"that", "there"} and verb in {"is", "are", "leaves"}  # "so that's 35 left"
    return stands or (subject in {"i", "we"} and (verb == "did" or verb_follows(items, position + 2)))


def _has_said_something(run: Sequence[Item]) -> bool:
    acts = any(item.sense("verb") and not item.sense("verb", "get", "see") for item in run)
    seen = any(item.sense("outcome") or item.sense("sign") for item in run)
    named = any(item.kind == "name" for item in run)
    told = any(item.prey or item.kind == "number" or item.sense("negation") for item in run)
    return acts or seen or (named and told)


def _new_subject(items: Sequence[Item], position: int, current: Sequence[Item]) -> bool:
    """Whether a name, a number or a pronoun here is the subject of something new."""
    item = items[position]
    if item.kind == "name":
        return not item.possessive and not _governed(current) and _name_begins(items, position)
    if item.kind == "number" or item.text in NOTHING:
        return _number_in(items, position)
    if item.text not in PRONOUNS or item.kind != "plain" or _relative(items, position):
        return False
    is_object = item.text == "it" and bool(items[position - 1].forms)  # right after its verb
    return not is_object and verb_follows(items, position + 1)


def _name_begins(items: Sequence[Item], position: int) -> bool:
    """Whether something is told of a name that is not the object of what stands before it."""
    before = items[position - 1]
    counted = before.kind == "number" and not (before.quantity and before.quantity.unit)
    if (before.text in OBJECT_LEADS or counted) and not _article_after_words(items, position):
        return False
    got_none = position + 1 < len(items) and items[position + 1].text in NOTHING
    return got_none or animal_predicate_follows(items, position + 1) or _offered_to(items, position)


def _offered_to(items: Sequence[Item], position: int) -> bool:
    """Whether a name, a number and prey follow after as much for another ("june 2 crickets penny 1 locust")."""
    following, before = items[position + 1 : position + 5], items[:position]
    if not following or following[0].kind != "number":
        return False
    unit = following[0].quantity.unit if following[0].quantity else None
    if unit and any(item.kind == "name" for item in before) and not any(item.prey for item in following):
        return True  # "weighed the geckos this morning doreen 52 grams"
    if any(item.quantity and item.quantity.unit in {*MM_IN, *G_IN} for item in before) and len(following) == 1:
        return True  # "… winston 68"
    fed = any(item.prey for item in following) and any(item.prey for item in before)
    return fed and any(item.kind == "name" for item in before)


def _number_in(items: Sequence[Item], position: int) -> bool:
    """Whether a number and a place follow after a number and a place ("3 skins in A 1 in B")."""
    following = items[position + 1 : position + 3]
    placed = len(following) == 2 and following[0].text in {"in", "for", "to", "from"} and following[1].kind == "name"
    return placed and items[position - 1].kind == "name" and any(item.kind == "number" for item in items[:position])


def _article_after_words(items: Sequence[Item], position: int) -> bool:
    """Whether an article belongs to a new subject ("… lightly the whips got"), not to a preposition or a verb before it."""
    if items[position - 1].text != "the" or position < 2:
        return False
    lead = items[position - 2]
    return not (lead.text in OBJECT_LEADS or lead.kind == "number" or lead.sense("verb"))


def _governed(current: Sequence[Item]) -> bool:
    """Whether a name is the object of the verb that its stretch ends with ("fed B", "saw B eating")."""
    before = [item for item in current if item.text not in {"the", "my", "our", "just"}]
    if not before:
        return False
    return bool(before[-1].sense("verb") and not any(item.kind == "name" for item in before))


def _relative(items: Sequence[Item], position: int) -> bool:
    """Whether a clause goes on with what stands before it: "the 2 crickets I gave B"."""
    before = items[position - 1] if position else None
    return before is not None and (
        bool(before.prey)
        or before.text in {"that", "which", "if", "when", "because", "like", "how", "where", "until", "till", "unless"}
    )


def _new_act(items: Sequence[Item], position: int, current: Sequence[Item]) -> bool:
    """Whether a verb here is a new act of the keeper, after another one."""
    item, previous = items[position], items[position - 1]
    verb = item.sense("verb")
    if verb is None or verb.agent != "keeper" or verb.form != "past" or item.kind == "name" or verb.value in LOOKING:
        return False
    verbs = [known for other in current if (known := other.sense("verb")) and other.text != "new"]
    acted = any(known.value not in SLIGHT for known in verbs)
    return acted and previous.text not in ACT_LEADS and not previous.sense("verb")
