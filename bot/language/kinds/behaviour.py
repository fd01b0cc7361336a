"""Observations: signs of behaviour, several of one sighting in one draft; and equipment, which is a note."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import value_of

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.drafts import Draft, Scope
    from bot.language.items import Item

FULL = {"fat", "plump", "swollen", "huge"}
DULL = {"dark", "shiny", "dull", "black"}
SHAPES = FULL | DULL
NOUNS_TOO = {"hide", "cut", "shed", "climbing", "missing"}
SEEN_THINGS = ("exuvia", "mould", "substrate", "dampness", "body", "pairing")
EQUIPMENT_DONE = ("new", "installed", "fitted", "swapped", "extra", "another", "broke", "broken", "died")
PLACES = ("in ", "under ", "behind ", "down ")
SPREAD = {
    "stretched",
    "spread",
    "sprawled",
    "worn",
    "flaked",
    "passed",
    "laid",
    "chilled",
    "conked",
    "zonked",
    "freaked",
}
"""What "out" only goes on."""

PESTS = {"mites", "mould"}
CLEARED = {"are gone", "is gone", "all gone", "gone", "cleared", "cleared up", "has gone", "have gone"}
WEB_OWNERS = {"the", "her", "his", "its", "their", "sperm"}
NOUN_LEADS = {"the", "her", "his", "its", "their", "a", "new", "cork"}


def observation(scope: Scope) -> list[Draft]:
    """Signs seen in the clause."""
    items = _sign_items(scope)
    signs = _signs(scope, items)
    together = scope.clause.plain("together")
    if together and _dining(scope) and "eating_together" not in signs:
        items.append(together)
        signs.append("eating_together")
    signs = _without_place_of_trouble(items, signs)
    signs = _without_place_of_work(items, signs)
    if "fighting" in signs and _over_something(scope, items):
        scope.use(scope.prey(), *scope.numbers)
    if _only_when(scope, signs):
        scope.use(*items)
        return []
    if signs and set(signs) <= PESTS and any(text in CLEARED for text in scope.clause.texts):
        scope.use_where(lambda item: item.text in CLEARED)
        return [scope.draft("note", *items)]  # "the mites are gone"
    if not signs or _told_already(scope, items, signs):
        return []
    draft = scope.draft("observation", *items).put("signs", signs, *items)
    scope.use_where(lambda item: item.verb("see", "get", "check", "take", "leave") or item.thing(*SEEN_THINGS))
    scope.use(*scope.numbers)
    return [draft]


def _sign_items(scope: Scope) -> list[Item]:
    """The words for signs, and "fat and dark" where both are said."""
    items = [item for item in scope.free if item.sense("sign") and item.kind == "word" and _is_sign(scope, item)]
    shape = [item for item in scope.free if item.text in SHAPES]
    texts = {item.text for item in shape}
    return items + [item for item in shape if item not in items] if FULL & texts and DULL & texts else items


def _dining(scope: Scope) -> bool:
    clause = scope.clause
    return bool(clause.verb("feed", "eat") or clause.thing("feeding") or clause.senses("outcome", "ate"))


def _over_something(scope: Scope, items: list[Item]) -> bool:
    return scope.clause.plain("over") is not None or any(item.text.endswith(" over") for item in items)


def _told_already(scope: Scope, items: list[Item], signs: list[str]) -> bool:
    """Whether the signs are denied, explain a pairing, or belong to the sighting told before; then they are used up."""
    before = scope.before
    where = all(item.text.startswith(PLACES) or item.text.startswith("on ") for item in items)
    silk = (
        before is not None and before.kind == "sac" and signs == ["webbing"] and not _seen_anew(scope)
    )  # "ate their sac, nothing left but silk"
    lies = signs in (["hiding"], ["out"]) and (where or before is None or before.kind != "count")
    of_no_animal = (lies or silk) and _lies_there(scope, before)
    if of_no_animal or (not scope.names and _denied_here(scope, items)):
        scope.use(*items)
        return True
    if before is None or scope.names:
        return False
    if before.kind == "pairing" and "injured" not in signs:
        scope.use_all()
        return True
    same_time = not scope.clause.dates and not scope.clause.plain("now")
    if before.kind != "observation" or before.negated or not same_time:
        return False
    told = list(dict.fromkeys([*before.fields["signs"], *signs]))
    where = any(item.sense("sign", "out") for item in items)
    before.fields["signs"] = _without_place_of_trouble(items, told) if where else told
    before.made_by["signs"] += items
    scope.use_all()
    return True


def _seen_anew(scope: Scope) -> bool:
    """Whether it was seen at a time of its own, of one who is pointed at: "… and today she is webbing up"."""
    return bool(scope.clause.dates) or scope.clause.plain("now", "she", "he") is not None


def _only_when(scope: Scope, signs: list[str]) -> bool:
    """Whether a sign only says when the keeper could do something: "measured her while she was out of the box"."""
    before = scope.before
    handled = before is None or before.kind in {"cleaning", "measurement", "move"}
    away = bool(signs) and set(signs) <= {"out", "escaped", "active"}
    return scope.clause.joiner in {"while", "whilst"} and handled and away


OUT_OF_SKIN = {"came out", "come out", "comes out"}
"""How a moult ended, right after it: "moulted, came out beautifully"."""


def _lies_there(scope: Scope, before: Draft | None) -> bool:
    """Whether it is the skin or the sac told before that was there: "found her shed in her hide", "a sac, right behind the cork"."""
    if before is None:
        return False
    if before.kind in {"sac", "count"}:
        return not scope.names
    if before.kind == "moult" and any(item.text in OUT_OF_SKIN for item in scope.clause.items):
        return before.clause is scope.clause or not (scope.names or scope.clause.dates)
    skin = before.kind == "moult" and scope.clause.thing("exuvia") is not None
    return skin and (before.clause is scope.clause or not scope.names)


def _denied_here(scope: Scope, items: list[Item]) -> bool:
    """Whether a sign is denied of nobody in particular ("nobody was hurt"), which tells nothing."""
    words = (item for item in scope.clause.items if item.kind == "word" and item.sense("negation"))
    negation = next((item for item in words if not item.sense("sign")), None)
    return negation is not None and all(item.start > negation.start for item in items)


def _signs(scope: Scope, items: list[Item]) -> list[str]:
    """What the words stand for, each once; two words for a full, dull body are premoult."""
    signs = list(dict.fromkeys(value_of(item, "sign") for item in items if item.sense("sign")))
    shaped = len({item.text for item in scope.free if item.text in SHAPES}) > 1
    if shaped and any(item.text in SHAPES for item in items) and "premoult" not in signs:
        signs.append("premoult")
    if {"premoult", "webbing"} <= set(signs) and (_walled_in(items) or _about_moult(scope)):
        signs.remove("webbing")
    hidden = any(item.sense("sign", "hiding") and item.text.startswith(("no", "not", "none")) for item in items)
    if {"hiding", "out"} <= set(signs) and hidden:
        signs.remove("out")  # "not out"
    return signs


def _without_place_of_trouble(items: list[Item], signs: list[str]) -> list[str]:
    """The signs without the "out" of "mould on top" and "fighting on the surface": it says where, not who was out."""
    if {"mould", "mites"} & set(signs) and any(
        item.sense("sign", "hiding") and item.text.startswith(PLACES) for item in items
    ):
        signs = [sign for sign in signs if sign != "hiding"]
    trouble = {"fighting", "mould", "mites"} & set(signs)
    where = all(item.text.startswith("on ") for item in items if item.sense("sign", "out"))
    return [sign for sign in signs if sign != "out"] if trouble and where else signs


def _without_place_of_work(items: list[Item], signs: list[str]) -> list[str]:
    """The signs without the "hiding" of "digging under the bark" and "fighting over a hide": it says where, or over what."""
    kicked = all(item.text.startswith("up ") for item in items if item.sense("sign", "out"))
    if "burrowing" in signs and kicked:
        signs = [sign for sign in signs if sign != "out"]  # "digging, soil kicked right up the glass"
    at_work = {"burrowing", "fighting", "webbing", "active", "eating_together"} & set(signs)
    where = all(item.text.startswith(PLACES) or item.text == "hide" for item in items if item.sense("sign", "hiding"))
    return [sign for sign in signs if sign != "hiding"] if at_work and where else signs


def _walled_in(items: list[Item]) -> bool:
    """Whether the webbing is that of the moult: "closed herself in with webbing"."""
    moulting = [item.text for item in items if item.sense("sign", "premoult")]
    return any(" in" in text or text.startswith(("sealed", "sealing", "webbed", "closed")) for text in moulting)


def _about_moult(scope: Scope) -> bool:
    return any(item.thing("exuvia") or item.text in {"before", "ahead"} for item in scope.clause.items)


def _is_sign(scope: Scope, item: Item) -> bool:
    """Whether a word is a sign here: not one of before, nor a loose word ("out", "web") of something else."""
    clause = scope.clause
    if item.text == "all out":
        return not clause.verb("put", "remove", "take", "move", "sell", "offer")
    before_that = clause.plain("before")
    if before_that and before_that.start < item.start and not clause.thing("exuvia"):
        return False
    if _is_over(clause.before(item)) or _keeper_was_bitten(clause, item) or _looked_for(clause, item):
        return False
    if item.text == "out":
        return _is_outside(scope, item)
    lead = clause.items[clause.index(item) - 1] if clause.index(item) else None
    if item.text in {"web", "webs"}:
        return lead is None or lead.text not in WEB_OWNERS or clause.plain("everywhere") is not None
    wound = item.text == "cut" and [other.text for other in clause.after(item)[:1]] == [
        "on"
    ]  # "with a cut on his nose"
    return wound or item.text not in NOUNS_TOO or lead is None or lead.text not in NOUN_LEADS


def _is_over(before: tuple[Item, ...]) -> bool:
    """Whether a sign is told as past by the words before it: "out of premoult", "no longer hiding"."""
    texts = [item.text for item in before[-2:]]
    return texts in (["out", "of"], ["no", "longer"], ["not", "in"]) or texts[-1:] == ["no longer"]


def _looked_for(clause: Clause, item: Item) -> bool:
    """Whether it was only looked for: "checked drawer 2 for mites"."""
    lead = clause.before(item)[-1:]
    return bool(lead) and lead[0].text == "for" and clause.verb("check") is not None


def _keeper_was_bitten(clause: Clause, item: Item) -> bool:
    """Whether "bitten by" tells of the keeper."""
    following = clause.after(item)[:1]
    return item.text in {"bitten", "nipped"} and bool(following) and following[0].text == "by"


def _is_outside(scope: Scope, out: Item) -> bool:
    """Whether "out" says where an animal was, and is no part of "out of", "took out" or "out tub 4"."""
    before, following = scope.clause.before(out), scope.clause.after(out)
    lead = before[-1] if before else None
    if following and (following[0].text == "of" or following[0].kind == "name"):
        return False
    dried = any(item.text in {"dried", "drying", "dry", "dries"} for item in before[-2:])  # "it had dried right out"
    if dried or (lead is not None and lead.text in SPREAD):
        return False
    phrasal = lead is not None and lead.verb() and not lead.verb("see", "get") and not lead.sense("sign")
    return not phrasal and not scope.clause.verb("remove", "take", "move", "sell", "put")


def equipment(scope: Scope) -> list[Draft]:
    """A note on things put in or taken out of a place: "new heat mat on the scorpion box"."""
    thing = scope.thing("equipment")
    if scope.clause.thing("exuvia"):
        return []  # "found two sheds stuck to the lid"
    verb = scope.verb("buy", "change", "put", "offer", "move", "remove")
    done = scope.plain(*EQUIPMENT_DONE) or verb
    if (
        thing is None
        or done is None
        or not scope.names
        or scope.prey()
        or scope.clause.senses("sign", "webbing", "burrowing")
    ):
        return []
    draft = scope.draft("note", thing)
    scope.use_all()
    return [draft]
