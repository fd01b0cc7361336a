"""Whether a clause plans: a marker of plans, a repeat, a day ahead, or an order."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from bot.language.mood_told import has_base_verb, is_told, repeats

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item

TOLD_WITHOUT_I = {
    "put", "split", "shed", "spread", "cut", "water", "mist", "spray", "spot", "wet", "count", "measure", "size",
    "new", "top", "pop", "mate", "spot clean", "spotclean", "quick clean", "poo pick",
}  # fmt: skip
HEADINGS = {"feeding", "misting", "watering", "cleaning", "weighing"}
"""Nouns as well: "feeding on the 3rd: B 2 crickets"."""

ORDINAL_DAY = re.compile(r"(?:on )?the \d{1,2}(?:st|nd|rd|th)")
WEEKDAYS = {"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"}
PARTS_OF_TODAY = ("morn", "after", "even", "night", "am", "pm", "arvo", "week", "month", "wk")
COMING = ("arrive", "buy", "sell", "giveaway")
WANTS_VERB = {
    "needs", "need a", "needs a", "better", "will", "shall", "got to", "about to", "set", "plan", "time to",
    "let us", "reminder", "schedule", "remind", "have to", "has to", "want to",
}  # fmt: skip


def plans(clause: Clause, opening: list[Item], earlier: str) -> bool:
    """Whether the clause plans. `opening` is the clause without greetings, `earlier` the mood of the clause before."""
    if _marked(clause) or _repeats(clause, earlier) or sets_next(clause, opening) or _is_coming(clause, opening):
        return True
    if is_told(clause):
        return False
    ahead = any(item.date and (item.date.relation == "future" or _still_to_come(item)) for item in clause.dates)
    going = any("ing" in item.forms for item in opening[:2])
    says = any(item.kind == "name" or item.prey or item.sense("verb") or item.thing() for item in clause.items)
    if (ahead or (_this_day(clause) and going)) and says and not clause.numbers:
        return True
    return (ahead and has_base_verb(clause.items)) or _orders(clause, opening[0])


def sets_next(clause: Clause, opening: list[Item]) -> bool:
    """Whether a day is set for what comes next: "next feed for B in 5 days"."""
    days = [item.date for item in clause.dates if item.date and item.date.on and item.date.relation != "past"]
    acts = any(item.thing() or item.sense("verb") for item in opening[1:])
    return opening[0].text == "next" and acts and bool(days) and clause.plain("was", "were") is None


def _is_coming(clause: Clause, opening: list[Item]) -> bool:
    """Whether somebody is on the way, or about to go, on a day: "two new ones are arriving on saturday", "selling 5 on friday"."""
    verb = next((item for item in clause.items if item.verb(*COMING) and item.forms == {"ing"}), None)
    if verb is None or not any(_is_open_weekday(item) for item in clause.dates):
        return False
    lead = clause.before(verb)[-1:]
    return verb is opening[0] or bool(lead and lead[0].text in {"is", "are", "am"})


def _is_open_weekday(item: Item) -> bool:
    """Whether it is a weekday that may as well lie ahead, or a day that does."""
    named = item.text.lower().removeprefix("on ").removeprefix("this ") in WEEKDAYS
    return item.date is not None and (named or item.date.relation == "future")


def _marked(clause: Clause) -> bool:
    """Whether the clause's first word for plans ("needs", "will", "remind me") marks it as one."""
    words = (item for item in clause.items if item.kind not in {"name", "date", "number"})
    marker = next((item for item in words if item.sense("plan", "true")), None)
    return marker is not None and _marks_plan(clause, marker)


def _marks_plan(clause: Clause, marker: Item) -> bool:
    following = clause.after(marker)
    next_word = following[0].text if following else ""
    if marker.text in {"time to", "got to"} and any(item.sense("negation") for item in clause.before(marker)):
        return False
    if next_word in {"break", "rest"}:
        return False  # "she needs a break from him"
    if marker.text in WANTS_VERB:
        acts = any(item.sense("verb") or item.thing() or item.text in {"be", "do"} for item in following)
        return acts and not (marker.text == "will" and next_word == "not")
    guess = marker.text == "must" and next_word in {"be", "have"}  # "must be a moult coming"
    verbs = any(item.sense("verb") or item.text in {"be", "do"} for item in following[:4])
    moving = marker.text == "going to" and bool(following) and not verbs  # "going to tub 4"
    return not guess and not moving


