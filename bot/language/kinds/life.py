"""Kinds of the life of a group: sacs, deaths, moults, arrivals, departures, pairings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import Draft, Scope, nearest_number, position

if TYPE_CHECKING:
    from bot.language.items import Item

KIN = {"others", "other", "siblings", "sibling", "sister", "brother", "own", "tankmates", "tankmate", "mate", "mates", "rest", "group", "mother", "mum", "kin", "cannibal", "cannibalised", "cannibalized", "cannibalism", "neighbour", "neighbours", "them", "another", "tubmate", "tubmates", "cagemates", "roommate", "roommates", "female", "family"}  # fmt: skip
LOST = {"lost", "lose", "losing"}
BAD_MOULT = {"bad", "stuck", "failed", "mid", "during", "wet", "while", "halfway", "botched", "from"}


def sac(scope: Scope) -> list[Draft]:
    """Egg sac, ootheca or clutch: laid (or first seen), pulled, eaten, hatched."""
    if _more_of_sac(scope):
        return []
    noun = scope.thing("sac")
    eggs = scope.thing("eggs")
    hatch, lay = scope.verb("hatch"), scope.verb("lay")
    laid = next((item for item in scope.free if item.text in {"laid", "layed"}), None)
    if noun is None and hatch is None and not (laid or (eggs and (lay or scope.verb("see", "remove", "get", "eat")))):
        return []
    if hatch and noun is None and scope.verb("buy", "arrive"):
        return []
    stage = _stage(scope)
    if stage is None:
        return []
    number = _young(scope)
    draft = scope.draft(
        "sac",
        noun,
        eggs,
        hatch,
        laid,
        scope.verb("remove", "eat", "lay", "see", "get"),
        scope.thing("young"),
        scope.sense("outcome"),
    )
    draft.put("stage", stage, *draft.made_by["kind"])
    if number:
        assert number.quantity is not None  # noqa: S101 - numbers have quantities
        draft.put("number", number.quantity.count(), number)
        scope.use(number)
    scope.use(
        *[
            item
            for item in scope.free
            if item.verb("lay", "take", "cannibalise", "get", "remove", "see", "put", "eat", "offer")
            or item.sense("outcome")
            or item.thing("young")
        ]
    )
    return [draft]


def _more_of_sac(scope: Scope) -> bool:
    """ "… hatched, 150 or so": the number comes in a clause of its own."""
    before = scope.before
    number = _young(scope)
    if before is None or before.kind != "sac" or "number" in before.fields or number is None or number.quantity is None:
        return False
    if scope.names and not (scope.clause.items[0] is number and not any(item.forms for item in scope.free)):
        return False
    if (
        scope.prey()
        or scope.verb("feed", "mist", "count", "sell", "die", "moult", "move")
        or scope.thing("sac", "exuvia", "death")
    ):
        return False
    before.put("number", number.quantity.count(), number)
    scope.use(*scope.free)
    return True


def _stage(scope: Scope) -> str | None:
    if scope.verb("hatch"):
        return "hatched"
    if scope.verb("eat", "cannibalise") or scope.sense("outcome", "ate"):
        return "eaten"
    if scope.verb("remove", "take") or scope.plain("opened", "open", "cut", "incubator", "incubating"):
        return "pulled"
    fresh = scope.plain("new", "fresh", "another", "first", "second", "with", "has")
    if scope.verb("lay", "get", "see", "offer") or fresh or scope.plain("gravid"):
        return "laid"
    return None


def _young(scope: Scope) -> Item | None:
    """The number of young or eggs: never the number of sacs."""
    for item in scope.numbers:
        following = scope.clause.after(item)
        of_them = [other.text for other in following[:1]] == ["of"] and [
            other.text for other in following[1:2]
        ] not in (["them"], ["em"])
        if (
            item.quantity
            and item.quantity.unit is None
            and not item.quantity.article
            and not (following and following[0].thing("sac"))
            and not of_them
        ):
            return item
    return None


def death(scope: Scope) -> list[Draft]:
    """Found dead, or eaten by its own kind."""
    word = scope.verb("die") or scope.thing("death")
    if (
        word
        and word.thing("body")
        and not word.verb("die")
        and word.text not in {"corpse", "casualty", "casualties", "loss", "losses"}
        and not word.thing("death")
    ):
        word = None
    if word and word.text in {"body", "bodies"} and not scope.plain("found", "dead"):
        word = None
    eaten = _eaten_by_kin(scope)
    lost = scope.plain(*LOST)
    if word is None and eaten is None and not (lost and (scope.numbers or scope.names) and not _injured(scope)):
        return []
    before = scope.before
    if before is not None and before.kind == "death" and not scope.names and not scope.numbers:
        before.fields.setdefault("cause", _cause(scope) or " ".join(scope.clause.texts))
        scope.use(*scope.free)
        return []
    number = nearest_number(scope, word or eaten or lost, articles=True)  # type: ignore[arg-type]
    draft = scope.draft("death", word, eaten, lost, scope.verb("see"))
    if number and number.quantity and _counts_dead(scope, number):
        draft.put("number", number.quantity.count(), number)
        scope.use(number)
    cause = _cause(scope)
    if cause:
        draft.put("cause", cause)
    _swallow(scope)
    return [draft]


def _injured(scope: Scope) -> bool:
    return any(item.sense("sign") and not item.sense("sign", "out") for item in scope.free)


def _counts_dead(scope: Scope, number: Item) -> bool:
    """An article counts one dead, unless it belongs to something else ("a bit", "a bad moult")."""
    if not number.quantity.article:
        return True
    following = scope.clause.after(number)
    return bool(following) and (
        following[0].verb("die")
        or following[0].thing("death", "young")
        or following[0].kind == "name"
        or following[0].text in {"small", "runt", "little", "male", "female", "juvenile", "sling", "single"}
    )


def _eaten_by_kin(scope: Scope) -> Item | None:
    word = scope.verb("cannibalise") or scope.plain("cannibalism", "cannibalised", "cannibalized")
    if word:
        return word
    eat = (
        scope.verb("eat")
        or next((item for item in scope.free if item.verb("take") and item.text in {"killed", "caught"}), None)
        or scope.sense("outcome", "ate")
    )
    if eat is None:
        return None
    following = [item.text for item in scope.clause.after(eat)]
    by = "by" in following and KIN & set(following)
    own = KIN & set(following) and {"its", "their", "her", "his", "each"} & set(following) and not scope.thing("sac")
    return eat if by or own or following[:2] == ["each", "other"] or following[:2] == ["one", "another"] else None


def _cause(scope: Scope) -> str | None:
    texts = [item.raw or item.text for item in scope.clause.items]
    lowered = [text.lower() for text in texts]
    for lead in ("by", "from", "of", "because", "after"):
        if lead in lowered:
            words = texts[lowered.index(lead) + (lead != "by") :]
            if lead == "by" and lowered[lowered.index(lead) : lowered.index(lead) + 3] == ["by", "the", "look"]:
                continue
            if lead != "of" or (lowered.index(lead) and lowered[lowered.index(lead) - 1] in {"died", "dead"}):
                return ("eaten " if lead == "by" else "") + " ".join(words)
    return None


def _swallow(scope: Scope) -> None:
    """Words that only describe the death make no entry of their own."""
    scope.use(
        *[
            item
            for item in scope.free
            if item.verb("eat", "take", "see", "moult", "get", "leave")
            or item.thing("exuvia", "body")
            or item.sense("outcome")
            or item.sense("sign")
        ]
    )


def moult(scope: Scope) -> list[Draft]:
    """A shed found or seen."""
    verb, noun = scope.verb("moult"), scope.thing("exuvia")
    if verb is None and noun is None:
        return []
    if verb and noun and verb is noun and verb.text in {"moult", "molt"}:
        verb = verb if not scope.numbers else None
    word = noun or verb
    assert word is not None  # noqa: S101 - one of them was found
    lead = scope.clause.before(word)[-1:]
    if not scope.planned and lead and lead[0].text == "to":
        return []
    if scope.sense("sign", "premoult") or (
        verb is None and scope.clause.plain("before", "ahead", "soon", "due", "coming", "imminent", "towards")
    ):
        return []
    before = scope.before
    if before and before.kind == "death" and BAD_MOULT & set(scope.clause.texts):
        before.put("cause", " ".join(scope.clause.texts), word)
        scope.use(*scope.free)
        return []
    if before and before.kind == "moult" and not scope.names and not scope.numbers and noun and not before.negated:
        scope.use(word)
        return []
    number = _shed_number(scope, word)
    draft = scope.draft("moult", verb, noun, scope.verb("see", "get", "remove"), scope.verb("eat") if noun else None)
    if number and number.quantity:
        draft.put("number", number.quantity.count(), number)
        scope.use(number)
    return [draft]


def _shed_number(scope: Scope, word: Item) -> Item | None:
    number = nearest_number(scope, word, articles=True)
    if number is None or number.quantity is None:
        return None
    if number.quantity.article:
        between = scope.clause.items[position(scope.clause, number) + 1 : position(scope.clause, word)]
        close = position(scope.clause, number) < position(scope.clause, word) and all(
            item.kind == "plain" for item in between
        )
        return number if close and word.thing("exuvia") else None
    return number


def arrival(scope: Scope) -> list[Draft]:
    """Bought, hatched in, given to the keeper."""
    verb = scope.verb("buy", "arrive")
    if verb is None and scope.verb("get") and scope.plain("in") and scope.prey() and scope.number() and not scope.names:
        verb = scope.verb("get")
    if scope.before and scope.before.kind in {"move", "count"} and verb and not verb.verb("buy"):
        return []
    if (
        verb
        and verb.text in {"came", "came in"}
        and not (scope.numbers and (scope.names or scope.prey() or scope.thing("young")))
    ):
        return []
    new = scope.plain("new", "more", "extra", "another")
    got = scope.verb("get", "offer", "put") if new and scope.numbers else None
    if scope.verb("hatch") and scope.plain("in") and not scope.thing("sac", "eggs"):
        verb = verb or scope.verb("hatch")
    if verb is None and not (got and (scope.names or scope.prey()) and not scope.clause.plain("to")):
        return []
    if verb and _adds_food(scope, verb):
        return []
    if (
        verb
        and verb.text in {"add", "added", "adding", "picked up", "picking up"}
        and not (scope.numbers and scope.names)
    ):
        return []
    number = scope.number() or scope.number(articles=True)
    draft = scope.draft("arrival", verb or got, new)
    if (
        number
        and number.quantity
        and not (
            number.quantity.article
            and scope.clause.after(number)[:1]
            and scope.clause.after(number)[0].text in {"bit", "few", "load"}
        )
    ):
        draft.put("number", number.quantity.count(), number)
        scope.use(number)
    scope.use(scope.prey())
    return [draft]


def _adds_food(scope: Scope, verb: Item) -> bool:
    """ "added 3 crickets to B" is a feeding; "bought crickets for B" is one too, when the animal has a name of its own."""
    named = any(not item.prey for item in scope.names)
    return bool(scope.prey()) and named and verb.text.startswith(("add", "picked"))


def departure(scope: Scope) -> list[Draft]:
    """Sold, given away, lent."""
    verb = scope.verb("sell", "giveaway")
    away = next((item for item in scope.free if item.text == "away"), None)
    if verb is None and (away or _handed_over(scope)) and scope.verb("offer"):
        verb = scope.verb("offer")
    if verb is None:
        return []
    number = scope.number(articles=True)
    draft = scope.draft("departure", verb)
    if number and number.quantity and not (number.quantity.article and not _counts_animals(scope, number)):
        draft.put("number", number.quantity.count(), number)
        scope.use(number)
    draft.names = [item for item in draft.names if not _given_to(scope, item)] or draft.names
    scope.use(
        *[item for item in scope.free if item.verb("pair", "offer", "get", "put") or item.thing("pairing", "young")]
    )
    return [draft]


def _handed_over(scope: Scope) -> bool:
    """ "gave 3 of the golds to my cousin": animals, to somebody who is no animal of ours."""
    known = scope.names or (scope.before is not None and scope.before.kind == "departure")
    if scope.prey() or not known or not scope.numbers or scope.thing("water", "feeding", "misting"):
        return False
    to = scope.clause.plain("to")
    following = [item for item in scope.clause.after(to)[:3]] if to else []
    return (
        to is not None
        and bool(following)
        and all(item.kind != "name" for item in following)
        and any(item.kind == "plain" for item in following)
    )


def _counts_animals(scope: Scope, number: Item) -> bool:
    following = scope.clause.after(number)
    return bool(following) and (
        following[0].kind == "name"
        or bool(following[0].thing("young"))
        or following[0].text in {"male", "female", "pair", "juvenile"}
    )


def _given_to(scope: Scope, name: Item) -> bool:
    at = position(scope.clause, name)
    return at > 0 and scope.clause.items[at - 1].text == "to"


def pairing(scope: Scope) -> list[Draft]:
    """A male introduced, mated, or the pair separated."""
    verb = scope.verb("pair") or scope.thing("pairing")
    introduced = scope.verb("introduce")
    put = scope.verb("put", "move", "join", "offer")
    together = scope.plain("together", "with")
    male = scope.plain("male", "boy", "boyfriend", "suitor", "mm", "lad", "fella")
    parted = scope.plain("separated", "separate", "parted", "separating") or (
        scope.verb("split") if scope.plain("pair", "pairing") else None
    )
    several = sum(len(item.name.subjects) for item in scope.names if item.name) > 1
    groups = bool(scope.names) and all(item.name and item.name.groups for item in scope.names)
    in_with = _in_with(scope)
    joined = put and together and several and not scope.prey() and scope.plain("in", "together")
    with_male = put and male and scope.names and not scope.prey()
    apart = parted and (several or male)
    if not (
        verb
        or (introduced and several)
        or (introduced and male)
        or (joined and not groups)
        or with_male
        or apart
        or in_with
    ):
        return []
    draft = scope.draft("pairing", verb or introduced or put or parted, together, male)
    scope.use(*[item for item in scope.free if item.verb() or item.thing() or item.sense("sign")])
    return [draft]


def _in_with(scope: Scope) -> bool:
    """ "bert in with june", "bert and june go in together": two single animals and nothing else between them."""
    items = scope.clause.items
    several = sum(len(item.name.subjects) for item in scope.names if item.name) == 2
    if several and scope.plain("together") and scope.plain("in") and _all_animals(scope) and not scope.prey():
        return True
    for position in range(1, len(items) - 1):
        pair = (
            items[position - 1].kind == "name"
            and items[position].text == "in"
            and items[position + 1].text == "with"
            and position + 2 < len(items)
            and items[position + 2].kind == "name"
        )
        put_to = (
            items[position - 1].verb("put")
            and items[position].text in {"to", "with"}
            and items[position + 1].kind == "name"
            and any(item.kind == "name" for item in items[:position])
        )
        if put_to and not scope.prey():
            return not any(
                item.name and (item.name.groups or item.name.how != "name") for item in scope.names
            ) and _all_animals(scope)
        if pair and not scope.prey():
            return not all(item.name and item.name.groups for item in (items[position - 1], items[position + 2]))
    return False


def _all_animals(scope: Scope) -> bool:
    return all(item.name is not None and item.name.animals for item in scope.names)
