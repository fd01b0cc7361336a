"""What a question is about: rules over its words, in the order they are tried."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from bot.language.ask_words import Words
from bot.language.ruling import asks_for_sheet

if TYPE_CHECKING:
    from bot.language.items import Item

LIKING = ("like", "want", "need", "enjoy")
TO_BE = ("should", "prefer", "prefers", "supposed to", "likes", "wants")
FOOD = ("feeders", "food", "livefood", "live food", "bugs")
NEEDING = (
    "need", "want", "order", "buy", "get", "use", "require", "last me", "go through", "get through", "enough",
    "going to need", "pick up", "needed", "plan on", "should i", "get in", "stock up",
)  # fmt: skip
HOW_MUCH = ("how many", "how much", "what", "have i got enough", "enough", "do i need", "many", "needed", "how much")
WHOLE_DAY = (
    "what did i do", "what did we do", "what have i done", "what have we done", "what was done", "what did i log",
    "what was logged", "what got done", "what happened", "what did i get done", "what have i logged",
    "what went on",
)  # fmt: skip
HELP = (
    "what can you do", "what can i say", "what can i ask", "how do you work", "how does this work",
    "how do i use you", "what do you do", "what can i type", "help me",
)  # fmt: skip
WHY = ("why", "how come", "what makes", "how do you know", "where did you get", "where does that")
WHO = (
    "who", "which", "which ones", "whose", "anyone", "anybody", "any one", "has anyone", "what tubs", "what groups",
    "what animals", "which of", "list everyone", "list the ones", "list those",
)  # fmt: skip
COMING = (
    "next", "when should", "when do i need", "when does", "when do", "when is", "when am i", "when will",
    "when are", "due next", "how soon", "when can i",
)  # fmt: skip
GONE = ("last", "did", "was", "were", "ago", "had", "has", "have", "eaten", "fed last")
DUE = (
    "due", "overdue", "on my list", "on our list", "outstanding", "behind", "to do list", "todo list", "on the list", "jobs", "chores", "tasks",
    "agenda",
)  # fmt: skip
CARE = (
    "do", "doing", "done", "feeding", "misting", "watering", "attention", "cleaning", "fed", "food", "water",
    "doing today", "see to", "seeing to",
)  # fmt: skip
OPEN_WORK = (
    "should be doing", "ought to be doing", "what is left to do", "what have i got to do", "what do i have to do", "what should i do", "what is on today",
    "what is on for", "what is planned", "to do", "what must i do", "what is next", "what must be done",
    "must be done", "have to be done", "to be done", "needs to be done", "left to do",
)  # fmt: skip
WHOM = ("what", "who", "anything", "anyone", "which", "does anyone", "does anything", "what is on", "anybody")
CLIMATE_WORDS = {
    "humid", "humidity", "warm", "hot", "cold", "temp", "temperature", "damp", "dry", "rh", "wet", "temps",
    "readings", "reading", "conditions", "climate", "degrees", "hum", "cool", "hygro", "moist",
}  # fmt: skip
SIZE_WORDS = {
    "big", "large", "heavy", "long", "size", "legspan", "weigh", "weight", "heavily", "wide", "measure", "tall",
    "weighs", "leg span", "grown", "body length", "sizes", "dls", "fat", "small",
}  # fmt: skip
ASKS_SIZE = (
    "how", "what", "what is", "size of", "size", "weight of", "legspan of", "last", "show me", "current", "latest",
    "is", "does",
)  # fmt: skip
ASKS_DAY_OF_SIZE = (
    "when did", "when was", "last weighed", "last measured", "when were", "how long since", "how long ago",
    "how long is it since", "how long has", "who", "which", "did i", "did we", "have i", "have we",
)  # fmt: skip
OTHER_NUMBERS = (
    "how many times", "how many days", "how many weeks", "how many eggs", "how many moults", "how many molts",
)  # fmt: skip
HEADS = (
    "how many", "headcount", "head count", "count for", "how many are", "number of", "what is the count",
    "current count", "how large is the group", "heads", "tally", "how many have",
)  # fmt: skip
LAST = (
    "when", "days has it been", "weeks has it been", "how long since", "how long is it since", "how long ago", "last", "how long has it been",
    "how long has", "how many days since", "most recent", "latest", "how long", "what date", "what day",
    "which day", "days since", "what was the last", "last time", "how many weeks since", "how long have",
)  # fmt: skip
SHOWN = (
    "show", "show me", "history", "log", "logs", "list", "records", "record", "timeline", "entries", "notes",
    "pull up", "bring up", "everything", "overview", "overview of", "overview for", "summary", "story", "diary", "look up", "what did we log", "what has",
    "what have", "happened", "been up to", "going on", "update on", "what is new", "logged", "print", "up to",
    "can i see", "let me see", "give me",
)  # fmt: skip
SHOWN_BY_KIND = (
    "history", "log", "logs", "show", "show me", "records", "record", "timeline", "entries", "list",
    "what did we log", "pull up", "can i see", "logged", "everything", "happened", "bring up", "give me",
)  # fmt: skip
SHOWN_SURELY = (
    "history", "log for", "show me", "show", "timeline", "entries", "records", "pull up", "bring up", "can i see",
    "log", "everything", "give me",
)  # fmt: skip


def about_of(words: Words) -> tuple[str | None, str | None]:
    """What is asked about, and the kind of entry it is asked of; None where it cannot be told."""
    kind = words.kind()
    return next((about for about, asks in RULES if asks(words, kind)), None), kind


def _is_sheet(words: Words, _kind: str | None) -> bool:
    climate = any(item.text in CLIMATE_WORDS or item.thing("temperature", "humidity") for item in words.items)
    liked = words.any(*TO_BE) or (words.any("does", "do") and words.any(*LIKING))
    return asks_for_sheet(words) or (words.named and climate and liked)


def _is_feeders(words: Words, kind: str | None) -> bool:
    prey = any(item.prey for item in words.items if item.kind != "name") or words.any(*FOOD)
    used = words.any("how many", "how much") and not words.named and kind in {None, "feeding"}
    if prey and used and any(_is_stretch(item) for item in words.items):
        return True
    return prey and words.any(*NEEDING) and words.any(*HOW_MUCH)


def _is_stretch(item: Item) -> bool:
    return item.date is not None and bool(item.date.days or item.date.until)


def _is_day(words: Words, _kind: str | None) -> bool:
    return words.any(*WHOLE_DAY) and not words.named


def _is_who(words: Words, kind: str | None) -> bool:
    anyone = words.any("anyone", "anybody")
    if anyone and (words.any("due", "overdue") or asked_of(words.items)):
        return False
    act = kind is not None or words.any("eaten", "eat", "not eaten")
    return words.any(*WHO) and act and not words.any("due", "overdue", "needs", "need")


def _is_next_said(words: Words, kind: str | None) -> bool:
    return words.any("next") and kind is not None and not words.any("last time")


def _is_next(words: Words, kind: str | None) -> bool:
    if kind is None or not words.any(*COMING):
        return False
    return words.any("next") or not (words.any(*GONE) or words.any("how long"))


def _is_due(words: Words, _kind: str | None) -> bool:
    needed = words.any("needs", "need", "needing", "wants") and words.any(*CARE)
    return words.any(*DUE) or (words.any(*WHOM) and (needed or words.any(*OPEN_WORK)))


def _is_climate(words: Words, kind: str | None) -> bool:
    if kind == "misting" and words.texts[:1] in (["did"], ["have"], ["has"]):
        return False  # "did anyone damp the substrate"
    said = bool(CLIMATE_WORDS & set(words.texts))
    return said or any(item.thing("temperature", "humidity") for item in words.items)


def _is_size(words: Words, kind: str | None) -> bool:
    texts = set(words.texts)
    things = (item for item in words.items if item.kind == "word")
    measured = bool(SIZE_WORDS & texts) or any(item.thing("legspan", "body", "weight") for item in things)
    if not measured or not words.any(*ASKS_SIZE) or words.any(*ASKS_DAY_OF_SIZE):
        return False
    return kind in {None, "measurement", "count"} or bool({"big", "heavy", "large"} & texts)


def _is_headcount(words: Words, kind: str | None) -> bool:
    others = kind in {"moult", "death", "sac", "departure", "arrival", "misting"}
    return words.any(*HEADS) and not others and not words.any(*OTHER_NUMBERS)


def _is_last(words: Words, kind: str | None) -> bool:
    return kind is not None and words.any(*LAST)


def _is_history_surely(words: Words, kind: str | None) -> bool:
    return words.any(*SHOWN_SURELY) and _is_history(words, kind)


def _is_history(words: Words, kind: str | None) -> bool:
    where = words.any("where") and kind is None
    happened = words.any("what happened", "what has happened", "what went on", "what is new")
    if words.named and (where or happened):
        return True
    return words.any(*SHOWN) and (kind is None or words.any(*SHOWN_BY_KIND))


def _is_what_of_name(words: Words, kind: str | None) -> bool:
    return kind is None and words.any("what") and words.named


Rule = Callable[[Words, "str | None"], bool]
RULES: tuple[tuple[str, Rule], ...] = (
    ("help", lambda words, _kind: words.any(*HELP)),
    ("why", lambda words, _kind: words.any(*WHY)),
    ("sheet", _is_sheet),
    ("feeders", _is_feeders),
    ("day", _is_day),
    ("who", _is_who),
    ("next", _is_next_said),
    ("next", lambda words, kind: kind is not None and words.any("when is", "when are", "when") and words.any("due")),
    ("due", _is_due),
    ("next", _is_next),
    ("history", _is_history_surely),
    ("climate", _is_climate),
    ("size", _is_size),
    ("headcount", _is_headcount),
    ("last", _is_last),
    ("history", _is_history),
    ("did", lambda _words, kind: kind is not None),
    ("history", _is_what_of_name),
)


def asked_of(items: list[Item]) -> tuple[str, ...]:
    """Whom a question names, each once; "all" names nobody."""
    named = [item for item in items if item.kind == "name" and item.name and item.name.how != "all"]
    return tuple(dict.fromkeys(subject for item in named if item.name for subject in item.name.subjects))
