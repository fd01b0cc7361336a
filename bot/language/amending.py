"""Corrections of what was logged just before: taken back, or changed in one field."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from bot.language.clauses import Clause
from bot.language.drafts import Scope
from bot.language.kinds.outcomes import outcome_of
from bot.language.kinds.readings import celsius
from bot.language.meaning import Amend
from bot.language.units import G_IN, MM_IN
from bot.language.refine import refine

if TYPE_CHECKING:
    from bot.language.items import Item, Tagged

LEAD = r"(?:(?:no|nope|oh|oh no|ugh|oops|whoops|sorry|wait|please|actually|um|er|ok|okay|damn|argh|shit|ah|eh|hang on|hold on|my bad|my mistake|crap|bollocks|bugger|d'oh|doh|can you|could you|pls|just|nah|yeah|right|hmm)[ ,.!:-]*)*"
LAST = r"(?:(?:that|it|this|the|my|those|them|what i (?:just )?(?:said|wrote|logged|sent)|(?:the |my |that )?(?:last|previous|latest)(?: one| entry| log| message| bit| thing| line| note)?|(?:that |the )?(?:one|entry|log|message|lot))(?: (?:one|entry|log|message|bit|lot|last one|last entry|last bit|last message|last log|last line|last thing|last))?)"  # fmt: skip
RETRACT = re.compile(
    rf"^{LEAD}(?:undo(?: {LAST})?|(?:scrap|delete|remove|cancel|erase|scratch|bin|drop|forget|ignore|disregard|retract|revert|strike|withdraw|kill|unlog|discard|take back|wipe|lose|nix|forget about|get rid of|undo|chuck|rub out|cross out)(?: {LAST})|take {LAST} (?:back|out|off)|(?:that|it) (?:was|is) (?:a mistake|wrong|an error|not right|by mistake)|(?:that |it )?(?:did not|didnt|didn't|never) happen(?:ed)?|wrong (?:one|entry|tub|chat|message|button)|(?:sent|logged|entered|posted) (?:that )?(?:by|in) (?:mistake|error|accident)|never mind (?:{LAST})|cancel|scratch|strike that|go back|as you were|(?:i )?take (?:that|it) back|(?:don't|do not|dont) (?:log|save|write|record|keep|count) {LAST})"  # fmt: skip
    rf"(?: (?:please|pls|thanks|ta|cheers|again|sorry|one|entry|will you|would you|mate|i was wrong|it was wrong|wrong tub|my mistake|my bad|for me|x|then|completely|altogether|i just (?:sent|logged|wrote|made)|you just (?:logged|wrote|made)|i got (?:it|that) wrong))*[ .!x,:(-]*(?:wrong (?:tub|one|box|group|animal|name|chat|day|number|entry)|i got (?:it|that) wrong|(?:that|it) was (?:wrong|a mistake)|my mistake|wrong)?[ .!]*$"
)
OPENERS = {"i beg your pardon", "beg your pardon", "pardon", "pardon me", "apologies", "my apologies", "i made a mistake", "made a mistake", "mistake", "a mistake", "forgive me", "excuse me", "no", "nope", "sorry", "oops", "whoops", "actually", "wait", "correction", "make that", "make it", "i meant", "i mean", "should be", "should have been", "change that", "change it", "change the", "that was", "it was", "they were", "those were", "that is", "that should be", "not", "oh wait", "hang on", "hold on", "meant", "i meant to say", "my mistake", "set it to", "set that to", "turns out", "that were", "these were", "it is", "she was", "that should have been", "it should be", "it should say", "it should have been", "i said", "wrong", "nah", "scratch that", "scrap that", "change", "correct that", "amend", "edit", "fix that", "tell a lie", "i tell a lie", "my bad", "typo", "meant to say", "that wasn't", "the last one was", "last one was", "the last one should", "them", "they was", "in fact", "on second thoughts", "update that", "update", "put that down as", "date should be", "make those", "make them", "ah no", "oh no", "er no", "wrong day", "wrong tub"}  # fmt: skip
SMALL_WORDS = frozenset("the a an it was is that they were them those of on in at for to not be been should have had has did do i we she he her his its my our from actually sorry no day time one ones and or but with by this tub box group wrong correct than more less only mean meant said please again late too last after all end later now".split())
AFTER_ALL = {"after all", "in the end", "eventually", "though", "did take", "did eat", "has eaten", "has taken"}
REACHING_BACK = re.compile(r"\b(?:after all|in the end|eventually)\b")


def read_retraction(text: str) -> Amend | None:
    """ "undo", "scrap that last one": the last entries are taken back."""
    flat = re.sub(r"\s+", " ", text.lower().replace("\u2019", "'")).strip()
    return Amend("retract") if RETRACT.match(flat) else None


def read_change(tagged: Tagged, acts: bool) -> tuple[Amend | None, list[tuple[str, Item]]]:
    """The change a whole message asks for, with the items that made each field; None where it is no correction.

    `acts` says that the message tells an act of its own with a name: then only a plain opener makes it a correction.
    """
    items = refine(list(tagged.items), tagged.index)
    opener = _opener(tagged) or _closing(tagged)
    contrast = _contrast(items)
    if opener is None and contrast is None and not _reaches_back(tagged):
        return None, []
    if contrast is None and opener is not None and not _strong(opener) and _says_more(items, opener[1]):
        return None, []
    if acts and contrast is None and not (opener is not None and _strong(opener)):
        return None, []
    if contrast is not None:
        changes, made = _contrasted(items, contrast)
    else:
        changes, made = _changes([item for item in items if item.start >= (opener[1] if opener else 0)])
    measured = {"temperature_c", "humidity_pct", "value"} & set(changes)
    if contrast is None and opener is not None and not _decided(opener) and ((measured and "subjects" in changes) or len(set(changes) - {"on", "at", "part"}) > 1 + bool({"quantity", "prey"} <= set(changes))):
        return None, []
    return (Amend("change", changes), made) if changes else (None, [])


def _opener(tagged: Tagged) -> tuple[str, int] | None:
    """The words a correction opens with, and where they end; the longest that fit."""
    tokens = [token for token in tagged.tokens if token.kind == "word" or token.kind == "number"]
    found = None
    at = 0
    while at < len(tokens):
        step = 0
        for length in (4, 3, 2, 1):
            words = " ".join(token.text for token in tokens[at : at + length])
            if words in OPENERS and len(tokens) > at:
                step = length
                found = (f"{found[0]} {words}" if found else words, tokens[at + length - 1].end)
                break
        if not step and tokens[at].text in {"oh", "um", "er", "ah", "eh", "ugh", "ok", "and", "please", "that", "the", "to", "be", "was", "hmm", "yeah", "so", "well", "just", "should", "damn", "argh", "have", "been", "right"}:
            step = 1
        if not step and found and at + 1 < len(tokens) and tokens[at + 1].text in {"says", "said", "reckons", "thinks"}:
            step = 2  # "nope, Jo says it was Tuesday"
        if not step:
            break
        at += step
    return found


def _closing(tagged: Tagged) -> tuple[str, int] | None:
    """ "heavily, meant to say" : a short correction that says so at its end."""
    words = " ".join(token.text for token in tagged.tokens if token.kind == "word")
    return ("meant", 0) if len(tagged.tokens) <= 8 and words.endswith(("that was", "that is", "it was", "meant to say", "i meant", "i should say", "i should have said")) else None


def _says_more(items: list[Item], start: int) -> bool:
    """Whether a message goes on to tell something of its own, so that its "no" or "it was" opens no correction."""
    rest = [item for item in items if item.start >= start]
    loose = [item for item in rest if item.kind == "plain" and item.text.isalpha() and item.text not in SMALL_WORDS]
    nothing = bool(rest) and (rest[0].thing() or rest[0].sense("sign") or rest[0].prey) and any(item.text == "no" for item in items if item.start < start)
    if nothing:
        return True
    denied = bool(rest) and rest[0].sense("verb") is not None and "not" in [item.text for item in items if item.start < start]
    return len(loose) > 1 or len(rest) > 12 or denied


def _decided(opener: tuple[str, int]) -> bool:
    return any(word in opener[0] for word in ("meant", "make that", "make it", "should", "change", "correct", "mistake"))


def _strong(opener: tuple[str, int]) -> bool:
    return any(word in opener[0] for word in ("meant", "make that", "make it", "should", "change", "correct", "mistake", "was", "were"))


def _reaches_back(tagged: Tagged) -> bool:
    return bool(REACHING_BACK.search(tagged.text.lower())) and not any(item.kind == "name" for item in tagged.items)


def _contrast(items: list[Item]) -> int | None:
    """Where "X not Y" or "not Y, X" turns: the position of "not" between two pieces of one sort."""
    for position, item in enumerate(items):
        if item.text not in {"not", "rather than", "instead", "instead of", "and not"} or item.kind in {"name", "number"}:
            continue
        before = next((_field(other) for other in reversed(items[:position]) if _field(other)), None)
        following = [_field(other) for other in items[position + 1 :] if _field(other)]
        acts = next((at for at, other in enumerate(items[position + 1 :]) if other.sense("verb", "feed", "mist", "clean", "move", "water", "eat", "take")), None)
        first = next((at for at, other in enumerate(items[position + 1 :]) if _field(other)), 0)
        said = [other for other in items[position + 1 : position + 1 + first] if other.kind == "plain" and other.text not in SMALL_WORDS]
        if (acts is not None and acts < 2) or said:
            continue
        if following and (before == following[0] or (len(following) > 1 and following[0] == following[1])):
            return position
        if len(items) <= 7 and item.text == "not" and before in {"prey", "name"} and position + 1 < len(items) and items[position + 1].kind == "plain" and not any(other.sense("verb", "feed", "mist", "eat", "clean", "move", "take") for other in items):
            return position
    return None


def _field(item: Item) -> str | None:
    if item.kind == "date":
        return "date" if item.date and item.date.on else None
    if item.kind == "name":
        return "name"
    if item.kind == "number":
        return "number" if item.quantity and not item.quantity.article else None
    if item.prey:
        return "prey"
    if item.sense("state"):
        return "state"
    return "outcome" if item.sense("outcome", "ate", "refused") or item.verb("eat", "refuse") else None


def _contrasted(items: list[Item], position: int) -> tuple[dict[str, Any], list[tuple[str, Item]]]:
    """Of "C not B" keep C; of "not B, C" keep C."""
    before = items[:position]
    said = [item for item in before if _field(item) not in {None, "outcome"}]
    if said:
        denied = next((_field(item) for item in items[position + 1 :] if _field(item)), None)
        tail = [item for item in items[position + 1 :] if _field(item) not in {denied, None}]
        return _changes(before + tail)
    after = items[position + 1 :]
    first = next((index for index, item in enumerate(after) if _field(item)), None)
    return _changes(after[first + 1 :]) if first is not None else ({}, [])


def _changes(items: list[Item]) -> tuple[dict[str, Any], list[tuple[str, Item]]]:
    changes: dict[str, Any] = {}
    made: list[tuple[str, Item]] = []

    def put(field: str, value: Any, item: Item) -> None:  # noqa: ANN401 - entry fields differ in type
        if field not in changes and value is not None:
            changes[field] = value
            made.append((field, item))

    for item in items:
        if item.kind == "name" and item.name and item.name.how != "either":
            put("subjects", item.name.subjects, item)
        elif item.date is not None:
            put("on", _day_said(item), item)
            put("at", item.date.at if item.text not in {"now", "right now"} else None, item)
            put("part", item.date.part, item)
        elif item.quantity is not None:
            _put_number(put, items, item)
        elif item.prey:
            put("prey", item.prey, item)
        elif item.sense("state"):
            put("prey_state", item.sense("state").value, item)  # type: ignore[union-attr]
        elif item.sense("amount") and not item.sense("filler"):
            put("amount", item.sense("amount").value, item)  # type: ignore[union-attr]
    scope = Scope(Clause(tuple(items)), list(items))
    outcome, words = outcome_of(scope)
    if outcome and words and not (changes and outcome == "ate" and not any(item.sense("outcome") for item in words)):
        put("outcome", outcome, words[0])
    return changes, made


def _day_said(item: Item) -> Any:  # noqa: ANN401 - a date or None
    """The day of a date that names one; a bare clock time changes only the time."""
    date = item.date
    assert date is not None  # noqa: S101 - the caller looked
    only_time = date.at is not None and not any(word in item.text.lower() for word in ("day", "night", "morrow", "ago", "th", "st", "nd", "rd", "/", "-", "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"))
    return None if only_time else date.on


def _put_number(put: Any, items: list[Item], item: Item) -> None:  # noqa: ANN401 - the setter of _changes
    quantity = item.quantity
    assert quantity is not None  # noqa: S101 - the caller looked
    if quantity.article:
        return
    if quantity.unit in {"C", "F", "deg"}:
        put("temperature_c", celsius(quantity), item)
    elif quantity.unit == "%":
        put("humidity_pct", quantity.measured(), item)
    elif quantity.unit in MM_IN or quantity.unit in G_IN:
        put("value", quantity.measured(MM_IN.get(quantity.unit or "", G_IN.get(quantity.unit or "", 1.0))), item)
    else:
        put(_number_field(items), quantity.count(), item)


def _number_field(items: list[Item]) -> str:
    """A bare number is a quantity (the parse contract), unless the message says what it counts."""
    if any(item.verb("count") or item.thing("count") for item in items):
        return "count"
    if any(item.verb("die", "moult", "sell") or item.thing("death", "exuvia", "eggs", "young") for item in items if item.kind == "word"):
        return "number"
    return "quantity"
