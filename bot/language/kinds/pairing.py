"""Pairings: a male introduced, mated, or the pair separated."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.drafts import Draft, Scope
    from bot.language.items import Item

MALES = ("male", "boy", "boyfriend", "suitor", "mm", "lad", "fella")
PARTED = ("separated", "separate", "parted", "separating")


def pairing(scope: Scope) -> list[Draft]:
    """A male introduced, mated, or the pair separated."""
    verb = scope.verb("pair") or scope.thing("pairing")
    male, together = scope.plain(*MALES), scope.plain("together", "with")
    introduced, parted, put = scope.verb("introduce"), _parted(scope), scope.verb("put", "move", "join", "offer")
    several = sum(len(item.name.subjects) for item in scope.names if item.name) > 1
    with_male = put and male and scope.names and not scope.prey()
    joined = put and several and not scope.prey() and _joined(scope)
    apart = parted and (male or (several and _all_animals(scope.names)))
    separately = (introduced and (several or male)) or apart
    if not (verb or separately or joined or with_male or _in_with(scope)):
        return []
    draft = scope.draft("pairing", verb or introduced or put or parted, together, male)
    scope.use_where(lambda item: item.verb() or item.thing() or item.sense("sign"))
    return [draft]


def _parted(scope: Scope) -> Item | None:
    return scope.plain(*PARTED) or (scope.verb("split") if scope.plain("pair", "pairing") else None)


def _joined(scope: Scope) -> bool:
    """Whether "put A in with B" or "together" is said of animals; groups joined are a move."""
    groups = bool(scope.names) and all(item.name and item.name.groups for item in scope.names)
    return bool(scope.plain("together", "with") and scope.plain("in", "together")) and not groups


def _in_with(scope: Scope) -> bool:
    """Whether two single animals are told as put in one place: "bert in with june", "bert and june go in together"."""
    if scope.prey():
        return False
    several = sum(len(item.name.subjects) for item in scope.names if item.name) == 2
    if several and scope.plain("together") and scope.plain("in") and _all_animals(scope.names):
        return True
    items = scope.clause.items
    for at in range(len(items) - 2):
        if _put_to(items, at):
            return _all_animals(scope.names) and not any(_loosely_named(item) for item in scope.names)
        if _name_in_with_name(items[at : at + 4]):
            return not all(item.name and item.name.groups for item in (items[at], items[at + 3]))
    return False


def _put_to(items: tuple[Item, ...], at: int) -> bool:
    """Whether "put to june" or "put with june" stands here, after another name."""
    verb, lead, name = items[at : at + 3]
    put = verb.verb("put") and lead.text in {"to", "with"} and name.kind == "name"
    return put and any(item.kind == "name" for item in items[: at + 1])


def _name_in_with_name(words: tuple[Item, ...]) -> bool:
    if len(words) < 4 or words[0].kind != "name" or words[3].kind != "name":
        return False
    return [item.text for item in words[1:3]] == ["in", "with"]


def _loosely_named(item: Item) -> bool:
    return item.name is not None and (item.name.groups or item.name.how != "name")


def _all_animals(names: list[Item]) -> bool:
    return all(item.name is not None and item.name.animals for item in names)
