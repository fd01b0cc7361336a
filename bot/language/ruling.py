"""What a keeper lays down for good: bands of warmth and damp, times to settle, days to look in, and which sheet holds."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bot.language import care_words as words_for
from bot.language.ask_words import KIND_OF_VERB, Words
from bot.language.drafts import Scope, quantity_of
from bot.language.kinds.readings import reading
from bot.language.mood_told import is_told

if TYPE_CHECKING:
    from collections.abc import Callable

    from bot.language.clauses import Clause
    from bot.language.items import Item
    from bot.language.quantities import Quantity

LONGEST_SETTLING = 365  # days
MOST_LOOK_INS = 20
ACTS = tuple(verb for verb in KIND_OF_VERB if verb not in {"take", "count", "measure"})
ROUND = ("feed", "mist", "water", "clean", "weigh")
"""Verbs of the tasks that come again and again."""
ACT_NOUNS = ("feeding", "misting", "watering", "cleaning", "weighing")
DAMPEST = 100  # % humidity


def ruling(clause: Clause) -> dict[str, Any] | None:
    """The fields of the rule that a clause lays down; None where it lays down none, or only asks to see it."""
    words = Words(list(clause.items))
    if _is_shown(words):
        return None
    return next((fields for read in _READERS if (fields := read(clause, words))), None)


def names_sheet(clause: Clause) -> bool:
    """Whether a clause is about a care sheet, or about what holds for somebody; where it lays down nothing, it asks for it."""
    return not is_told(clause) and asks_for_sheet(Words(list(clause.items)))


def asks_for_sheet(words: Words) -> bool:
    """Whether the words name a care sheet or somebody's settings."""
    if words.any(*words_for.SHEET_SURELY):
        return True
    shown = _is_shown(words) and words.any("the sheet", "sheet for", "its sheet", "their sheet")
    return shown or (words.named and words.any(*words_for.OWN_RULES, *words_for.KEEPING))


def wants_band(clause: Clause) -> bool:
    """Whether a clause says how warm or damp somebody is to have it, be it a band that can be kept or not."""
    if not _wants(clause, Words(list(clause.items))) or is_act(clause):
        return False
    return bool(_reading(clause)) or clause.thing("humidity", "temperature") is not None


def more_of_rule(clause: Clause) -> dict[str, Any]:
    """What a clause adds to the rule before it: another band ("… and 24 to 26 C"); empty where it adds nothing."""
    return {} if clause.names or clause.dates or is_act(clause) or is_told(clause) else _bands(_reading(clause))


def _is_shown(words: Words) -> bool:
    first = next((item for item in words.items if not item.sense("filler") and item.kind != "mark"), None)
    return first is not None and f"{first.text} ".startswith(tuple(f"{word} " for word in words_for.SHOWING))


def _band(clause: Clause, words: Words) -> dict[str, Any]:
    """The band that somebody likes or is to be kept at."""
    if not _wants(clause, words) or is_act(clause) or _is_of_a_time(clause):
        return {}
    if clause.senses("negation") or words.any(*words_for.HATING) or _runs_down(clause):
        return {}
    return _bands(_reading(clause))


def _is_of_a_time(clause: Clause) -> bool:
    """Whether a band is told of a day or a part of one, which no rule holds: "22 C at night"."""
    days = (item for item in clause.dates if not item.text.lower().endswith("now on"))
    return any(days) or bool(words_for.OF_A_PART & set(clause.texts))


def _runs_down(clause: Clause) -> bool:
    """Whether a range is told from its upper end ("70 to 55 %"), which is read as two numbers."""
    pairs = zip(clause.items, clause.items[1:], clause.items[2:], strict=False)
    return any(
        low.kind == high.kind == "number" and link.text in words_for.RANGING and quantity_of(low).unit is None
        for low, link, high in pairs
    )


def _wants(clause: Clause, words: Words) -> bool:
    """Whether the words make a number one to be kept: a liking, an order or an aim, and nothing of a look at the dial."""
    if is_told(clause) or words_for.OF_A_READING & set(clause.texts):
        return False
    for_good = any(item.text.lower().endswith("now on") for item in clause.dates)
    return (
        for_good
        or words.any(*words_for.WANTING, *words_for.HATING)
        or any(_likes(clause, item) for item in clause.items)
    )


def _likes(clause: Clause, item: Item) -> bool:
    """Whether "like" is a verb: right after those who do."""
    if item.text != "like":
        return False
    before = clause.before(item)[-1:]
    return bool(before) and (before[0].kind == "name" or before[0].text in words_for.OWNERS_OF_LIKING)


