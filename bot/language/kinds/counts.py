"""Head counts: counted, seen, or guessed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.clauses.list_words import HEADED_BY, SKIPPED
from bot.language.drafts import quantity_of
from bot.language.names.near import NUMBERED_PLACES

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.drafts import Draft, Scope
    from bot.language.items import Item

NUMBER_OF = {
    "moult": "number", "death": "number", "departure": "number", "arrival": "number", "count": "count",
    "feeding": "quantity",
}  # fmt: skip
WHERE = ("behind ", "under ", "in ", "inside ")
GUESSING = {
    "i",
    "the",
    "of",
    "think",
    "guess",
    "guessed",
    "reckon",
    "estimate",
    "estimated",
    "say",
    "at",
    "probably",
    "maybe",
    "is",
    "are",
}
SEEN = {
    "left", "visible", "showing", "remaining", "present", "alive", "strong", "accounted", "inside", "total",
    "altogether", "still", "survivors", "surviving", "there", "seen", "stayed", "remained",
}  # fmt: skip
COUNT_NOUNS = {"headcount", "head count", "count", "recount"}
INSIDE_WORDS = {"them", "there", "total", "all"}
POINTERS = {"the", "my", "that", "this"}
DWELLINGS = NUMBERED_PLACES | {
    "group", "colony", "communal", "setup", "home", "place", "one", "lot", "cage", "bin", "tower",
}  # fmt: skip
"""What "in the …" names where a number before it is of all who live there; in a lid or a corner sit some of them."""

AS_FAR_AS = 4
"""So many words after "in the" may describe the place before it is named."""
CHANGING = ("death", "departure", "arrival")
OF_HEADS = ("moult", "death", "departure", "arrival", "count")
THOSE = ("them", "em", "those", "these", "which", "whom")
FEWER_NOW = {"departure", "death", "move", "count"}


def count(scope: Scope) -> list[Draft]:
    """Heads counted or guessed."""
    number = scope.number()
    same = _same_kind(scope, number) if number else None
    if same is not None:
        return [same]
    if number is None:
        return _awaited_count(scope)
    if _is_of_those_told(scope, number) or any(item.thing("eggs") for item in scope.clause.after(number)[:2]):
        return []
    said = scope.verb("count"), scope.thing("count")
    counted = any(said)
    awaited = _awaiting(scope)
    if not (counted or awaited is not None or _tells_heads(scope, number)) or (scope.prey() and not counted):
        return []
    if awaited is not None and not scope.names:
        awaited.put("count", quantity_of(number).count(), number)
        scope.use_all()
        return []
    draft = scope.draft("count", *said, scope.prey()).put("count", quantity_of(number).count(), number)
    _use_count(scope, number, counted=counted)
    return [draft]


def _is_of_those_told(scope: Scope, number: Item) -> bool:
    """Whether a number is of what was told right before, and no head count: "B moulted, 2 of them"; it is put there if it lacks."""
    before, clause = scope.before, scope.clause
    if before is None or before.kind not in OF_HEADS or before.negated or scope.names:
        return False
    if not (clause.plain("of") and clause.plain(*THOSE)) or clause.number != before.clause.number:
        return False
    scope.use(number)
    field = NUMBER_OF[before.kind]
    if field not in before.fields and "count" not in before.made_by:
        before.put(field, quantity_of(number).count(), number)
    return True


def _awaiting(scope: Scope) -> Draft | None:
    """The count told before that still lacks its number."""
    before = scope.before
    return before if before is not None and before.kind == "count" and "count" not in before.fields else None


def _use_count(scope: Scope, number: Item, *, counted: bool) -> None:
    scope.use(number, scope.verb("see", "get", "leave"))
    if scope.clause.plain("of"):
        scope.use(*scope.numbers)
    if not counted:
        scope.use_where(lambda item: item.sense("outcome") or item.verb("leave"))
    scope.use_where(_says_where)


def _says_where(item: Item) -> bool:
    """Whether a sign only says where they were counted: "out", "behind the bark"."""
    hidden = item.sense("sign", "hiding") is not None and item.text.startswith(WHERE)
    return hidden or item.sense("sign", "out") is not None


def _same_kind(scope: Scope, number: Item) -> Draft | None:
    """The draft of a name and a number alone, of the kind told right before: "8 exuviae in A, 2 in B"."""
    before = scope.before
    if before is None or not scope.names or before.kind not in NUMBER_OF or before.negated:
        return None
    if before.kind in CHANGING and any(item.text in {"now", "in total"} for item in scope.clause.items):
        return None  # "six came today, now 14 in there"
    field = NUMBER_OF[before.kind]
    heading = not before.names and scope.clause.joiner in (HEADED_BY if "prey" in before.fields else {":"})
    told = field in before.fields or (before.kind == "feeding" and "outcome" in before.fields)  # "B 3, D refused, E 1"
    if before.clause.number != scope.clause.number or not (told or heading):
        return None
    if not all(item is number or _goes_with_number(item, before) for item in scope.free):
        return None
    draft = scope.draft(before.kind, number).put(field, quantity_of(number).count(), number)
    eaten = before.fields.get("outcome") == "ate" and before.clause.verb("eat", "take")
    for name in ("prey", "prey_state", *(["outcome"] if eaten else [])):
        if name in before.fields:
            draft.more(name, before)
    each = scope.clause.senses("each")
    return draft.mark("each", *each) if each and draft.kind == "feeding" else draft


def _goes_with_number(item: Item, before: Draft) -> bool:
    if item.kind in {"name", "plain", "date"} or item.sense("filler") or item.sense("each"):
        return True
    return item.verb("get") and before.kind == "feeding"


def _awaited_count(scope: Scope) -> list[Draft]:
    """The count of "counted B on friday:", whose number comes in the next clause."""
    verb, noun = scope.verb("count"), scope.thing("count")
    got = noun and scope.verb("get", "offer")
    done = noun and noun.text in COUNT_NOUNS and scope.plain("did", "done", "for", "of")
    if not (verb or got or done) or scope.sense("negation"):
        return []
    return [scope.draft("count", verb, noun)]


def _tells_heads(scope: Scope, number: Item) -> bool:
    """Whether a bare number is of heads: "42 in", "about 40 in A", "5 left", "24 I could see", "12 visible"."""
    if _counts_other_things(scope, number):
        return False
    if _guessed_of_name(scope, number) or _leaves(scope, number) or _down_to(scope, number):
        return True
    for rule in (_left, _inside, _name_after):
        heads = rule(scope, number)
        if heads is not None:
            return heads
    return (
        _could_see(scope) or _seen(scope, number) or any(item.thing("count") for item in scope.clause.after(number)[:1])
    )


def _counts_other_things(scope: Scope, number: Item) -> bool:
    numbers = (item for item in scope.free if item.kind == "number" and item is not number)
    other_number = any(not quantity_of(item).article for item in numbers)
    if other_number and not scope.clause.plain("of"):
        return True
    return any(item.sense("verb") and not _goes_with_heads(item) for item in scope.free)


def _goes_with_heads(item: Item) -> bool:
    return bool(
        item.text == "makes" or item.verb("see", "get", "leave", "check") or item.sense("sign") or item.sense("outcome")
    )


def _is_guess(number: Item) -> bool:
    return quantity_of(number).sense != "exact"


def _guessed_of_name(scope: Scope, number: Item) -> bool:
    """Whether a guess stands right before a name, or with a name alone: "about 40 in A", "villa: 20ish"."""
    when = scope.clause.plain("when", "while", "as", "before", "after")  # "B: about 25 when I tipped the bark out"
    told = [item for item in scope.free if when is None or item.start < when.start]
    if not _is_guess(number) or scope.prey() or any(item.sense("sign") for item in told) or _lives(scope):
        return False
    after = scope.clause.after(number)
    if after and after[0].kind == "name":
        return True
    sighted = scope.before is not None and scope.before.kind == "observation"  # "B all out, about 30 I'd say"
    return bool(scope.names or sighted) and all(item is number or _says_nothing(item) for item in told)


def _says_nothing(item: Item) -> bool:
    if item.kind in {"name", "date"} or item.text in GUESSING:
        return True
    return item.sense("filler") is not None


def _leaves(scope: Scope, number: Item) -> bool:
    """Whether the number closes "leaves 12", after some have gone."""
    leaving = any(item.text in {"leaves", "leaving"} for item in scope.clause.before(number))
    after = scope.clause.after(number)
    last = not after or (
        after[0].text == "in" and all(item.kind == "name" or item.text in SKIPPED for item in after[1:])
    )
    return last and leaving and scope.before is not None and scope.before.kind in FEWER_NOW


def _down_to(scope: Scope, number: Item) -> bool:
    """Whether a number is what a group has come to: "A down to 41", "B is up to 30 now"."""
    lead = [item.text for item in scope.clause.before(number)[-2:]]
    makes = lead[-1:] == ["makes"] or lead in (["makes", "it"], ["that", "is"], ["that", "makes"], ["it", "is"])
    total = makes and (bool(scope.names) or _among(scope)) and not scope.prey()  # "so that's 20 now"
    grown = number.text.startswith("up to") and lead[-1:] in (["is"], ["are"], ["now"])
    return total or (bool(scope.names) and not scope.prey() and (lead == ["down", "to"] or grown))


def _among(scope: Scope) -> bool:
    """Whether heads came or went right before."""
    return scope.before is not None and scope.before.kind in {*CHANGING, "move"}


def _left(scope: Scope, number: Item) -> bool | None:
    """Whether "5 left" is of heads and not of food; None where nothing is left."""
    after = scope.clause.after(number)[:2]
    if not any(item.text in {"left", "remaining", "left over"} or item.verb("leave") for item in after):
        return None
    before = scope.before
    if " ".join(item.text for item in after).startswith(("left over", "leftover")):
        return False
    fed = before is not None and before.kind == "feeding" and "quantity" in before.fields
    return not fed and not scope.sense("outcome", "ate")


def _inside(scope: Scope, number: Item) -> bool | None:
    """Whether "42 in" or "42 in A" is of heads; None where the words are others."""
    after = scope.clause.after(number)
    texts = [item.text for item in after[:2]]
    left_by_them = any(item.verb("leave") for item in scope.clause.before(number)[-1:])  # "B left one of them"
    if left_by_them or (texts[:1] != ["in"] and texts != ["of", "them"]):
        return True if _seen_of(scope, after) else None
    if len(after) > 1 and (after[1].text in POINTERS or after[1].possessive):
        return _names_dwelling(after[2:]) and not _lives(scope)
    return (len(after) == 1 or after[1].kind in {"name", "date"} or after[1].text in INSIDE_WORDS) and not _lives(scope)


def _seen_of(scope: Scope, after: Sequence[Item]) -> bool:
    """Whether so many of somebody were seen: "only saw 30 of B"."""
    of = len(after) > 1 and after[0].text == "of" and after[1].kind == "name"
    return of and scope.verb("see") is not None and not _lives(scope)


def _names_dwelling(after: Sequence[Item]) -> bool:
    """Whether words that describe lead to a place to live in: "the new tub", "B's tub", but not "the lid of the tub"."""
    for item in after[:AS_FAR_AS]:
        if item.kind == "name" or item.text in DWELLINGS:
            return not item.possessive
        if item.kind not in {"plain", "word"} or item.text in SKIPPED:
            return False
    return False


def _name_after(scope: Scope, number: Item) -> bool | None:
    """Whether "12 golds alive" is of heads; None where the words are others."""
    after = scope.clause.after(number)[:2]
    if len(after) < 2 or after[0].kind != "name" or after[1].text not in {"in", "left", "alive", "visible"}:
        return None
    return not _lives(scope)


def _could_see(scope: Scope) -> bool:
    able = "could" in scope.clause.texts or "can" in scope.clause.texts
    return scope.verb("see") is not None and able and not scope.sense("sign")


def _seen(scope: Scope, number: Item) -> bool:
    if _lives(scope):
        return False
    after = {item.text for item in scope.clause.after(number)[:2]}
    before = {item.text for item in scope.clause.before(number)[-4:]}
    guessed_out = _is_guess(number) and scope.names and scope.sense("sign", "out")
    told = {"there", "guess", "still"} & before and (scope.names or scope.before or _is_guess(number))
    return bool(guessed_out or SEEN & after or told)


def _lives(scope: Scope) -> bool:
    """Whether the clause tells of something else that is counted."""
    if scope.thing("exuvia", "death", "sac", "eggs", "leftovers") or scope.verb("moult", "die", "hatch"):
        return True
    return any(item.sense("sign") and not _says_where(item) for item in scope.free)
