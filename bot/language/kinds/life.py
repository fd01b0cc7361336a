"""Kinds that change how many there are or how big they are: moults, arrivals, departures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import Draft, nearest_number, quantity_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.drafts import Scope
    from bot.language.items import Item

BAD_MOULT = {"bad", "stuck", "failed", "mid", "during", "wet", "while", "halfway", "botched", "from"}
BEFORE_MOULT = ("before", "ahead", "soon", "due", "coming", "imminent", "towards")
GIVEN = (
    "gave me",
    "gave us",
    "given me",
    "given us",
    "sold me",
    "sold us",
    "brought me",
    "brought us",
    "sent me",
    "sent us",
)
OTHER_PEOPLE = {
    "someone", "somebody", "bloke", "guy", "lad", "lady", "woman", "man", "buyer", "customer", "mate", "friend", "colleague", "neighbour",
    "neighbor", "dealer", "shop", "breeder", "kid", "girl", "fella", "chap", "cousin", "brother", "sister", "nephew", "niece", "uncle",
}  # fmt: skip
NO_ANIMALS = ("water", "feeding", "misting", "temperature", "humidity")
"""What may be given to somebody, or fall to a value, and is no animal that leaves."""

ADDED = {"add", "added", "adding", "picked up", "picking up"}


def moult(scope: Scope) -> list[Draft]:
    """A shed found or seen."""
    verb, noun = scope.verb("moult"), scope.thing("exuvia")
    if verb and verb is noun and verb.text in {"moult", "molt"} and scope.numbers:
        verb = None  # "2 moults" are counted things
    word = noun or verb
    if word is None or _still_to_come(scope, word, verb) or _more_of_story(scope, word, noun):
        return []
    number = _shed_number(scope, word)
    if number is not None and _numbers_before(scope, number):
        return []
    draft = scope.draft("moult", verb, noun, scope.verb("see", "get", "remove"), scope.verb("eat") if noun else None)
    if number is not None:
        draft.put("number", quantity_of(number).count(), number)
        scope.use(number)
    return [draft]


def _numbers_before(scope: Scope, number: Item) -> bool:
    """Whether the sheds are those of the moult just told ("B moulted, 3 skins"); then their number is put there."""
    before = scope.before
    if before is None or before.kind != "moult" or "number" in before.fields or scope.names:
        return False
    if before.clause is scope.clause or scope.clause.dates:
        return False
    before.put("number", quantity_of(number).count(), number)
    scope.use_all()
    return True


def _still_to_come(scope: Scope, word: Item, verb: Item | None) -> bool:
    lead = scope.clause.before(word)[-1:]
    about_to = not scope.planned and bool(lead) and lead[0].text == "to"
    recalled = {"since", "after", "before", "until", "till"} & {item.text for item in scope.clause.before(word)[-2:]}
    if recalled and verb is None:
        return True  # "her first meal since the moult"
    coming = scope.clause.plain("way") is not None and (verb is None or "past" not in verb.forms)  # "moult on the way"
    ahead = coming or (verb is None and scope.clause.plain(*BEFORE_MOULT))
    return bool(about_to or scope.sense("sign", "premoult") or ahead)


def _more_of_story(scope: Scope, word: Item, noun: Item | None) -> bool:
    """Whether the shed only explains a death, or was found of a moult, told before."""
    before = scope.before
    if before is not None and before.kind == "death" and BAD_MOULT & set(scope.clause.texts):
        before.put("cause", " ".join(scope.clause.texts), word)
        scope.use_all()
        return True
    told = before is not None and before.kind == "moult" and not before.negated
    found = told and noun is not None and not scope.names and not scope.numbers
    if found:
        scope.use(word)
    return found


def _shed_number(scope: Scope, word: Item) -> Item | None:
    """How many sheds: an article counts one only where nothing but plain words stand between it and the shed."""
    number = nearest_number(scope, word, articles=True)
    if number is None or not quantity_of(number).article:
        return number
    first, last = scope.clause.index(number), scope.clause.index(word)
    between = scope.clause.items[first + 1 : last]
    close = first < last and all(item.kind == "plain" for item in between)
    return number if close and word.thing("exuvia") else None


def arrival(scope: Scope) -> list[Draft]:
    """Bought, hatched in, given to the keeper."""
    if _fetched(scope) is not None:
        return []
    verb = _verb_of_arriving(scope)
    new = scope.plain("new", "more", "extra", "another")
    got = _got_new(scope) if new else None
    if (verb is None and got is None) or (verb and _arrives_in_words_only(scope, verb)):
        return []
    number = scope.number() or scope.number(articles=True)
    draft = scope.draft("arrival", verb or got, new)
    if number is not None and not _is_loose_article(scope, number):
        draft.put("number", quantity_of(number).count(), number)
        scope.use(number)
    scope.use(scope.prey())
    return [draft]


def _verb_of_arriving(scope: Scope) -> Item | None:
    verb = scope.verb("buy", "arrive")
    if verb is None and scope.plain("in") and scope.prey() and scope.number() and not scope.names:
        verb = scope.verb("get")
    verb = verb or _given_to_keeper(scope)
    hatched_in = scope.plain("in") and not scope.thing("sac", "eggs")
    return verb or (scope.verb("hatch") if hatched_in else None)


def _given_to_keeper(scope: Scope) -> Item | None:
    """The verb of "a friend gave me two stilts"."""
    verb = scope.verb("offer", "sell", "giveaway", "lay")
    words = [item.text for item in (verb, *scope.clause.after(verb)[:1]) if verb is not None] if verb else []
    given = " ".join(words).startswith(GIVEN)
    return verb if given and scope.numbers and (scope.names or scope.prey()) else None


def _got_new(scope: Scope) -> Item | None:
    """The verb of "got 3 new ones for B"."""
    known = (scope.names or scope.prey()) and not scope.clause.plain("to")
    if scope.names and scope.prey() and scope.verb("offer", "put"):
        return None  # "gave B another cricket"
    if scope.thing("equipment", "substrate", "fullclean", "dampness", "water"):
        return None
    return scope.verb("get", "offer", "put") if scope.numbers and known else None


def _arrives_in_words_only(scope: Scope, verb: Item) -> bool:
    """Whether a verb of arriving tells of a move, a count or a feeding."""
    before = scope.before
    counted = scope.thing("count") is not None or (before is not None and before.kind in {"move", "count"})
    came = verb.text in {"came", "came in", "turned up"}
    several_told = any(not quantity_of(number).article for number in scope.numbers)
    landed = verb.text in {"landed", "lands"} and scope.clause.plain("it") is not None  # "took it the second it landed"
    if landed or scope.thing("exuvia"):
        return True
    several = several_told and (scope.names or scope.prey() or scope.thing("young"))
    added = verb.text in ADDED and (not (scope.numbers and scope.names) or _adds_things(scope))
    return (counted and not verb.verb("buy")) or (came and not several) or added or _adds_food(scope, verb)


def _adds_things(scope: Scope) -> bool:
    """Whether furniture was added and no animals: "added a new piece of bark to tub 2"."""
    return bool(scope.thing("equipment", "substrate", "dampness", "water"))


def _adds_food(scope: Scope, verb: Item) -> bool:
    """Whether "added 3 crickets to B" is a feeding; crickets of a colony of that name are none."""
    named = any(not item.prey for item in scope.names)
    bought = (
        verb.text.startswith("picked") and scope.clause.plain("for") is not None
    )  # "picked up 250 mealworms for the tray"
    return bool(scope.prey()) and named and not bought and verb.text.startswith(("add", "picked"))


def _is_loose_article(scope: Scope, number: Item) -> bool:
    """Whether an article belongs to "a bit", "a few", "a load"."""
    following = scope.clause.after(number)[:1]
    return quantity_of(number).article and bool(following) and following[0].text in {"bit", "few", "load"}


def departure(scope: Scope) -> list[Draft]:
    """Sold, given away, lent."""
    away = any(item.text == "away" for item in scope.free)
    verb = scope.verb("sell", "giveaway") or _fetched(scope) or _bartered(scope)
    if verb is None and (away or _handed_over(scope)):
        verb = scope.verb("offer")
    if verb is None:
        return []
    number = scope.number() or scope.number(articles=True)
    draft = scope.draft("departure", verb)
    if number is not None and (not quantity_of(number).article or _counts_animals(scope, number)):
        draft.put("number", quantity_of(number).count(), number)
        scope.use(number)
    draft.names = [item for item in draft.names if not _given_to(scope, item)] or draft.names
    scope.use_where(lambda item: item.verb("pair", "offer", "get", "put") or item.thing("pairing", "young"))
    return [draft, *_had_in_exchange(scope)]


def _bartered(scope: Scope) -> Item | None:
    """The verb of "swapped ten of B for three more whips": heads for heads."""
    verb, bartered = scope.verb("change"), scope.clause.plain("for")
    if (
        verb is None
        or bartered is None
        or scope.prey()
        or any(item.thing() and not item.thing("young") for item in scope.free)
    ):
        return None
    sides = scope.clause.before(bartered), scope.clause.after(bartered)
    return verb if all(_has_heads(side) for side in sides) else None


def _has_heads(items: Sequence[Item]) -> bool:
    return any(item.kind == "name" for item in items) and any(item.quantity is not None for item in items)


def _fetched(scope: Scope) -> Item | None:
    """The verb of "somebody picked up 4 of A": they left with who came for them."""
    verb = scope.verb("buy", "take", "remove")
    if verb is None or not scope.numbers or not scope.names or scope.prey():
        return None
    before = {item.text for item in scope.clause.before(verb)}
    return verb if before & OTHER_PEOPLE and not before & {"i", "we"} else None


def _had_in_exchange(scope: Scope) -> list[Draft]:
    """The animals had for those given: "traded 2 of A for 3 of B"."""
    bartered = scope.clause.plain("for")
    after = scope.clause.after(bartered) if bartered else ()
    number = next((item for item in after if item.quantity is not None and item in scope.free), None)
    names = [item for item in after if item.kind == "name"]
    if number is None or not names:
        return []
    scope.use(number)
    arrived = Draft("arrival", scope.clause, names)
    counted = not quantity_of(number).article or _counts_animals(scope, number)
    return [arrived.put("number", quantity_of(number).count(), number) if counted else arrived]


def _handed_over(scope: Scope) -> bool:
    """Whether animals go to somebody who is no animal of ours: "gave 3 of the golds to my cousin"."""
    known = scope.names or (scope.before is not None and scope.before.kind == "departure")
    if scope.prey() or not known or not scope.numbers or scope.thing(*NO_ANIMALS):
        return False
    verb = scope.verb("offer")
    beside = {item.text for item in scope.clause.after(verb)[:3]} if verb else set()
    if beside & OTHER_PEOPLE:
        return True  # "gave a friend 3 from B"
    to = scope.clause.plain("to")
    following = scope.clause.after(to)[:3] if to else ()
    nobody_known = all(item.kind != "name" for item in following)
    return nobody_known and any(item.kind == "plain" or item.text in OTHER_PEOPLE for item in following)


def _counts_animals(scope: Scope, number: Item) -> bool:
    following = scope.clause.after(number)[:1]
    return any(item.kind == "name" or item.thing("young") or _is_animal_word(item) for item in following)


def _is_animal_word(item: Item) -> bool:
    return item.text in {"male", "female", "pair", "juvenile"}


def _given_to(scope: Scope, name: Item) -> bool:
    at = scope.clause.index(name)
    bartered = scope.clause.plain("for")
    had_for_it = bartered is not None and bartered.start < name.start  # "traded 2 of A for a pair of B"
    return had_for_it or (at > 0 and scope.clause.items[at - 1].text == "to")
