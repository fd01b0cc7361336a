"""Hygrometers in talk: read over wet salt, put in a place, and named beside a reading.

A check over salt and a meter's place are notes with fields of their own, so that neither is ever a reading of a place:
`meter` ("hyg 3"), and for a check `salt` ("NaCl" or "MgCl2"), `shown_pct` and, where told, `checked_c`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.clauses import Clause
from bot.language.drafts import Draft, quantity_of
from bot.language.kinds.readings import WARMTH, celsius
from bot.language.refine.meters import bare_meter, meter_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.clauses import Sentence
    from bot.language.items import Item

TABLE_SALT = "NaCl"
MAGNESIUM = "MgCl2"

MAGNESIUM_WORDS = {"magnesium", "mgcl", "mgcl2", "mag"}
SALT_WORDS = {"salt", "salts", "salty", "nacl", "saltbag", "saltwater", "sodium"}
OTHER_SALTS = {
    "epsom", "potassium", "lithium", "kcl", "licl", "sulphate", "sulfate", "carbonate", "nitrate", "himalayan lamp",
}  # fmt: skip
"""Salts that no meter is checked over here: epsom salt is magnesium sulphate, which holds another humidity."""

LENGTHS = {"hour", "hours", "h", "hr", "hrs", "days", "day", "minutes", "mins", "g", "gram", "grams", "ml", "weeks"}
OTHER_USES = {"in", "after", "for", "day", "every"}
"""Words before a number that is none a meter shows."""

AT_PLACES = {"in", "from", "of", "at", "by", "the"}
COLDEST_ROOM, WARMEST_ROOM = 5, 40
LOWEST_SHOWN = 15
UNNAMED = "hyg"

PLACING = {
    "is", "now", "in", "at", "on", "goes", "lives", "sits", "sitting", "hangs", "hanging", "put", "moved", "move", "placed",
    "the", "to", "into", "has", "have", "with", "and", "stuck", "swapped", "went", "i", "we", "inside", "my", "from",
    "by", "of", "are", "got", "back", "over", "it", "today", "just", "gone",
}  # fmt: skip
"""All the words besides names that say where a meter is."""


TAKING = {
    "removed",
    "remove",
    "took",
    "take",
    "taken",
    "out",
    "off",
    "pulled",
    "pull",
    "down",
    "took out",
    "longer",
    "no",
}
SWAPPING = {"replaced", "replace", "swapped", "swap", "with", "for", "by"}
OFF = {"off", "low", "high", "under", "out", "wrong"}
"""Words that say how far off a meter is thought to be, which no salt has shown."""


def checks_told(said: Sequence[Sentence], at: int) -> list[Draft]:
    """The checks over salt that a sentence tells; the salt may be told in the sentence before or after it."""
    own = said[at].items
    if _is_asked(said[at]) or not _shown(own):
        return []
    lead = said[at - 1].items if at and not _shown(said[at - 1].items) else ()
    tail = said[at + 1].items if at + 1 < len(said) and not _shown(said[at + 1].items) else ()
    around = next((items for items in (own, (*lead, *own), (*own, *tail)) if _tells_check(items)), None)
    return [] if around is None else _checks(around, Clause(tuple(around), number=at))


def check_in(clause: Clause) -> list[Draft]:
    """The check that one clause tells beside others: "hyg 3 reads 71 in the salt bag and fed B 3 roaches"."""
    return _checks(clause.items, clause) if _shown(clause.items) and _tells_check(clause.items) else []


def on_meter(sentence: Sentence, number: int) -> Draft | None:
    """The plain note that words about a meter alone are: "hyg 3 has a flat battery"."""
    counted = any(item.quantity and not item.quantity.article for item in sentence.items)
    counted = counted and not OFF & {item.text for item in sentence.items}
    if _is_asked(sentence) or counted or any(item.kind == "name" or item.prey for item in sentence.items):
        return None
    return Draft("note", Clause(sentence.items, number=number), [], settled=True)


def leads_to_check(said: Sequence[Sentence], at: int) -> bool:
    """Whether a sentence only tells the salt of a check in the one after or before it: "Salt test done. hyg 3 shows 71"."""
    if not _salts(said[at].items) or _shown(said[at].items):
        return False
    beside = [other for other in (at + 1, at - 1) if 0 <= other < len(said)]
    return any(checks_told(said, other) for other in beside)


def placed(sentence: Sentence, number: int) -> list[Draft]:
    """The notes of where meters are: "hyg 3 is in tub 4", "took hyg 3 out of tub 4", "replaced hyg 3 in tub 4 with hyg 5"."""
    meters = [item for item in sentence.items if meter_of(item)]
    names = [item for item in sentence.items if item.kind == "name"]
    if not meters or not names or _is_asked(sentence):
        return []
    others = [item for item in sentence.items if item.kind not in {"name", "date", "mark"} and not meter_of(item)]
    words = {word for item in others if not item.sense("filler") for word in item.text.split()}
    if not words <= PLACING | TAKING | SWAPPING:
        return []
    if len(meters) == 2 and words & SWAPPING:
        return [_put(sentence, number, meters[0], gone=True), _put(sentence, number, meters[1])]
    return [_put(sentence, number, meters[0], gone=bool(words & TAKING))] if len(meters) == 1 else []


def _put(sentence: Sentence, number: int, meter: Item, *, gone: bool = False) -> Draft:
    """The note that a meter hangs in the place named, or that it does no longer."""
    clause = Clause(sentence.items, number=number)
    names = [item for item in sentence.items if item.kind == "name"]
    there = [item for item in names if gone or _before(sentence.items, item) != "from"]
    if not there and names[-1].name and " to " in names[-1].raw.lower():  # "from tub 4 to tub 5" reads like a range
        draft = Draft("note", clause, names[-1:], subjects=names[-1].name.subjects[-1:], settled=True)
    else:
        draft = Draft("note", clause, there or names[-1:])
    draft.put("meter", meter_of(meter), meter)
    return draft.put("taken_down", True, meter) if gone else draft  # noqa: FBT003 - the value of the field


def add_meters(items: Sequence[Item], drafts: Sequence[Draft]) -> None:
    """Put to each reading of a sentence the meter it was made with: the one in its own clause, else the nearest before.

    Where nobody is named it is of the place in which the meter hangs, which the journal knows, not of whom was talked of last.
    """
    meters = [item for item in items if meter_of(item)]
    nobody = not any(item.kind == "name" for item in items)
    for draft in drafts:
        if draft.kind != "reading" or not meters:
            continue
        end = draft.clause.items[-1].end
        own = [item for item in meters if item in draft.clause.items]
        before = [item for item in meters if item.start < end]
        meter = (own or before[-1:] or meters)[0]
        draft.put("meter", meter_of(meter), meter)
        draft.missing += ["subjects"] if nobody else []


def _is_asked(sentence: Sentence) -> bool:
    first = sentence.items[0]
    return (
        first.sense("question") is not None or sentence.end == "?" or any(item.sense("plan") for item in sentence.items)
    )


def _tells_check(items: Sequence[Item]) -> bool:
    """Whether words speak of salt and of a meter, or of a test, and of no salt that is not reckoned with."""
    texts = {item.text for item in items}
    tested = any(meter_of(item) or bare_meter(item) for item in items) or "test" in texts or "calibration" in texts
    return bool(_salts(items)) and tested and not texts & OTHER_SALTS and not _is_of_others(items)


def _is_of_others(items: Sequence[Item]) -> bool:
    """Whether anybody is named, but for the place in which the meter is: "the hygro in tub 4 reads 71 in salt"."""
    return any(item.kind == "name" and _before(items, item) not in AT_PLACES for item in items)


def _shown(items: Sequence[Item]) -> list[Item]:
    """The humidities that a meter shows: numbers in per cent, and bare ones that are no temperature and no length of time."""
    numbers = [item for item in items if item.quantity and item.quantity.unit in {None, "%"}]
    warm = _warmth(items)
    fit = [item for item in numbers if item is not warm and LOWEST_SHOWN <= quantity_of(item).low <= 100]
    return [item for item in fit if quantity_of(item).unit == "%" or _is_shown(items, item)]


def _is_shown(items: Sequence[Item], number: Item) -> bool:
    after = _after(items, number)
    return _before(items, number) not in OTHER_USES and after not in LENGTHS


def _warmth(items: Sequence[Item]) -> Item | None:
    """The temperature: a number with its unit, else a bare one after "at" that a room can have."""
    numbers = [item for item in items if item.quantity]
    with_unit = next((item for item in numbers if quantity_of(item).unit in WARMTH), None)
    bare = [item for item in numbers if quantity_of(item).unit is None and _before(items, item) in {"at", "@"}]
    return with_unit or next(
        (item for item in bare if _is_room(item) and _something_shown_besides(numbers, item)), None
    )


def _is_room(item: Item) -> bool:
    low, high = celsius(quantity_of(item))
    return low is not None and high is not None and COLDEST_ROOM <= low <= high <= WARMEST_ROOM


def _something_shown_besides(numbers: Sequence[Item], item: Item) -> bool:
    return any(other is not item and quantity_of(other).unit in {None, "%"} for other in numbers)


def _checks(items: Sequence[Item], clause: Clause) -> list[Draft]:
    warm = _warmth(items)
    found = []
    for number in _shown(items):
        meter = _nearest([item for item in items if meter_of(item)], number)
        draft = Draft("note", clause, [], settled=True)
        draft.put("meter", meter_of(meter) if meter else UNNAMED, *([meter] if meter else []))
        salt = _salt_of(items, number)
        draft.put("salt", MAGNESIUM if salt.text in MAGNESIUM_WORDS else TABLE_SALT, salt)
        draft.put("shown_pct", quantity_of(number).measured(), number)
        if warm is not None:
            draft.put("checked_c", celsius(quantity_of(warm)), warm)
        found.append(draft)
    return found


def _nearest(meters: Sequence[Item], number: Item) -> Item | None:
    """The meter told last before a number, else the first one after it."""
    before = [item for item in meters if item.start < number.start]
    return before[-1] if before else meters[0] if meters else None


def _salt_of(items: Sequence[Item], number: Item) -> Item:
    """The salt told between a number and the next one, else the last one before it, else the first."""
    salts = _salts(items)
    following = next((item.start for item in _shown(items) if item.start > number.start), None)
    after = [item for item in salts if item.start > number.start and (following is None or item.start < following)]
    before = [item for item in salts if item.start < number.start]
    return (after[:1] or before[-1:] or salts)[0]


def _salts(items: Sequence[Item]) -> list[Item]:
    """The words for salts; "magnesium chloride salt" is one."""
    found: list[Item] = []
    for item in items:
        if item.text in MAGNESIUM_WORDS or (item.text in SALT_WORDS and not _is_of_magnesium(items, item, found)):
            found.append(item)
    return found


def _is_of_magnesium(items: Sequence[Item], item: Item, found: Sequence[Item]) -> bool:
    if not found or found[-1].text not in MAGNESIUM_WORDS:
        return False
    between = items[items.index(found[-1]) + 1 : items.index(item)]
    return all(other.text in {"chloride", "2"} for other in between)


def _before(items: Sequence[Item], item: Item) -> str:
    at = items.index(item)
    return items[at - 1].text if at else ""


def _after(items: Sequence[Item], item: Item) -> str:
    at = items.index(item)
    return items[at + 1].text if at + 1 < len(items) else ""
