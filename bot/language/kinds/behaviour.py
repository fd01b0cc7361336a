"""Observations: signs of behaviour, several of one sighting in one draft."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.drafts import Draft, Scope, position

if TYPE_CHECKING:
    from bot.language.items import Item

SHAPES = {"fat", "dark", "shiny", "plump", "dull", "swollen", "huge", "black"}
LOOSE = {"out", "outside", "slow", "web", "webs", "scrap", "share", "cut", "loose", "missing", "hide", "busy", "hunting", "climbing", "visible", "sharing", "shared", "spat", "shed", "opaque"}  # fmt: skip


def observation(scope: Scope) -> list[Draft]:
    """Signs seen in the clause."""
    items = [item for item in scope.free if item.sense("sign") and item.kind == "word" and _is_sign(scope, item)]
    shape = [item for item in scope.free if item.text in SHAPES]
    texts = {item.text for item in shape}
    if {"fat", "plump", "swollen", "huge"} & texts and {"dark", "shiny", "dull", "black"} & texts:
        items += [item for item in shape if item not in items]
    together = scope.clause.plain("together")
    dining = scope.clause.verb("feed", "eat") or scope.clause.thing("feeding") or scope.clause.senses("outcome", "ate")
    signs = _signs(scope, items, shaped=len(texts) > 1)
    if together and dining and "eating_together" not in signs:
        items.append(together)
        signs.append("eating_together")
    if (
        {"fighting", "mould", "mites"} & set(signs)
        and "out" in signs
        and all(item.text.startswith("on ") for item in items if item.sense("sign", "out"))
    ):
        signs.remove("out")
    if "fighting" in signs and (scope.clause.plain("over") or any(item.text.endswith(" over") for item in items)):
        scope.use(scope.prey(), *scope.numbers)
    if not signs:
        return []
    before = scope.before
    if not scope.names and _denied_here(scope, items):
        scope.use(*items)
        return []
    if before and before.kind == "pairing" and not scope.names and "injured" not in signs:
        scope.use(*scope.free)
        return []
    if (
        before
        and before.kind == "observation"
        and not scope.names
        and not before.negated
        and not scope.clause.dates
        and not scope.clause.plain("now")
    ):
        before.fields["signs"] = list(dict.fromkeys([*before.fields["signs"], *signs]))
        before.made_by["signs"] += items
        scope.use(*items, *scope.free)
        return []
    draft = scope.draft("observation", *items).put("signs", signs, *items)
    scope.use(
        *[
            item
            for item in scope.free
            if item.verb("see", "get", "check", "take", "leave")
            or item.thing("exuvia", "mould", "substrate", "dampness", "body", "pairing")
        ],
        *scope.numbers,
    )
    return [draft]


def _denied_here(scope: Scope, items: list[Item]) -> bool:
    """ "nobody was hurt": a sign denied of nobody in particular tells nothing."""
    negation = next(
        (
            item
            for item in scope.clause.items
            if item.kind == "word" and item.sense("negation") and not item.sense("sign")
        ),
        None,
    )
    return negation is not None and all(item.start > negation.start for item in items)


def _signs(scope: Scope, items: list[Item], *, shaped: bool) -> list[str]:
    signs = list(dict.fromkeys(item.sense("sign").value for item in items if item.sense("sign")))  # type: ignore[union-attr]
    if shaped and any(item.text in SHAPES for item in items) and "premoult" not in signs:
        signs.append("premoult")
    if (
        "premoult" in signs
        and "webbing" in signs
        and (
            _walled_in(items)
            or any(item.thing("exuvia") or item.text in {"before", "ahead"} for item in scope.clause.items)
        )
    ):
        signs.remove("webbing")
    if (
        "hiding" in signs
        and "out" in signs
        and any(item.sense("sign", "hiding") and item.text.startswith(("no", "not", "none")) for item in items)
    ):
        signs.remove("out")
    return signs


def _walled_in(items: list[Item]) -> bool:
    """The webbing of "closed herself in with webbing" is that of the moult."""
    return any(
        item.sense("sign", "premoult")
        and (" in" in item.text or item.text.startswith(("sealed", "sealing", "webbed", "closed")))
        for item in items
    )


def _is_sign(scope: Scope, item: Item) -> bool:
    """Whether a loose word ("out", "web", "cut") is a sign here and not part of something else."""
    if item.text == "all out":
        return not scope.clause.verb("put", "remove", "take", "move", "sell", "offer")
    before_that = scope.clause.plain("before")
    if before_that and before_that.start < item.start and not scope.clause.thing("exuvia"):
        return False
    if item.text not in LOOSE:
        return True
    clause = scope.clause
    at = position(clause, item)
    before = clause.items[at - 1] if at else None
    after = clause.items[at + 1] if at + 1 < len(clause.items) else None
    if item.text == "out":
        if after is not None and (after.text in {"of"} or after.kind == "name"):
            return False
        return not (
            before is not None and (before.verb() and not before.verb("see", "get") and not before.sense("sign"))
        ) and not scope.clause.verb("remove", "take", "move", "sell", "put")
    if item.text in {"web", "webs"}:
        return (
            not (before is not None and before.text in {"the", "her", "his", "its", "their", "sperm"})
            or scope.clause.plain("everywhere") is not None
        )
    if item.text in {"hide", "cut", "shed", "climbing", "missing"}:
        return not (before is not None and before.text in {"the", "her", "his", "its", "their", "a", "new", "cork"})
    return True


def equipment(scope: Scope) -> list[Draft]:
    """ "new heat mat on the scorpion box": things put in or taken out of a place are a note on it."""
    thing = scope.thing("equipment")
    done = scope.plain(
        "new", "installed", "fitted", "swapped", "extra", "another", "broke", "broken", "died"
    ) or scope.verb("buy", "change", "put", "offer", "move", "remove")
    if thing is None or done is None or not scope.names or scope.prey():
        return []
    draft = scope.draft("note", thing)
    scope.use(*scope.free)
    return [draft]
