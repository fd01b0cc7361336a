"""Deaths: found dead, lost, or eaten by its own kind."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.amounts import ONE_MORE
from bot.language.drafts import nearest_number, quantity_of

if TYPE_CHECKING:
    from bot.language.drafts import Draft, Scope
    from bot.language.items import Item

KIN = {
    "others", "other", "siblings", "sibling", "sister", "brother", "own", "tankmates", "tankmate", "mate", "mates",
    "rest", "group", "mother", "mum", "kin", "cannibal", "cannibalised", "cannibalized", "cannibalism", "neighbour",
    "neighbours", "them", "another", "tubmate", "tubmates", "cagemates", "roommate", "roommates", "female",
    "family", "companion", "companions", "sisters", "brothers", "cagemate",
}  # fmt: skip
LOST = ("lost", "lose", "losing")
NOT_ANIMALS = {"track", "count", "sight", "touch", "patience", "sleep"}
"""What keepers lose, too."""

DEAD_BODIES = {"corpse", "casualty", "casualties", "loss", "losses"}
DEAD_ONES = {"small", "runt", "little", "male", "female", "juvenile", "sling", "single"}
NOT_MOVING = {"dead", "lifeless", "dying"}
SEEMING = {
    "look", "looks", "looked", "looking", "seem", "seems", "seemed", "appear", "appears", "appeared", "play", "plays",
    "played", "playing", "almost", "nearly",
}  # fmt: skip
CAUSE_LEADS = ("by", "from", "of", "because", "after")


def death(scope: Scope) -> list[Draft]:
    """Found dead, or eaten by its own kind."""
    lost = _lost(scope)
    told = _word_for_death(scope) or _eaten_by_kin(scope)
    score = len(scope.numbers) > 1 and not scope.names and scope.clause.plain("-") is not None  # "lost 2-0"
    missed = lost if (scope.numbers or scope.names) and not score and not _injured(scope) else None
    if told is None and missed is None:
        return []
    before = scope.before
    if before is not None and before.kind == "death" and not scope.names and not scope.numbers:
        before.fields.setdefault("cause", _cause(scope) or " ".join(scope.clause.texts))
        scope.use_all()
        return []
    if told is not None and _only_seems(scope, told):
        seeming = scope.draft("note", told)
        scope.use_all()
        return [seeming]
    return [_death(scope, lost, told or missed)]


def _lost(scope: Scope) -> Item | None:
    """The word that tells of a loss; "before I lost track" tells of none."""
    lost = scope.plain(*LOST)
    following = scope.clause.after(lost)[:1] if lost is not None else ()
    return None if following and following[0].text in NOT_ANIMALS else lost


def _of_unnamed(scope: Scope) -> bool:
    """Whether it is an animal that has no name here that died: "A grabbed the male, rip"."""
    before = scope.before
    if scope.names or before is None or before.clause.number != scope.clause.number:
        return False
    return bool({"male", "female", "suitor"} & set(before.clause.texts))


def _only_seems(scope: Scope, told: Item) -> bool:
    """Whether somebody looks, plays or was thought dead: worth a note, and no loss."""
    if told.text not in NOT_MOVING:
        return False
    before = [item.text for item in scope.clause.before(told)]
    return told.text == "dying" or "thought" in before or bool(SEEMING & set(before[-4:]))


def _death(scope: Scope, lost: Item | None, told: Item | None) -> Draft:
    number = nearest_number(scope, told, articles=True) if told else None
    draft = scope.draft("death", _word_for_death(scope), _eaten_by_kin(scope), lost, scope.verb("see"))
    if number and _counts_dead(scope, number):
        draft.put("number", quantity_of(number).count(), number)
        scope.use(number)
    if _of_unnamed(scope):
        draft.missing.append("subjects")
    cause = _cause(scope)
    if cause:
        draft.put("cause", cause)
    scope.use_where(_only_describes)
    return draft


def _word_for_death(scope: Scope) -> Item | None:
    word = scope.verb("die") or scope.thing("death")
    if word is None:
        return None
    living_body = (
        word.thing("body") and not word.verb("die") and word.text not in DEAD_BODIES and not word.thing("death")
    )
    not_found = word.text in {"body", "bodies"} and not scope.plain("found", "dead")
    return None if living_body or not_found else word


def _injured(scope: Scope) -> bool:
    return any(item.sense("sign") and not item.sense("sign", "out") for item in scope.free)


def _counts_dead(scope: Scope, number: Item) -> bool:
    """Whether an article counts one dead; it may belong to something else ("a bit", "a bad moult")."""
    following = scope.clause.after(number)
    if not quantity_of(number).article or number.text.startswith(ONE_MORE):
        return True
    return bool(following) and _is_dead_one(following[0])


def _is_dead_one(item: Item) -> bool:
    return item.verb("die") or item.thing("death", "young") or item.kind == "name" or item.text in DEAD_ONES


def _eaten_by_kin(scope: Scope) -> Item | None:
    word = scope.verb("cannibalise") or scope.plain("cannibalism", "cannibalised", "cannibalized")
    eat = word or scope.verb("eat") or _killed(scope) or scope.sense("outcome", "ate")
    if word or eat is None:
        return word
    if scope.clause.thing("exuvia"):
        return None  # "gobbled up her own skin"
    following = [item.text for item in scope.clause.after(eat)]
    by_kin = bool(KIN & set(following)) and ("by" in following or _own_kin(scope, following))
    return eat if by_kin or following[:2] in (["each", "other"], ["one", "another"]) else None


def _killed(scope: Scope) -> Item | None:
    killed = scope.plain("killed")
    return killed or next((item for item in scope.free if item.verb("take") and item.text == "caught"), None)


def _own_kin(scope: Scope, following: list[str]) -> bool:
    return bool({"its", "their", "her", "his", "each"} & set(following)) and not scope.thing("sac")


def _cause(scope: Scope) -> str | None:
    """What it died of, in the keeper's words: what follows "by", "from", "of", "because" or "after"."""
    written = [item.raw or item.text for item in scope.clause.items]
    texts = [text.lower() for text in written]
    for lead in CAUSE_LEADS:
        if lead not in texts:
            continue
        at = texts.index(lead)
        guess = texts[at : at + 3] == ["by", "the", "look"]
        of_something = lead == "of" and not (at and texts[at - 1] in {"died", "dead"})
        of_somebody = lead in {"of", "from"} and any(
            item.kind == "name" for item in scope.clause.items[at + 1 : at + 3]
        )
        if not guess and not of_something and not of_somebody:
            return "eaten " + " ".join(written[at:]) if lead == "by" else " ".join(written[at + 1 :])
    return None


def _only_describes(item: Item) -> bool:
    """Whether a word only describes the death and makes no entry of its own."""
    if item.verb("eat", "take", "see", "moult", "get", "leave") or item.thing("exuvia", "body"):
        return True
    return bool(item.sense("outcome") or item.sense("sign"))