def is_act(clause: Clause) -> bool:
    """Whether the clause is about an act of care or about prey."""
    acts = (item for item in clause.items if item.kind == "word")
    return any(item.verb(*ACTS) or item.thing(*ACT_NOUNS) or item.prey for item in acts)


def _reading(clause: Clause) -> dict[str, Any]:
    """The temperature in °C and the humidity in per cent that a clause has."""
    drafts = reading(Scope(clause, list(clause.items)))
    return drafts[0].fields if drafts else {}


def _bands(read: dict[str, Any]) -> dict[str, Any]:
    """The bands with two ends; "at least 60 %" ends where the air can hold no more."""
    ended = {
        name: [low, DAMPEST if high is None and name == "humidity_pct" else high] for name, (low, high) in read.items()
    }
    return ended if all(high is not None and low <= high for low, high in ended.values()) else {}


def _settling(clause: Clause, words: Words) -> dict[str, Any]:
    """The days for which nothing is offered after a move."""
    settles = any(item.text.startswith(words_for.SETTLING) for item in clause.items if item.kind != "name")
    left = words.any(*words_for.LEAVING_BE) and words.any(*words_for.AFTER_MOVING)
    if is_told(clause) or not (settles or left):
        return {}
    days = _length(clause)
    return {"settling_days": days} if days is not None and 0 < days <= LONGEST_SETTLING else {}


def _length(clause: Clause) -> int | None:
    """A length of time in days: the upper end of a range."""
    for number in clause.numbers:
        following = clause.after(number)[:1]
        unit = words_for.DAYS_OF_UNIT.get(following[0].text) if following else None
        if unit is not None:
            return _days(quantity_of(number), unit)
    return next((item.date.days for item in clause.dates if item.date and item.date.days), None)


def _days(quantity: Quantity, unit: int) -> int:
    return round(quantity.high * unit)


def _look_ins(clause: Clause, words: Words) -> dict[str, Any]:
    """The days after a move on which to look in: "on days 1, 3 and 7"."""
    if is_told(clause) or not (clause.verb("check") or words.any(*words_for.LOOKING_IN)):
        return {}
    counted = [quantity_of(number) for number in clause.numbers if _counts_days(clause, number)]
    days = sorted({round(quantity.high) for quantity in counted})
    if len(days) == 1 and not clause.plain("after", "days"):
        return {}  # "check B on day 3" is no series
    fit = 0 < len(days) <= MOST_LOOK_INS and all(1 <= day <= LONGEST_SETTLING for day in days)
    return {"look_in_days": days} if fit else {}


def _counts_days(clause: Clause, number: Item) -> bool:
    """Whether a number counts days: one of a list that "days" leads or that "days after" ends."""
    if quantity_of(number).unit is not None:
        return False
    lead = [
        item for item in clause.before(number) if item.kind not in {"number", "mark"} and item.text not in {"and", "&"}
    ]
    led = bool(lead) and lead[-1].text in words_for.DAYS
    rest = [
        item.text
        for item in clause.after(number)
        if item.kind not in {"number", "mark"} and item.text not in {"and", "&"}
    ]
    return led or (rest[:1] != [] and rest[0] in words_for.DAYS and "after" in rest[1:2])


def _back(_clause: Clause, words: Words) -> dict[str, Any]:
    """Whether the care sheet is to hold again, or the keeper's own settings no longer."""
    dropped = words.any(*words_for.DROPPING) and words.any(*words_for.OWN_RULES)
    return {"back": True} if words_for.BACK_TO_SHEET.search(words.joined) or dropped else {}


def _resumed(clause: Clause, words: Words) -> dict[str, Any]:
    """Whether reminders that were stopped are to come again, those of one task or of all."""
    if clause.dates or words.any("no", "no more", "stop", "to", "not"):
        return {}
    kind = next((KIND_OF_VERB[verb] for verb in ROUND if clause.verb(verb)), None)
    about = any(item.thing("reminder") or item.verb("remind") for item in clause.items) or words.any("reminders")
    nouns = words.any("reminders") and words.any("again", "back")
    started = kind is not None and clause.texts[0] in words_for.STARTING and words.any("again", "resume")
    if not started and not (about and (nouns or words.any(*words_for.RESUMING))):
        return {}
    return {"resume": True} if kind is None else {"resume": True, "task": kind}


def tells_taste(clause: Clause) -> bool:
    """Whether the clause says which food somebody likes, and tells of no meal."""
    prey = any(item.prey and item.kind == "word" for item in clause.items)
    return prey and clause.plain(*words_for.FOOD_LIKING) is not None and not clause.numbers and not is_told(clause)


_READERS: tuple[Callable[[Clause, Words], dict[str, Any]], ...] = (_band, _settling, _look_ins, _back, _resumed)
