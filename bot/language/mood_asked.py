"""Whether a clause asks: by its question word, its order of words, its mark, or a noun phrase that can only ask."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.mood_planned import sets_next
from bot.language.mood_told import has_base_verb, is_told, repeats

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item

AUXILIARIES = {
    "am i", "are we", "did", "does", "do", "has", "have", "is", "are", "was", "were", "had", "am", "will", "can", "could", "should",
    "shall",
}  # fmt: skip
SUBJECTS = {
    "i", "we", "you", "she", "he", "they", "it", "anyone", "anybody", "someone", "anything", "there", "any",
    "everyone", "everybody", "all", "the", "my", "our", "either", "both", "those", "these", "that", "this",
}  # fmt: skip
GROUP_SUBJECTS = {"the", "my", "our", "all", "both", "that", "this", "those", "these"}
WH_WORDS = {"when", "what", "where", "who", "which", "how", "why"}
STRONG_WORDS = WH_WORDS | {
    "whose", "show me", "history", "anything", "tell me", "list", "can you show", "can you tell me",
    "could you tell me", "do you know", "pull up", "bring up", "look up", "log for", "the log for", "record for",
    "timeline", "summary of", "summary for", "show", "let me see", "has anyone", "remind me when", "remind me how",
    "remind me what", "i want to see", "i need to know", "print", "records", "give me",
}  # fmt: skip
AFTER_WH = AUXILIARIES | {
    "would", "needs", "need", "wants", "else", "time", "day", "much", "many", "long", "big", "humid", "warm", "hot", "old",
    "often", "must", "shall", "ones", "one", "heavy", "large", "happened", "damp", "last", "next", "is", "not", "come", "exactly",
    "size", "weight", "colour", "color", "sort", "shape", "far", "about", "on", "due", "kind", "tubs", "groups", "animals", "on earth", "dry", "wet", "cold", "small",
    "wide", "tall", "of", "moulted", "ate", "fed", "got", "still", "went", "in",
}  # fmt: skip
RELATIVE = {"which", "who", "whom"}
FOOD = {"feeders", "feeder", "food", "livefood", "bugs"}
REMINDERS = {"remind me", "remind us", "nudge me", "ping me"}
ORDERING = {"set", "schedule", "make", "put", "add"}


def asks(clause: Clause, opening: list[Item], end: str, *, last: bool) -> bool:
    """Whether the clause asks. `opening` leaves out greetings; `end` closes the sentence whose `last` clause it may be."""
    if _orders(clause, opening):
        return False
    first = opening[0]
    asked = _joins(clause, opening, end)
    asked = _asked_by_first_word(first, opening[1:], end) if asked is None else asked
    if asked is not None:
        return asked
    following = opening[1] if len(opening) > 1 else None
    thing = following is not None and (following.thing() or following.sense("verb"))
    if sets_next(clause, opening) and end != "?":
        return False
    if first.text in {"next", "last"} and thing and not is_told(clause):
        return True
    return (end == "?" and last) or _names_question(clause)


def _joins(clause: Clause, opening: list[Item], end: str) -> bool | None:
    """Whether a joining word asks: "whether" at the beginning does, a relative clause ("…, which he took") and "next time" do not."""
    first = opening[0]
    if first.text == "whether" and not clause.joiner:
        return True
    shown = first.text == "everything" and clause.plain("on", "about") is not None and bool(clause.names)
    if shown and not clause.joiner and not is_told(clause) and not {"is", "was", "are"} & set(clause.texts):
        return True  # "everything on tub 4 since may"
    if clause.joiner and clause.texts[:1] == ["did"] and clause.texts[1:2] in (["it"], ["that"]) and end != "?":
        return not clause.dates  # "…, did it wednesday in the end"
    relative = first.text in RELATIVE and clause.joiner == "," and end != "?" and _goes_on(opening[1:])
    return False if relative or clause.texts[:2] == ["next", "time"] else None


def _goes_on(rest: list[Item]) -> bool:
    """Whether a subject, or a verb in the past, makes a relative clause of it."""
    return bool(rest) and (rest[0].text in SUBJECTS or rest[0].kind == "name" or "past" in rest[0].forms)


def _orders(clause: Clause, opening: list[Item]) -> bool:
    """Whether a reminder is ordered in the words of a question: "can you remind me to mist A"."""
    first = opening[0].text
    reminder = next((item for item in clause.items if item.kind == "word" and item.text in REMINDERS), None)
    if reminder is not None and any(item.forms or item.thing() for item in clause.after(reminder)):
        return True
    if first in {"can you", "could you", "can you set"} and _plan_verb(opening[1:]):
        return True
    return first in {"can", "could", "can you", "could you"} and repeats(clause)


def _plan_verb(items: list[Item]) -> bool:
    reminded = any(item.verb("remind") or item.sense("plan") for item in items[:3])
    return reminded or any(item.text in ORDERING for item in items[:2])


def _asked_by_first_word(first: Item, rest: list[Item], end: str) -> bool | None:
    """What the first word says: True or False; None where it is no question word and the rest must tell."""
    is_question_word = first.kind in {"word", "plain"} and first.sense("question") is not None
    if not is_question_word or first.sense("sign"):
        return None
    if first.text in STRONG_WORDS:
        return _question_word(first, rest, end)
    if first.text in {"any", "anyone", "anybody"}:
        return True
    return _inverted(first, rest, end) if first.text in AUXILIARIES else None


def _question_word(first: Item, rest: list[Item], end: str) -> bool:
    """Whether "when", "who" or "how" asks: it may also only join ("when I fed B")."""
    if first.text not in WH_WORDS or end == "?" or not rest:
        return True
    following = rest[0]
    if following.text.split()[0] in AFTER_WH or following.text.startswith(("has", "have", "did", "is", "not")):
        return True
    if first.text in {"what", "which"} and (following.thing("humidity", "temperature") or following.text in FOOD):
        return True
    if first.text in {"which", "what"} and any(
        item.text in AUXILIARIES | {"need", "needs", "want", "wants"} for item in rest[1:4]
    ):
        return True  # "which jobs are due"
    named = following.sense("verb") is not None or following.kind == "name" or following.text in SUBJECTS
    return first.text in {"who", "why", "how", "which"} and named


def _inverted(first: Item, rest: list[Item], end: str) -> bool:
    """Whether an auxiliary asks: before its subject it does, before a verb ("have fed B") it only lacks its "I"."""
    if end == "?" or first.text in {"am i", "are we"}:
        return True
    if not rest or not (rest[0].kind == "name" or rest[0].text in SUBJECTS or rest[0].sense("meter")):
        return False
    subject = rest[0]
    if first.text in {"did", "do"} and (
        subject.kind == "name" or subject.text in {"it", "that", "everyone", "everybody"}
    ):
        return has_base_verb(rest[1:])  # "did it this morning" is told
    if first.text == "have" and _was_done(rest):
        return True
    if subject.text in GROUP_SUBJECTS and first.text in {"did", "do", "have"}:
        return has_base_verb(rest[1:])
    return first.text != "had" or subject.text in {"i", "we", "you"}


def _was_done(rest: list[Item]) -> bool:
    """Whether a name and what was done to it follow: "have the whips been sprayed"."""
    named = next((at for at, item in enumerate(rest) if item.kind == "name"), None)
    if named is None:
        return False
    following = rest[named + 1 : named + 3]
    done = (
        bool(following)
        and rest[0].text in GROUP_SUBJECTS
        and (following[0].text == "eaten" or "past" in following[0].forms)
    )
    return done or any(item.text == "been" for item in following)


def _names_question(clause: Clause) -> bool:
    """Whether a noun phrase can only be a question: "B's last moult", "headcount for B", "history for tub 4"."""
    if is_told(clause) or clause.numbers or repeats(clause):
        return False
    texts = set(clause.texts)
    denied = bool({"not", "was", "were"} & texts)  # "log tank wasn't due"
    if {"due", "overdue"} & texts and not denied and len(clause.items) < 8 and not _tells_state(clause):
        return True
    latest = {"last", "next", "latest"} & texts and any(item.thing() or item.sense("verb") for item in clause.items)
    planned = any(item.sense("plan") for item in clause.items)
    return bool({"history", "overdue"} & texts or (latest and not planned))


def _tells_state(clause: Clause) -> bool:
    return any(item.thing("exuvia") or item.sense("sign") for item in clause.items)
