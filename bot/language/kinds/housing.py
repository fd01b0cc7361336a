"""Kinds of upkeep: moves, cleaning, water dishes, misting."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import Draft, Scope, position

if TYPE_CHECKING:
    from bot.language.items import Item

TO = {"to", "into", "onto", "in", "inside", "back", "over", "across"}
DETERMINERS = {"the", "a", "an", "her", "his", "its", "their", "my", "our", "that", "this", "some", "own"}
STOPS = {"with", "because", "as", "so", "since", "who", "which", "that", "for", "at", "today", "now", "by", "where", "after", "before", "when", "while", "too", "again", "finally", "please", "just", "once", "from", "if", "yet", "instead", "to", "no", "not", "until", "till"}  # fmt: skip
WATER_VERBS = ("fill", "change", "offer", "remove", "get", "put", "clean", "spotclean", "buy", "take")


def move(scope: Scope) -> list[Draft]:
    """Rehoused, split, joined: `to` where the text names a place, `count` of those moved."""
    if _more_of_move(scope):
        return []
    if scope.before and scope.before.kind == "pairing" and (scope.before.clause is scope.clause or not scope.names):
        return []
    if scope.before and scope.before.kind == "arrival" and scope.verb("join", "put", "move") and scope.plain("they", "them", "it", "others"):
        scope.use(*scope.free)
        return []
    if scope.before and scope.before.kind == "move" and "to" not in scope.before.fields and scope.verb("put", "move") and scope.plain("them", "those", "it") and scope.names:
        to = _destination(scope, scope.verb("put", "move"))
        if to:
            _set_destination(scope.before, to, scope)
            scope.use(*scope.free)
            return []
    if scope.before and scope.before.kind == "sac" and scope.verb("put", "move") and scope.plain("them", "it") and not scope.names:
        scope.use(*scope.free)
        return []
    verb = scope.verb("move", "split", "join")
    if verb and scope.thing("equipment") and not scope.names:
        verb = None  # "switched the heat mat off"
    if verb and not scope.planned and verb.forms == {"ing"} and not scope.names:
        verb = None  # "they keep moving" is the animals' doing
    if verb is None:
        verb = _put_somewhere(scope) or _went_into(scope)
    noun = scope.thing("moving") if verb is None and (scope.planned or scope.verb("get", "do", "offer")) else None
    if verb is None and noun is None:
        return []
    to = _destination(scope, verb or noun)
    one_of = _one_of_several(scope)
    draft = scope.draft("move", verb, noun)
    if verb and verb.verb("join") and any(item.start < verb.start for item in draft.names):
        draft.names = [item for item in draft.names if item.start < verb.start]
    if one_of:
        draft.missing.append("to")
        draft.choices = one_of
        draft.names = [item for item in draft.names if item.name is None or item.name.subjects != one_of]
        to = None
        scope.use(*scope.free)
    if to is not None:
        _set_destination(draft, to, scope)
    number = scope.number() or next((item for item in scope.numbers if item.quantity and not item.quantity.unit and item.text == "one"), None)
    if number and number.quantity:
        draft.put("count", number.quantity.count(), number)
        scope.use(number)
    scope.use(*[item for item in scope.free if item.verb("get", "offer", "put", "move", "split", "remove", "buy") or item.thing("moving") or item.sense("sign", "out") or item.thing("young")])
    return [draft]


def _put_somewhere(scope: Scope) -> Item | None:
    verb = scope.verb("put") or scope.verb("offer") if scope.verb("put") else scope.verb("put")
    if verb is None or scope.prey() or scope.thing("water", "dampness", "substrate", "leftovers", "mould") or scope.plain("male"):
        return None
    after = scope.clause.after(verb)
    leads = [item for item in after if item.text in TO]
    moved = any(item.kind == "name" or item.text in {"him", "her", "it", "them", "one", "some"} or item.kind == "number" for item in after)
    named_before = bool(scope.clause.before(verb)) and any(item.kind == "name" for item in scope.clause.before(verb))
    return verb if leads and (moved or named_before) else None


def _went_into(scope: Scope) -> Item | None:
    """ "mabel goes into the tall box", "went into the spare": a move without a verb of moving."""
    went = scope.plain("go", "goes", "went", "gone", "going")
    following = [item.text for item in scope.clause.after(went)[:2]] if went else []
    led = bool({"into", "to", "in"} & set(following))
    return went if went and led and scope.names and not scope.prey() and not scope.sense("sign") else None


def _one_of_several(scope: Scope) -> tuple[str, ...]:
    """ "moved her into one of the cubes": which one is not said; the places to choose from."""
    items = scope.clause.items
    for position in range(len(items) - 2):
        if items[position].text in TO and items[position + 1].text == "one" and items[position + 2].text == "of":
            named = next((item.name for item in items[position + 3 : position + 6] if item.name), None)
            return named.subjects if named else ("",)
    return ()


def _more_of_move(scope: Scope) -> bool:
    """ "…, 14 in", "split villa, took 12 out", "…, into the long box": more of the move told before."""
    before = scope.before
    if before is None or before.kind != "move" or before.negated or scope.prey() or scope.thing("leftovers", "water", "exuvia", "death", "sac"):
        return False
    number = scope.number()
    went = scope.verb("remove", "take", "move", "put", "arrive") or scope.plain("in", "over", "across", "went", "moved", "total", "made", "altogether", "out", "of")
    if number is not None and number.quantity and went and "count" not in before.fields and not scope.names and not scope.verb("count", "see", "feed", "eat"):
        before.put("count", number.quantity.count(), number)
        scope.use(*scope.free)
        return True
    first = scope.clause.items[0]
    if first is number and number is not None and number.quantity and "count" not in before.fields and scope.plain("to", "into", "in", "inside"):
        before.put("count", number.quantity.count(), number)
        to = _destination(scope, None)
        if to and "to" not in before.fields:
            _set_destination(before, to, scope)
        scope.use(*scope.free)
        return True
    if first.text in {"to", "into", "in"} and "to" not in before.fields and "to" not in before.missing and number is None:
        to = _destination(scope, None)
        if to:
            _set_destination(before, to, scope)
            return True
    return False


def _destination(scope: Scope, verb: Item | None) -> list[Item] | None:
    """The items of the place moved to: what follows "to", "into" or "in", up to what ends it."""
    clause = scope.clause
    start = position(clause, verb) if verb else 0
    for index in range(start, len(clause.items)):
        item = clause.items[index]
        if item.text not in TO or item.kind == "name":
            continue
        rest = list(clause.items[index + 1 :])
        while rest and (rest[0].text in TO | DETERMINERS or rest[0].text in {"of", "with"} or (rest[0].quantity and rest[0].quantity.article)):
            rest = rest[1:]
        place = _place_words(rest)
        if place and not (item.text == "in" and place[0].kind in {"date", "number"}):
            return place
    return None


def _place_words(rest: list[Item]) -> list[Item]:
    if rest and rest[0].text in {"either", "maybe"}:
        rest = [item for item in rest[1:] if item.text not in TO | DETERMINERS]
    if rest and rest[0].kind == "name":
        alternatives = [item for item in rest[1:5] if item.kind == "name"]
        return [rest[0], *alternatives] if len(rest) > 1 and rest[1].text == "or" and alternatives else rest[:1]
    words: list[Item] = []
    for item in rest:
        if item.kind in {"date", "mark"} or item.text in STOPS or (item.kind == "name" and words):
            break
        words.append(item)
    if any(item.verb("pair") for item in words[:1]):
        return []
    return words if any(item.kind in {"plain", "word"} and len(item.text) > 1 for item in words) else []


def _set_destination(draft: Draft, to: list[Item], scope: Scope) -> None:
    name = to[0].name
    if name is not None:
        draft.names = [item for item in draft.names if item not in to]
        candidates = name.subjects if len(to) == 1 else tuple(subject for item in to if item.name for subject in item.name.subjects)
        if name.how == "unknown":
            draft.put("to", scope_text(to), *to)
        elif name.how == "either" or len(to) > 1:
            draft.missing.append("to")
            draft.choices = candidates
        else:
            draft.put("to", candidates[0], *to)
    else:
        draft.put("to", scope_text(to), *to)
    scope.use(*to)


def scope_text(items: list[Item]) -> str:
    """The words of some items as they were written, in lower case."""
    return " ".join(item.raw.lower() for item in items)


def cleaning(scope: Scope) -> list[Draft]:
    """Spot clean, leftovers or mould out, full change of substrate."""
    verb = scope.verb("clean", "spotclean", "remove", "change")
    rubbish = scope.thing("leftovers") or _uneaten(scope)
    full = scope.thing("fullclean")
    spot = scope.thing("spotclean")
    noun = scope.thing("cleaning", "cleanout")
    if _is_watering(scope):
        return []
    evidence = _cleaned(scope, verb, rubbish, full, spot, noun)
    if not evidence:
        return []
    draft = scope.draft("cleaning", *evidence)
    size = _scope_of(scope, verb, rubbish, full, spot)
    if size:
        draft.put("scope", size, *evidence)
    scope.use(*[item for item in scope.free if item.thing("leftovers", "mould", "substrate", "exuvia", "fullclean", "spotclean", "cleanout", "dampness") or item.sense("scope") or item.sense("sign", "mould", "out") or (rubbish and (item.prey or item.sense("outcome") or item.kind == "number" or item.verb("take", "leave")))])
    before = scope.before
    if before and before.kind == "cleaning" and not scope.names and "scope" not in before.fields and size and not before.negated:
        before.put("scope", size, *evidence)
        return []
    return [draft]


def _uneaten(scope: Scope) -> Item | None:
    """Prey that is taken out again: "pulled the leftover roach", "took the cricket out"."""
    prey = scope.prey()
    if prey is None or scope.verb("remove") is None:
        return None
    return prey


def _cleaned(scope: Scope, verb: Item | None, rubbish: Item | None, full: Item | None, spot: Item | None, noun: Item | None) -> list[Item]:
    done = scope.planned or scope.verb("get", "offer", "put", "see") or scope.plain("done", "did", "do", "out", "does") or scope.clause.joiner in {",", ":"} or len(scope.names) > 0
    if verb and verb.verb("clean", "spotclean") and (scope.planned or verb.sense("verb").form != "third"):  # type: ignore[union-attr]
        return [item for item in (verb, rubbish, full) if item]
    if verb and verb.verb("change") and (scope.thing("substrate") or full):
        return [item for item in (verb, scope.thing("substrate"), full) if item]
    if verb and verb.verb("remove") and (rubbish or scope.thing("mould", "exuvia") or scope.sense("sign", "mould")):
        return [item for item in (verb, rubbish, scope.thing("mould")) if item]
    if verb and verb.verb("remove") and _it_was_rubbish(scope, verb):
        return [verb]
    if rubbish and rubbish.thing("leftovers") and (scope.plain("out", "gone", "up") or scope.verb("take", "see", "get")) and not scope.sense("outcome", "partly"):
        return [rubbish]
    found = full or spot or noun
    return [found] if found and done else []


def _it_was_rubbish(scope: Scope, verb: Item) -> bool:
    """ "picked it out" right after mould or food left is a spot clean."""
    before = scope.before
    pronoun = scope.plain("it", "them", "that", "both") or verb.text.endswith("out")
    if before is None or scope.numbers or scope.names:
        return False
    mouldy = before.kind == "observation" and "mould" in before.fields.get("signs", ())
    left = before.kind == "feeding" and before.fields.get("outcome") in {"refused", "partly"}
    return bool(pronoun) and (mouldy or left)


def _scope_of(scope: Scope, verb: Item | None, rubbish: Item | None, full: Item | None, spot: Item | None) -> str | None:
    if full or (verb and verb.verb("change")) or scope.sense("scope", "full"):
        return "full"
    removing = verb and verb.verb("remove")
    if spot or rubbish or removing or (verb and verb.verb("spotclean")) or scope.sense("scope", "spot") or scope.thing("mould"):
        return "spot"
    return None


def _is_watering(scope: Scope) -> bool:
    water = scope.thing("water", "watering")
    if water is None or scope.thing("leftovers", "fullclean", "substrate"):
        return False
    return scope.verb("fill", "change", "offer", "remove") is not None and scope.verb("clean") is None


def watering(scope: Scope) -> list[Draft]:
    """Dish filled, changed, taken out; water given."""
    verb = next((item for item in scope.free if item.verb("water") and (scope.planned or item.sense("verb").form == "past")), None)  # type: ignore[union-attr]
    thing = scope.thing("water", "watering")
    if verb is None and thing is None:
        return []
    act = scope.verb(*WATER_VERBS) or scope.plain("done", "did", "full", "topped", "fresh", "do", "sorted", "new")
    if verb is None and act is None and not (thing and thing.thing("watering")) and not scope.planned and scope.clause.joiner not in {"+", "&"}:
        if not (thing and thing.thing("water") and _bare_list(scope)):
            return []
    if scope.verb("mist") or (scope.thing("dampness") and not scope.verb("fill")):
        return []
    draft = scope.draft("watering", verb, thing, act if act and act.kind == "word" else None)
    scope.use(*[item for item in scope.free if item.thing("water", "watering") or item.verb("fill", "clean", "change", "get", "offer", "remove", "put", "water")])
    return [draft]


def _bare_list(scope: Scope) -> bool:
    """ "B: 3 crickets, water" — a clause that is nothing but water, after something done."""
    return scope.before is not None and all(item.thing("water") or item.kind == "name" or item.sense("filler") for item in scope.free)


def misting(scope: Scope) -> list[Draft]:
    """Spraying, or wetting the substrate."""
    verb = next((item for item in scope.free if item.verb("mist") and not _adjective(scope, item)), None)
    noun = scope.thing("misting")
    poured = scope.plain("poured", "pour", "squirted", "squirt", "trickled", "dribbled")
    if verb is None and poured and (scope.thing("water", "dampness") or scope.names):
        verb = poured
    act = scope.planned or scope.verb("get", "offer", "put", "take") or scope.plain("done", "did", "do") or scope.sense("amount") or scope.clause.joiner in {",", "and", ":", "+"}
    if verb is None and not (noun and (act or scope.names)):
        return []
    draft = scope.draft("misting", verb, noun)
    amount = _amount(scope)
    if amount:
        draft.put("amount", amount[0], amount[1])
    scope.use(*[item for item in scope.free if item.thing("dampness", "misting", "water", "substrate") or item.sense("amount") or item.verb("get", "offer", "mist", "put", "fill") or (item.quantity and item.quantity.article)])
    return [draft]


def _adjective(scope: Scope, item: Item) -> bool:
    """ "the boxes are still wet" says how it is, not what was done."""
    before = scope.clause.before(item)
    return item.text in {"wet", "damp"} and not (scope.thing("dampness") or (scope.planned and not before)) and (not before or before[-1].text not in {"to"})


def _amount(scope: Scope) -> tuple[str, Item] | None:
    for item in scope.clause.items:
        sense = item.sense("amount")
        if sense and not (sense.value == "heavy" and item.text in {"well", "big"} and scope.clause.plain("as")):
            return sense.value, item
    return None


def amount_alone(scope: Scope) -> list[Draft]:
    """ "t2 just lightly" after a misting."""
    before = scope.before
    amount = scope.sense("amount")
    if amount is None or before is None or before.kind != "misting":
        return []
    others = [item for item in scope.free if item.sense("verb") and not item.sense("amount")]
    if others or scope.sense("sign"):
        return []
    if not scope.names:
        before.fields.setdefault("amount", amount.sense("amount").value)  # type: ignore[union-attr]
        scope.use(amount)
        return []
    draft = scope.draft("misting", amount)
    return [draft.put("amount", amount.sense("amount").value, amount)]  # type: ignore[union-attr]