def _repeats(clause: Clause, earlier: str) -> bool:
    """Whether a repeat is planned, and is no habit told: "was misting tub 2 every other day"."""
    if _owned_days(clause):
        return False
    habit = {"was", "were", "been", "had"} & set(clause.texts) or "used to" in " ".join(clause.texts)
    if not repeats(clause) or habit:
        return False
    if not is_told(clause) or _wanted(clause):
        return True
    return (earlier == "plan" or clause.plain("please") is not None) and clause.plain("i", "we") is None


def _wanted(clause: Clause) -> bool:
    """Whether a past verb is what is wanted: "I want B misted every other day", "can we have it cleaned weekly", "put B down for …"."""
    put_down = clause.plain("put") is not None and clause.plain("down") is not None and clause.plain("for") is not None
    return put_down or clause.plain("want", "wants") is not None or clause.texts[0] in {"can", "could", "set up", "set"}


def _still_to_come(item: Item) -> bool:
    """Whether a day and month told without a year is nearer ahead than behind ("on 8th of august" said in July)."""
    date = item.date
    return date is not None and date.this_year is not None and date.on is not None and date.on < date.this_year


def _this_day(clause: Clause) -> bool:
    """Whether a day is told as "this friday", which with "feeding" lies ahead."""
    words = [item.text.lower() for item in clause.dates if item.date and item.date.on]
    doing = "ing" in clause.items[0].forms and clause.items[0].text not in HEADINGS
    return any(_names_this_day(day) or (doing and _names_open_day(day)) for day in words)


def _names_open_day(words: str) -> bool:
    """Whether a day is told that lies ahead as well as behind: "splitting D on the 30th"."""
    return ORDINAL_DAY.fullmatch(words) is not None


def _names_this_day(words: str) -> bool:
    return words.startswith("this ") and not words.split()[1].startswith(PARTS_OF_TODAY)


def _owned_days(clause: Clause) -> bool:
    """Whether a weekday that looks like a plural owns what follows: "after saturdays losses"."""
    days = [item for item in clause.dates if item.text.lower() in {f"{day}s" for day in WEEKDAYS}]
    owned = (clause.after(day)[:1] for day in days)
    return any(rest and (rest[0].thing("death") or rest[0].sense("outcome")) for rest in owned)


def _heads(clause: Clause, first: Item) -> bool:
    """Whether what looks like an order heads what was done: "friday's feed: …", "weigh-in: …", "headcount tonight: …"."""
    owned = any(item.text.lower().endswith("'s") for item in clause.dates)
    counted = first.thing("count") and (clause.numbers or not clause.names)
    noun = first.text == "feed" and any(item.text in {"for", "of", "done"} for item in clause.after(first)[:1])
    return bool(owned or counted or noun or first.text.startswith("weigh in"))


def _orders(clause: Clause, first: Item) -> bool:
    """Whether a keeper's verb in its base form opens the clause: an order, unless it may be a past ("put", "shed")."""
    verb = first.sense("verb")
    if verb is None or verb.agent != "keeper" or first.kind != "word" or not has_base_verb([first]):
        return False
    if _heads(clause, first) or any(item.date and item.date.relation == "past" for item in clause.dates):
        return False
    if any(item.text.lower().split()[-1] in WEEKDAYS for item in clause.dates) and first.forms == {"base"}:
        return first.text != "new"  # "mist everyone on sunday", not "new thermostat on B on Wednesday"
    if first.text not in TOLD_WITHOUT_I or clause.plain("please"):
        return bool(clause.dates or clause.names)
    return any(item.date and (item.date.relation == "future" or item.date.recur) for item in clause.dates)
