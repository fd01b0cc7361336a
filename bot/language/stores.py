"""Feeders in stock, in talk: bought, counted, gone off, ordered, and how long a delivery takes.

Where a colony of that prey is on the roster it is an arrival, a count or a death there. Else it is a note of nobody with
fields of its own: `feeder` (the prey, absent for all), `stock` (`added`, `left`, `lost`, `ordered`, `low`), `pieces` [low, high]
(absent where a lot was not counted), or `delivery_days` [low, high].
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bot.language import stock_words as said
from bot.language.clauses import Clause
from bot.language.deliveries import delivery_told
from bot.language.drafts import Draft, quantity_of
from bot.language.refine.meters import meter_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from bot.language.items import Item

ADDED, LEFT, LOST, ORDERED, LOW = "added", "left", "lost", "ordered", "low"

KIND_AT_HOME = {ADDED: "arrival", LEFT: "count", LOST: "death"}
"""The kind of entry that it is where a colony of the prey is on the roster."""


def stock_told(
    clause: Clause, following: Sequence[Clause], before: Draft | None, lead: Clause | None = None
) -> list[Draft]:
    """What a told clause says of feeders in stock; empty where it is about anything else.

    `following` are the clauses after it in its sentence, `lead` the one right before it, `before` the draft told before it.
    """
    behind = _number_after(clause, following)
    items = [*clause.items, *behind]
    words = _words(items)
    if _is_of_somebody(clause, following, words):
        return []
    delivery = delivery_told(clause, items)
    if delivery is not None:
        return [delivery]
    pairs = _pairs(items)
    if not pairs:
        return _more_than_was_fed(clause, before)
    pairs = [(pairs[0][0], behind[0])] if behind and len(pairs) == 1 else pairs
    if clause.numbers == [] and _all_gone(words):
        return [_draft(clause, LEFT, item, None).put("pieces", [0, 0], item) for item, _number in pairs]
    how = _how(items, words, pairs) or _as_before(clause, pairs, before) or _as_listed(clause, items, pairs, lead)
    if how is None or (how == LEFT and _may_be_of_meal(clause, pairs, before)):
        return []
    return [_draft(clause, how, item, number) for item, number in pairs]


def _all_gone(words: str) -> bool:
    """Whether there are none left: "out of crickets", "the crickets are all dead"."""
    dead = " all " in words and any(f" {word} " in words for word in said.DEAD)
    return dead or words.startswith(tuple(f" {lead} " for lead in said.RUN_OUT))


def _may_be_of_meal(clause: Clause, pairs: Sequence[tuple[Item, Item | None]], before: Draft | None) -> bool:
    """Whether what is left may be of the meal told right before: "fed B 30 crickets, 20 crickets left"."""
    fed = before.fields.get("quantity") if before is not None and before.kind == "feeding" else None
    if before is None or not fed or before.clause.number != clause.number:
        return False
    return any(number and quantity_of(number).low <= (fed[1] or fed[0]) for _prey, number in pairs)


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
    of_others = any(f" {word} " in words for word in (*said.WHOSE, *said.NO_STOCK))
    return named or bool(elsewhere) or of_others or any(meter_of(item) for item in clause.items)


def _is_container(clause: Clause, name: Item) -> bool:
    """Whether a name is only what food is sold in: "2 tubs of crickets"."""
    after = clause.after(name)[:1]
    return name.text.split()[-1] in said.CONTAINERS and bool(after) and after[0].text == "of"


def _number_after(clause: Clause, following: Sequence[Clause]) -> tuple[Item, ...]:
    """The bare number after a colon or a comma: "counted the crickets: 120", "a tub of crickets came, about 250"."""
    counted = any(not quantity_of(number).article for number in clause.numbers)
    after = following[0] if following and not counted else None
    if after is None or after.joiner not in {":", "-", "=", ",", "("} or len(after.items) != 1:
        return ()
    return () if after.items[0].quantity is None or after.items[0].quantity.unit is not None else after.items


def _pairs(items: Sequence[Item]) -> list[tuple[Item, Item | None]]:
    """Each prey with the number told of it; None for one counted in tubs or boxes, or in words only."""
    found: list[tuple[Item, Item | None]] = []
    for at, item in enumerate(items):
        if item.kind == "name" or not _prey_of(item) or _is_part_of_noun(items, at):
            continue
        lead = _lead(items, at)
        numbers = [place for place, other in enumerate(lead) if other.quantity and quantity_of(other).unit is None]
        number = lead[numbers[-1]] if numbers else None
        boxed = any(other.text in said.CONTAINERS for other in lead[(numbers or [0])[-1] :])
        after = (
            next((other for other in items[at + 1 :] if other.quantity), None) if not found and number is None else None
        )
        counted = number if number is not None else after
        article = counted is not None and quantity_of(counted).article
        found.append((item, None if boxed or article else counted))
    return found


def _is_part_of_noun(items: Sequence[Item], at: int) -> bool:
    """Whether a prey only says of which sort the next word is: "cricket keeper"."""
    after = items[at + 1] if at + 1 < len(items) else None
    return after is not None and after.kind == "plain" and after.text.isalpha() and after.text not in said.AFTER_PREY


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
    told = _Told(
        tuple(items), words, frozenset(item.text for item in items), tuple(number for _prey, number in pairs if number)
    )
    return next((how for how, holds in _RULES if holds(told)), None)


@dataclass(frozen=True, slots=True)
class _Told:
    """The words of a clause about feeders: its items, the same as one text and as single words, and the numbers of prey."""

    items: tuple[Item, ...]
    words: str
    texts: frozenset[str]
    numbers: tuple[Item, ...]

    @property
    def many(self) -> bool:
        """Whether there are more than a meal would have."""
        return any(quantity_of(number).high >= said.SURELY_STORE for number in self.numbers)

    @property
    def dead(self) -> bool:
        """Whether they are dead."""
        return bool(self.texts & said.DEAD) or any(
            item.text.startswith("dead ") or item.verb("die") for item in self.items
        )

    @property
    def thrown(self) -> bool:
        """Whether they were thrown out."""
        removed = (item for item in self.items if item.verb("remove") and item.text not in said.GETTING)
        return bool(self.texts & said.THROWING) or any(removed)

    def any(self, phrases: Iterable[str]) -> bool:
        """Whether one of these phrases is said."""
        return any(f" {phrase} " in self.words for phrase in phrases)


def _is_lost(told: _Told) -> bool:
    if not told.numbers:
        return (
            told.dead and not told.thrown and any(item.prey and item.text.endswith(("s", "x")) for item in told.items)
        )
    return (told.dead and (told.thrown or told.many)) or (told.thrown and told.many)


def _is_left(told: _Told) -> bool:
    if not told.numbers or told.dead or told.thrown:
        return False
    if told.any(said.SURELY_LEFT):
        return True
    left, kept = bool(told.texts & said.REMAINING), told.any(said.KEEPING_COUNT)
    counted = any(item.verb("count") for item in told.items)
    return (told.many and (left or kept or counted)) or (kept and left)


def _is_greeting(item: Item) -> bool:
    return bool(item.sense("chat") or item.sense("filler")) and not item.sense("verb")


def _is_added(told: _Told) -> bool:
    """Whether a lot came: bought, or got in such a number or such words that it was no meal."""
    if told.dead or (told.thrown and told.many):
        return False
    if told.numbers and told.any(said.FOR_STOCK):
        return True
    if any(item.verb("buy", "arrive") for item in told.items) or told.texts & said.BUYING:
        return True
    words = [item for item in told.items if item.kind not in {"mark", "date"} and not _is_greeting(item)]
    got = told.texts & said.GETTING and words[0].text in {*said.GETTING, *said.OPENERS}
    uncounted = (told.texts & said.SOME or len(words) == 2) and all(
        quantity_of(number).article for number in told.numbers
    )
    return bool(got and (told.many or told.texts & said.CONTAINERS or uncounted))


_RULES: tuple[tuple[str, Callable[[_Told], bool]], ...] = (
    (ORDERED, lambda told: bool(told.texts & said.ORDERING)),
    (LOW, lambda told: not told.numbers and told.any(said.RUNNING_LOW)),
    (LOST, _is_lost),
    (LEFT, _is_left),
    (ADDED, _is_added),
)
"""What became of the stock, in the order in which it is tried."""


def _as_before(clause: Clause, pairs: Sequence[tuple[Item, Item | None]], before: Draft | None) -> str | None:
    """The same as was told of another prey right before: "got 200 dubias and 500 crickets"."""
    if before is None or "stock" not in before.fields or before.clause.number != clause.number or not pairs:
        return None
    small = all(item.kind in {"number", "plain", "date", "mark"} or _prey_of(item) for item in clause.items)
    return str(before.fields["stock"]) if small else None


def _as_listed(
    clause: Clause, items: Sequence[Item], pairs: Sequence[tuple[Item, Item | None]], lead: Clause | None
) -> str | None:
    """The stock told as a list: "stock: 300 crickets", "crickets: 300"."""
    bare = all(item.kind in {"number", "date", "mark"} or _prey_of(item) or item.text in said.SIZES for item in items)
    numbers = [number for _prey, number in pairs if number is not None]
    headed = lead is not None and clause.joiner == ":" and any("stock" in text for text in lead.texts)
    listed = len(items) > len(clause.items) and any(quantity_of(number).high >= said.SURELY_STORE for number in numbers)
    return LEFT if bare and numbers and (headed or listed) else None


def _draft(clause: Clause, how: str, prey: Item, number: Item | None) -> Draft:
    draft = Draft("note", clause, [], settled=True)
    draft.put("feeder", _prey_of(prey), prey).put("stock", how, prey)
    if number is not None:
        draft.put("pieces", quantity_of(number).count(), number)
    return draft


def _more_than_was_fed(clause: Clause, before: Draft | None) -> list[Draft]:
    """What is left of the stock told of before, or after a feeding of fewer: "fed B 3 crickets, about 100 left"."""
    if before is None or len(clause.numbers) != 1 or not said.REMAINING & set(clause.texts):
        return []
    number, fed = clause.numbers[0], before.fields.get("quantity")
    name = "feeder" if "stock" in before.fields else "prey"
    of_stock = name == "feeder" and before.clause.number == clause.number
    more = fed is not None and quantity_of(number).low > (fed[1] or fed[0])
    if name not in before.fields or quantity_of(number).unit is not None or not (of_stock or more):
        return []
    draft = Draft("note", clause, [], settled=True)
    draft.put("feeder", before.fields[name], *before.made_by.get(name, [])).put("stock", LEFT, number)
    return [draft.put("pieces", quantity_of(number).count(), number)]
