"""How a clause is meant: told as done, asked, planned, wished for, or small talk."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item

AUXILIARIES = {"did", "does", "do", "has", "have", "is", "are", "was", "were", "had", "am", "will", "can", "could", "should", "shall"}
SOFT_WISHES = {"probably", "maybe", "perhaps", "hope", "hoping", "not sure", "wonder", "would", "could", "whether", "fancy", "when she", "when he", "once she", "once he", "once they", "may", "in case", "if"}  # fmt: skip
SUBJECTS = {"i", "we", "you", "she", "he", "they", "it", "anyone", "anybody", "someone", "anything", "there", "any", "everyone", "everybody", "all", "the", "my", "our", "either", "both", "those", "these", "that", "this"}  # fmt: skip
STRONG_WORDS = {"why", "who", "which", "how", "what", "where", "when", "whose", "show me", "history", "anything", "tell me", "list", "can you show", "can you tell me", "could you tell me", "do you know", "pull up", "bring up", "look up", "log for", "the log for", "record for", "timeline", "summary of", "summary for", "show", "let me see", "has anyone", "remind me when", "remind me how", "remind me what", "i want to see", "i need to know", "print", "records", "give me"}  # fmt: skip
AFTER_WH = AUXILIARIES | {"needs", "need", "else", "time", "day", "much", "many", "long", "big", "humid", "warm", "hot", "old", "often", "ones", "one", "heavy", "large", "happened", "damp", "last", "next", "is", "not", "come", "exactly", "far", "about", "on", "due", "kind", "tubs", "groups", "animals", "on earth", "dry", "wet", "cold", "small", "wide", "tall", "of", "moulted", "ate", "fed", "got", "still", "went", "in"}  # fmt: skip


def mood_of(clause: Clause, earlier: str, end: str, *, last: bool) -> str:
    """`ask`, `plan`, `stop`, `wish` or `log`. `earlier` is the mood of the clause before in the same sentence."""
    opening = _opening(clause)
    if not opening:
        return earlier if earlier != "log" else ("ask" if end == "?" and last else "log")
    if _stops(clause):
        return "stop"
    if _asks(clause, opening, end, last=last):
        return "ask"
    if _wishes(clause) or (earlier == "wish" and not _is_told(clause)):
        return "wish"
    if _plans(clause, opening, earlier):
        return "plan"
    if earlier in {"plan", "stop"}:
        return "log" if _is_told(clause) else earlier
    if earlier == "ask" and not _is_told(clause):
        return earlier
    return "log"


def _opening(clause: Clause) -> list[Item]:
    items = list(clause.items)
    while items and (items[0].kind in {"mark", "date"} or ((items[0].sense("filler") or items[0].sense("chat")) and not items[0].sense("question") and not items[0].sense("verb") and items[0].kind == "word")):
        items = items[1:]
    return items


def _has(item: Item, category: str) -> bool:
    return item.kind in {"word", "plain"} and item.sense(category) is not None


def _asks(clause: Clause, opening: list[Item], end: str, *, last: bool) -> bool:
    first = opening[0]
    following = opening[1] if len(opening) > 1 else None
    reminder = next((item for item in clause.items if item.kind == "word" and item.text in {"remind me", "remind us", "nudge me", "ping me"}), None)
    if reminder is not None and any(item.forms or item.thing() for item in clause.after(reminder)):
        return False
    if first.text in {"can you", "could you", "can you set"} and _plan_verb(opening[1:]):
        return False
    if first.text in {"can", "could", "can you", "could you"} and any(item.date and item.date.recur for item in clause.dates):
        return False
    if _has(first, "question") and not (first.sense("sign") or first.kind == "name"):
        if first.text in STRONG_WORDS:
            return _question_word(first, following, end)
        if first.text in {"any", "anyone", "anybody"}:
            return True
        if first.text in AUXILIARIES:
            return _inverted(first, opening[1:], end)
    if first.text in {"next", "last"} and following is not None and (following.thing() or following.sense("verb")) and not _is_told(clause):
        return True
    if end == "?" and last:
        return True
    return _names_question(clause)


def _plan_verb(items: list[Item]) -> bool:
    return any(item.verb("remind") or item.sense("plan") for item in items[:3]) or any(item.text in {"set", "schedule", "make", "put", "add"} for item in items[:2])


def _question_word(first: Item, following: Item | None, end: str) -> bool:
    if first.text in {"when", "what", "where", "who", "which", "how", "why"}:
        if end == "?" or following is None:
            return True
        return following.text in AFTER_WH or (first.text in {"who", "why", "how", "which"} and (following.sense("verb") is not None or following.kind == "name" or following.text in SUBJECTS)) or following.text.startswith(("has", "have", "did", "is", "not"))  # fmt: skip
    return True


def _inverted(first: Item, rest: list[Item], end: str) -> bool:
    """An auxiliary before its subject asks; before a verb it only lacks its "I" ("have fed B", "was misting")."""
    if end == "?":
        return True
    if not rest:
        return False
    follows = rest[0]
    named = follows.kind == "name" or follows.text in SUBJECTS
    if not named:
        return False
    if follows.kind == "name" and first.text in {"did", "do"}:
        return any(sense.form == "base" for item in rest[1:] for sense in item.senses if sense.category == "verb")
    if follows.text in {"the", "my", "our", "all", "both", "that", "this", "those", "these"} and first.text in {"did", "do", "had", "have"}:
        return any(sense.form == "base" for item in rest[1:] for sense in item.senses if sense.category == "verb") and first.text != "had"
    return first.text != "had" or follows.text in {"i", "we", "you"}


def _names_question(clause: Clause) -> bool:
    """ "B's last moult", "headcount for B", "history for tub 4": a noun phrase that can only be a question."""
    texts = clause.texts
    if _is_told(clause) or clause.numbers or any(item.date and item.date.recur for item in clause.dates):
        return False
    asks = {"last", "next", "latest"} & set(texts) and any(item.thing() or item.sense("verb") for item in clause.items)
    if {"due", "overdue"} & set(texts) and len(texts) < 8 and not any(item.thing("exuvia") or item.sense("sign") for item in clause.items):
        return True
    return bool(asks) and not any(item.sense("plan") for item in clause.items) or "history" in texts or "overdue" in texts


def _stops(clause: Clause) -> bool:
    word = next((item for item in clause.items if item.kind != "name" and item.sense("plan", "stop")), None)
    if word is None:
        return False
    if "remind" in word.text or "nag" in word.text or "telling" in word.text or word.text.startswith(("stop pinging", "stop nudging", "stop bugging")):
        return True
    return any(item.thing("reminder") or item.verb("remind") for item in clause.items)


def _wishes(clause: Clause) -> bool:
    reminded = any(item.verb("remind") or "remind" in item.text for item in clause.items if item.kind == "word")
    repeated = any(item.date and item.date.recur for item in clause.dates)
    for item in clause.items:
        if item.kind in {"name", "date", "number"} or not item.sense("plan", "wish"):
            continue
        if item.text in {"would", "could", "should", "would like"} and (reminded or repeated):
            continue
        following = [other.text for other in clause.after(item)[:2]]
        if item.text in {"could", "would", "can"} and {"see", "find", "say", "guess", "count", "spot"} & set(following):
            continue
        if item.text in {"could", "would"} and following[:1] == ["not"]:
            continue
        if item.text == "if" and clause.before(item) and clause.before(item)[-1].text in {"as", "even"}:
            continue
        if item.text in {"may", "might"} and not clause.after(item):
            continue
        if item.text in SOFT_WISHES - {"if"} and _is_told(clause):
            continue
        return True
    return False


def _is_told(clause: Clause) -> bool:
    """Whether the clause has a verb in the past, or a sight: something that has happened."""
    for item in clause.items:
        if "past" in item.forms and not _infinitive(clause, item):
            return True
        if item.kind == "word" and item.sense("sign") and item.text.startswith(("no ", "not ", "have not", "has not", "did not", "still ")):
            return True
        if item.kind == "word" and item.sense("outcome") and not item.forms:
            return True
    return False


def _infinitive(clause: Clause, item: Item) -> bool:
    """A verb spelled alike in both forms ("put", "split") after "to" is no past."""
    before = clause.before(item)
    if before and before[-1].text in {"be", "needs be", "get"} and len(before) > 1:
        return True
    return "base" in item.forms and bool(before) and (before[-1].text in {"to", "not"} or before[-1].sense("plan") is not None or before[-1].text.endswith(" to"))


def _plans(clause: Clause, opening: list[Item], earlier: str) -> bool:
    told = _is_told(clause)
    repeats = any(item.date and item.date.recur for item in clause.dates)
    marker = next((item for item in clause.items if item.kind not in {"name", "date", "number"} and item.sense("plan", "true")), None)
    if marker is not None and _marks_plan(clause, marker):
        return True
    if repeats and (not told or earlier == "plan" or clause.plain("please")) and not _ongoing(clause) and not (told and clause.plain("i", "we")):
        return True
    if told:
        return False
    ahead = any(item.date and (item.date.relation == "future" or _still_to_come(item)) for item in clause.dates)
    verb = opening[0].sense("verb")
    orders = verb is not None and any(sense.form == "base" for sense in opening[0].senses if sense.category == "verb") and verb.agent == "keeper" and opening[0].kind == "word"
    coming = any(item.date and item.date.on and item.text.lower().startswith("this ") and not item.text.lower().split()[1].startswith(("morn", "after", "even", "night", "am", "pm", "arvo", "week", "month", "wk")) for item in clause.dates)
    if (ahead or (coming and "ing" in {form for item in opening[:2] for form in item.forms})) and not clause.numbers:
        return True
    if ahead and (orders or any(sense.form == "base" for item in clause.items for sense in item.senses if sense.category == "verb")):
        return True
    return orders and bool(clause.dates or clause.names) and not any(item.date and item.date.relation == "past" for item in clause.dates) and opening[0].text not in {"put", "split", "shed", "spread", "cut", "water", "mist", "spray", "spot", "wet", "count", "measure", "size", "new", "top", "pop", "mate"} or (orders and bool(clause.dates) and not any(item.date and item.date.relation == "past" for item in clause.dates) and any(_ahead(item) for item in clause.dates))  # fmt: skip


def _still_to_come(item: Item) -> bool:
    """A day and month told without a year that is nearer ahead than behind ("on 8th of august" said in July)."""
    date = item.date
    return date is not None and date.this_year is not None and date.on is not None and date.on < date.this_year


def _ahead(item: Item) -> bool:
    return item.date is not None and (item.date.relation == "future" or item.date.recur is not None)


def _ongoing(clause: Clause) -> bool:
    """ "was misting tub 2 every other day", "been feeding her weekly": a habit of the past, told."""
    return bool({"was", "were", "been", "used to", "had"} & set(clause.texts))


def _marks_plan(clause: Clause, marker: Item) -> bool:
    following = clause.after(marker)
    if marker.text == "time to" and any(item.sense("negation") for item in clause.before(marker)):
        return False
    if marker.text in {"needs", "need a", "needs a", "better", "will", "shall", "got to", "about to", "set", "plan", "time to", "reminder", "schedule", "remind", "have to", "has to", "want to"}:
        verbs = [item for item in following if item.sense("verb") or item.thing() or item.text in {"be", "do"}]
        return bool(verbs) and not (marker.text == "will" and following and following[0].text == "not")
    if marker.text == "must" and following and following[0].text in {"be", "have"}:
        return False  # a guess: "must be a moult coming"
    if marker.text == "going to" and following and not any(item.sense("verb") or item.text in {"be", "do"} for item in following[:4]):
        return False
    return True
