"""Moves: rehoused, split, joined."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import Draft, quantity_of
from bot.language.kinds.destinations import TO, destination, set_destination
from bot.language.settling_dates import usable

if TYPE_CHECKING:
    from bot.language.drafts import Scope
    from bot.language.items import Item

MOVED_ONES = {"him", "her", "it", "them", "one", "some"}
STAYING = {"either", "maybe", "probably", "she", "he", "they", "it", "is", "are", "now", "lives", "live", "living"}
"""Words before "in …" where somebody moved is now."""

MORE_MOVED = ("in", "over", "across", "went", "moved", "total", "made", "altogether", "out", "of")


def move(scope: Scope) -> list[Draft]:
    """Rehoused, split, joined: `to` where the text names a place, `count` of those moved."""
    if _more_of_move(scope) or _belongs_before(scope):
        return []
    share = _another_share(scope)
    if share is not None:
        return [share]
    verb = _verb_of_moving(scope)
    noun = scope.thing("moving") if verb is None and (scope.planned or scope.verb("get", "do", "offer")) else None
    if verb is None and noun is None:
        return []
    to = destination(scope, verb or noun)
    one_of = _one_of_several(scope)
    draft = scope.draft("move", verb, noun)
    if verb and verb.verb("join") and any(item.start < verb.start for item in draft.names):
        draft.names = [item for item in draft.names if item.start < verb.start]
    draft.names = _without_company(scope, draft.names) if to is not None else draft.names
    if one_of:
        _leave_open(draft, one_of)
        scope.use_all()
    elif to is not None:
        set_destination(draft, to, scope)
    _count_moved(scope, draft)
    scope.use_where(_goes_with_move)
    return [draft]


def _without_company(scope: Scope, names: list[Item]) -> list[Item]:
    """The names but those who only live where the others went: "6 of A went into tub 4 with the whips"."""
    company = scope.clause.plain("with", "alongside")
    moved = [item for item in names if company is None or item.start < company.start]
    return moved or names


def _another_share(scope: Scope) -> Draft | None:
    """The next share of a split: "split B: 6 into tub 1, 4 into tub 2"."""
    before, number = scope.before, scope.number()
    if before is None or before.kind != "move" or not {"to", "count"} <= set(before.fields) or number is None:
        return None
    opens = scope.clause.items[0] is number and before.clause.number == scope.clause.number
    to = (
        destination(scope, number)
        if opens and scope.plain("to", "into") and not any(item.forms for item in scope.free)
        else None
    )
    if to is None:
        return None
    share = Draft("move", scope.clause, list(before.names)).put("count", quantity_of(number).count(), number)
    set_destination(share, to, scope)
    scope.use_all()
    return share


def _leave_open(draft: Draft, places: tuple[str, ...]) -> None:
    """Which of several places it was must be asked; they are no subjects of the move."""
    draft.missing.append("to")
    draft.choices = places
    draft.names = [item for item in draft.names if item.name is None or item.name.subjects != places]


def _count_moved(scope: Scope, draft: Draft) -> None:
    single = (item for item in scope.numbers if item.quantity and not item.quantity.unit and item.text == "one")
    number = scope.number() or next(single, None)
    if number and number.quantity:
        draft.put("count", number.quantity.count(), number)
        scope.use(number)


def _goes_with_move(item: Item) -> bool:
    moved = item.verb("get", "offer", "put", "move", "split", "remove", "buy") or item.thing("moving", "young")
    return moved or item.sense("sign", "out") is not None


def _belongs_before(scope: Scope) -> bool:
    """Whether putting "them" somewhere is part of the pairing, arrival, move or sac told before."""
    before = scope.before
    if before is None or scope.prey():
        return False
    if before.kind == "pairing":
        return before.clause is scope.clause or not scope.names
    taken_along = {
        "move": _gives_place(scope, before) or _says_so_again(scope, before),
        "arrival": scope.verb("join", "put", "move") and scope.plain("they", "them", "it", "others"),
        "sac": scope.verb("put", "move") and scope.plain("them", "it") and not scope.names,
    }
    if not taken_along.get(before.kind):
        return False
    scope.use_all()
    return True


def _says_so_again(scope: Scope, before: Draft) -> bool:
    """Whether it is the move just told: "B now lives in the tall tank, moved them just now"."""
    same = before.clause.number == scope.clause.number and not scope.names and not scope.numbers
    return (
        same
        and scope.verb("move") is not None
        and scope.clause.plain("them", "it") is not None
        and destination(scope, None) is None
    )


def _gives_place(scope: Scope, before: Draft) -> bool:
    """Whether "put them in tub 4" names the place of the move told before; then it is put there."""
    put = scope.verb("put", "move")
    if (
        before.kind != "move"
        or "to" in before.fields
        or not (put and scope.names and scope.plain("them", "those", "it"))
    ):
        return False
    to = destination(scope, put)
    if to:
        set_destination(before, to, scope)
        number = scope.number()
        if number is not None and number.quantity is not None and "count" not in before.fields:
            before.put("count", number.quantity.count(), number)
    return bool(to)


def _verb_of_moving(scope: Scope) -> Item | None:
    verb = scope.verb("move", "split", "join")
    if verb and not scope.names:
        switched = scope.thing("equipment")  # "switched the heat mat off"
        noun = verb.text in {"shift", "shifts"}  # "long shift today"
        restless = noun or (verb.forms == {"ing"} and not scope.planned)  # "they keep moving" is the animals' doing
        verb = None if switched or restless else verb
    return verb or _put_somewhere(scope) or _went_into(scope) or _bare_move(scope)


def _put_somewhere(scope: Scope) -> Item | None:
    verb = scope.verb("put")
    if verb is None or scope.prey() or scope.plain("male"):
        return None
    if scope.thing("water", "dampness", "substrate", "leftovers", "mould", "equipment"):
        return None
    after = scope.clause.after(verb)
    moved = any(item.kind in {"name", "number"} or item.text in MOVED_ONES for item in after)
    if not moved and any(item.sense("sign", "webbing") for item in after):
        return None  # "have put up new web all over the door"
    named_before = any(item.kind == "name" for item in scope.clause.before(verb))
    return verb if any(item.text in TO for item in after) and (moved or named_before) else None


def _went_into(scope: Scope) -> Item | None:
    """The verb of "mabel goes into the tall box", "went into the spare": a move without a verb of moving."""
    lives = scope.plain("lives", "live") if scope.clause.plain("now") else None  # "B now lives in the tall tank"
    went = scope.plain("go", "goes", "went", "gone", "going") or lives
    following = [item.text for item in scope.clause.after(went)[:2]] if went else []
    led = bool({"into", "to", "in"} & set(following))
    return went if led and scope.names and not scope.prey() and not scope.sense("sign") else None


def _bare_move(scope: Scope) -> Item | None:
    """The word that leads somebody elsewhere where no verb does: "sling 12 into the sick bay", "8 of B over to the cube"."""
    clause = scope.clause
    if (
        any(item.sense("verb") or item.sense("sign") or item.prey for item in clause.items if item.kind == "word")
        or scope.thing()
    ):
        return None
    lead = next((item for item in clause.items if item.text in {"to", "into"} and item.kind == "plain"), None)
    after = [item for item in clause.after(lead) if item.kind == "name"] if lead is not None else []
    moved = [item for item in clause.before(lead) if item.kind == "name"] if lead is not None else []
    goes = (
        len(after) == 1 and after[0].name is not None and len(after[0].name.subjects) == 1 and not after[0].name.animals
    )
    return lead if moved and goes and moved[0].start < after[0].start else None


def _one_of_several(scope: Scope) -> tuple[str, ...]:
    """The places to choose from in "moved her into one of the cubes": which one is not said."""
    items = scope.clause.items
    for at in range(len(items) - 2):
        if items[at].text in TO and [item.text for item in items[at + 1 : at + 3]] == ["one", "of"]:
            named = next((item.name for item in items[at + 3 : at + 6] if item.name), None)
            return named.subjects if named else ("",)
    return ()


def _more_of_move(scope: Scope) -> bool:
    """Whether "…, 14 in" or "…, into the long box" tells more of the move before; then it is put there."""
    before = scope.before
    if before is None or before.kind != "move" or before.negated:
        return False
    if scope.prey() or scope.thing("leftovers", "water", "exuvia", "death", "sac"):
        return False
    return _number_of_move(scope, before) or _place_of_move(scope, before)


def _number_of_move(scope: Scope, before: Draft) -> bool:
    number = scope.number()
    if number is None or number.quantity is None or "count" in before.fields or scope.plain("stayed", "remained"):
        return False
    went = scope.verb("remove", "take", "move", "put", "arrive") or scope.plain(*MORE_MOVED)
    if went and not scope.names and not scope.verb("count", "see", "feed", "eat"):
        before.put("count", number.quantity.count(), number)
        to = destination(scope, number) if "to" not in before.fields else None
        if to:
            set_destination(before, to, scope)
        scope.use_all()
        return True
    if scope.clause.items[0] is not number or not scope.plain("to", "into", "in", "inside"):
        return False
    before.put("count", number.quantity.count(), number)
    to = destination(scope, None)
    if to and "to" not in before.fields:
        set_destination(before, to, scope)
    scope.use_all()
    return True


def _place_of_move(scope: Scope, before: Draft) -> bool:
    open_to = "to" not in before.fields and "to" not in before.missing
    opening = [item.text for item in scope.clause.items if item.text not in STAYING][:1]
    if not {"to", "into", "in"} & set(opening) or not open_to or scope.number() is not None:
        return False
    to = destination(scope, None)
    if to:
        set_destination(before, to, scope)
        before.date = before.date or usable(scope.clause)
    return bool(to)
