"""Feeders in stock, in talk: bought, counted, gone off, ordered, and how long a delivery takes.

Where a colony of that prey is on the roster it is an arrival, a count or a death there. Else it is a note of nobody with
fields of its own: `feeder` (the prey, absent for all), `stock` (`added`, `left`, `lost`, `ordered`), `pieces` [low, high]
(absent where a lot was not counted), or `delivery_days` [low, high].
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.clauses import Clause
from bot.language.drafts import Draft, quantity_of
from bot.language.refine.meters import meter_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from bot.language.items import Item

ADDED, LEFT, LOST, ORDERED = "added", "left", "lost", "ordered"

KIND_AT_HOME = {ADDED: "arrival", LEFT: "count", LOST: "death"}
"""The kind of entry that it is where a colony of the prey is on the roster."""

GETTING = {"got", "have", "picked up", "received", "delivered", "restocked", "collected", "came", "arrived", "added"}
ORDERING = {"ordered", "preordered", "reordered"}
REMAINING = {"left", "remaining", "remain", "still", "stock"}
SURELY_LEFT = ("in stock", "down to", "still have", "still got", "of stock")
KEEPING_COUNT = ("i have", "we have", "have about", "there are", "have got")
THROWING = {
    "threw out",
    "thrown out",
    "threw away",
    "binned",
    "chucked out",
    "chucked",
    "tossed",
    "tossed out",
    "removed",
}
DEAD = {"dead", "died", "dying", "doa", "lost"}
RUN_OUT = ("out of", "ran out of", "run out of", "all out of", "clean out of", "completely out of", "no more", "no")
CONTAINERS = {
    "tub", "tubs", "box", "boxes", "bag", "bags", "pot", "pots", "cup", "cups", "culture", "cultures", "tray", "trays",
    "pack", "packs", "carton", "cartons", "punnet", "punnets", "kilo", "kg", "container", "containers", "starter",
}  # fmt: skip
WHOSE = {"he", "she", "they", "him", "her", "them", "his", "their", "it", "left two", "each"}
"""Words that make it a meal of somebody rather than a matter of the store."""

SURELY_STORE = 20
"""A bare "got 20 roaches" or "20 crickets left" is of the store; fewer may be a meal or what was left of it."""

DELIVERY = {"delivery", "deliveries", "order", "orders", "shipping", "post", "courier", "shipment"}
DAYS_IN = {"day": 1, "days": 1, "d": 1, "week": 7, "weeks": 7, "wk": 7, "wks": 7}
COMING = {"come", "arrive", "get here", "here", "ship", "deliver", "delivery", "get", "order", "turn", "reach"}


def stock_told(clause: Clause, following: Sequence[Clause], before: Draft | None) -> list[Draft]:
    """What a told clause says of feeders in stock; empty where it is about anything else.

    `following` are the clauses after it in its sentence, `before` the draft told before it.
    """
    items = [*clause.items, *(_number_after(clause, following))]
    words = _words(items)
    if _is_of_somebody(clause, following, words):
        return []
    delivery = _delivery(clause, items)
    if delivery is not None:
        return [delivery]
    pairs = _pairs(items)
    if not pairs:
        return _more_than_was_fed(clause, before)
    if clause.numbers == [] and words.startswith(tuple(f" {lead} " for lead in RUN_OUT)) and _is_gone(words):
        return [_draft(clause, LEFT, item, None).put("pieces", [0, 0], item) for item, _number in pairs]
    how = _how(items, words, pairs) or _as_before(clause, pairs, before)
    return [_draft(clause, how, item, number) for item, number in pairs] if how else []


def at_home(draft: Draft, cultures: Mapping[str, str]) -> None:
    """Make it an entry of the colony of that prey, where one is on the roster."""
    how, prey = draft.fields.get("stock"), draft.fields.get("feeder")
    colony = culture_of(str(prey), cultures) if prey else None
    if colony is None or how not in KIND_AT_HOME or "pieces" not in draft.fields:
        return
    number = draft.fields.pop("pieces")
    draft.fields.clear()
    draft.kind, draft.subjects = KIND_AT_HOME[how], (colony,)
    draft.put("count" if how == LEFT else "number", number, *draft.made_by.get("pieces", []))


def culture_of(prey: str, cultures: Mapping[str, str]) -> str | None:
    """The colony of a prey; for a general word ("roach") the one whose kind ends with it, where there is but one."""
    if prey in cultures:
        return cultures[prey]
    found = {name for kind, name in cultures.items() if kind.endswith(f" {prey}")}
    return next(iter(found)) if len(found) == 1 else None


def _words(items: Sequence[Item]) -> str:
    return f" {' '.join(item.text for item in items)} "


def _is_of_somebody(clause: Clause, following: Sequence[Clause], words: str) -> bool:
    """Whether anybody is named, or meant by a small word, so that it is a meal or a matter of that colony."""
    named = any(not _is_container(clause, item) for item in clause.names)
    elsewhere = clause.verb("buy", "arrive", "get") and any(part.names for part in following)
    return (
        named
        or bool(elsewhere)
        or any(f" {word} " in words for word in WHOSE)
        or any(meter_of(item) for item in clause.items)
    )


def _is_container(clause: Clause, name: Item) -> bool:
    """Whether a name is only what food is sold in: "2 tubs of crickets"."""
    after = clause.after(name)[:1]
    return name.text.split()[-1] in CONTAINERS and bool(after) and after[0].text == "of"


def _number_after(clause: Clause, following: Sequence[Clause]) -> tuple[Item, ...]:
    """The bare number after a colon: "counted the crickets: 120"."""
    after = following[0] if following and not clause.numbers else None
    if after is None or after.joiner not in {":", "-", "="} or len(after.items) != 1 or not after.numbers:
        return ()
    return after.items


def _pairs(items: Sequence[Item]) -> list[tuple[Item, Item | None]]:
    """Each prey with the number told of it; None for one counted in tubs or boxes, or in words only."""
    found: list[tuple[Item, Item | None]] = []
    for at, item in enumerate(items):
        if item.kind == "name" or not _prey_of(item):
            continue
        lead = _lead(items, at)
        numbers = [place for place, other in enumerate(lead) if other.quantity and quantity_of(other).unit is None]
        number = lead[numbers[-1]] if numbers else None
        boxed = any(other.text in CONTAINERS for other in lead[(numbers or [0])[-1] :])
        after = (
            next((other for other in items[at + 1 :] if other.quantity), None) if not found and number is None else None
        )
        counted = number if number is not None else after
        article = counted is not None and quantity_of(counted).article
        found.append((item, None if boxed or article else counted))
    return found


def _lead(items: Sequence[Item], at: int) -> list[Item]:
    """The items before a prey, back to the prey before it."""
    start = next((place + 1 for place in range(at - 1, -1, -1) if _prey_of(items[place])), 0)
    return list(items[start:at])


def _prey_of(item: Item) -> str | None:
    """The prey of an item; "dead crickets" is one word for leftovers, and its last word the prey."""
    if item.prey:
        return item.prey
    if item.kind == "word" and item.thing("leftovers") and item.text.startswith("dead "):
        from bot.language.vocabulary import vocabulary  # noqa: PLC0415 - seldom needed

        node = vocabulary().tree.next.get(item.text.split()[-1])
        senses = node.senses if node else []
        return next((sense.value for sense in senses if sense.category == "prey"), None)
    return None


def _how(items: Sequence[Item], words: str, pairs: Sequence[tuple[Item, Item | None]]) -> str | None:
    """What became of the stock: `added`, `left`, `lost` or `ordered`; None where it is no matter of the store."""
    if not pairs:
        return None
    texts = {item.text for item in items}
    numbers = [number for _prey, number in pairs if number is not None]
    many = any(quantity_of(number).high >= SURELY_STORE for number in numbers)
    if texts & ORDERING:
        return ORDERED
    dead = bool(texts & DEAD) or any(item.text.startswith("dead ") or item.verb("die") for item in items)
    thrown = bool(texts & THROWING) or any(item.verb("remove") and item.text not in GETTING for item in items)
    if dead or (thrown and many):
        return LOST if numbers and (thrown or many) else None
    if _is_left(items, words, texts, many=many):
        return LEFT if numbers else None
    return ADDED if _is_added(items, texts, numbers, many=many) else None


def _is_left(items: Sequence[Item], words: str, texts: set[str], *, many: bool) -> bool:
    if any(f" {phrase} " in words for phrase in SURELY_LEFT):
        return True
    kept = any(f" {phrase} " in words for phrase in KEEPING_COUNT)
    left = bool(texts & REMAINING)
    counted = any(item.verb("count") for item in items)
    return (many and (left or kept or counted)) or (kept and left)


def _is_added(items: Sequence[Item], texts: set[str], numbers: Sequence[Item], *, many: bool) -> bool:
    bought = any(item.verb("buy", "arrive") for item in items) or bool(texts & (GETTING - {"got", "have", "came"}))
    if bought:
        return bool(numbers) or bool(texts & CONTAINERS)
    got = bool(texts & GETTING) and items[0].text in {*GETTING, "i", "we", "just", "new"}
    return got and (many or bool(texts & CONTAINERS))


def _as_before(clause: Clause, pairs: Sequence[tuple[Item, Item | None]], before: Draft | None) -> str | None:
    """The same as was told of another prey right before: "got 200 dubias and 500 crickets"."""
    if before is None or "stock" not in before.fields or before.clause.number != clause.number or not pairs:
        return None
    small = all(item.kind in {"number", "plain", "date", "mark"} or _prey_of(item) for item in clause.items)
    return str(before.fields["stock"]) if small else None


def _draft(clause: Clause, how: str, prey: Item, number: Item | None) -> Draft:
    draft = Draft("note", clause, [], settled=True)
    draft.put("feeder", _prey_of(prey), prey).put("stock", how, prey)
    if number is not None:
        draft.put("pieces", quantity_of(number).count(), number)
    return draft


def _is_gone(words: str) -> bool:
    return " out of " in words or " left " in words or " no more " in words


def _more_than_was_fed(clause: Clause, before: Draft | None) -> list[Draft]:
    """What is left of the stock after a feeding of fewer: "fed B 3 crickets, about 100 left"."""
    fed = before.fields.get("quantity") if before is not None else None
    prey = before.fields.get("prey") if before is not None else None
    if before is None or not fed or not prey or len(clause.numbers) != 1 or not REMAINING & set(clause.texts):
        return []
    number = clause.numbers[0]
    if quantity_of(number).low <= (fed[1] or fed[0]) or quantity_of(number).unit is not None:
        return []
    draft = Draft("note", clause, [], settled=True).more("prey", before)
    draft.put("feeder", draft.fields.pop("prey"), *draft.made_by.pop("prey")).put("stock", LEFT, number)
    return [draft.put("pieces", quantity_of(number).count(), number)]


def _delivery(clause: Clause, items: Sequence[Item]) -> Draft | None:
    """How long an order takes to come: "crickets take 3 days to come", "orders take a week"."""
    texts = [item.text for item in items]
    prey = next((item for item in items if item.kind != "name" and item.prey), None)
    ordered = DELIVERY & {item.raw.lower() for item in items}  # the word for it may be put right to "delivered"
    takes = any(item.verb("take") and item.forms & {"base", "third"} for item in items)
    comes = bool(ordered) or any(text.split()[0] in COMING for text in texts)
    if not takes or not comes or not (prey or ordered):
        return None
    span = _days(items)
    if span is None:
        return None
    draft = Draft("note", clause, [], settled=True).put("delivery_days", span)
    return draft.put("feeder", prey.prey, prey) if prey is not None else draft


def _days(items: Sequence[Item]) -> list[float | None] | None:
    for at, item in enumerate(items):
        if item.quantity and at + 1 < len(items) and items[at + 1].text in DAYS_IN:
            return item.quantity.measured(DAYS_IN[items[at + 1].text])
    days = next((item.date.days for item in items if item.date and item.date.days), None)
    return None if days is None else [days, days]
