"""Corrections of what was logged just before: taken back, or changed in one field."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from bot.language.changes import ACTS, SMALL_WORDS, Changes, Made, changes_in, contrast_in, contrasted, denies_all
from bot.language.meaning import Amend
from bot.language.openers import Opener, opener_of, reaches_back, regrets_of
from bot.language.refine import refine
from bot.language.regrets import regret_end

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.items import Item, Tagged
    from bot.language.meaning import Entry

LEAD = (
    r"(?:(?:oh no|oh dear(?: me)?|dear me|silly me|no+|nope|aw+|nvm|never mind(?= ?,)|nevermind|welp|omg|bruh|bro|lol|ach|hell|heck|dang|darn|jeez|gosh|blimey|lord|ffs|shoot|rats|oh|ugh|oops|whoops|sorry|wait|please|actually|um|er|ok|okay|damn|argh|shit|ah|eh|hang on"
    r"|hold on|my bad|my mistake|crap|bollocks|bugger|d'oh|doh|can you|could you|would you|kindly|i (?:do )?beg your pardon|beg your pardon|(?:i am|i'm) (?:so|very|terribly)? ?sorry|my apologies|pls|just|nah|yeah|right|hmm"
    r"|ups|oopsie|oopsy|wrong(?= ?[,.!:-])|that's wrong|that is wrong)\b[ ,.!:-]*+)*+"
)
LAST = (
    r"(?:(?:that|it|this|the|my|those|them|what (?:i|you) (?:just )?(?:said|wrote|logged|sent|put down|put|noted|entered|saved|typed)(?: there| above| earlier| just now)?"
    r"|(?:the |my |that )?(?:last|previous|latest)(?: one| entry| log| message| bit| thing| line| note)?"
    r"|(?:that |the )?(?:one|entry|log|message|lot))"
    r"(?: (?:one|entry|log|message|bit|lot|last(?: one| entry| bit| message| log| line| thing)?))?)"
)
TAKING_BACK = (
    r"scrap|delete|remove|cancel|erase|scratch|bin|drop|forget|ignore|disregard|retract|revert|strike|withdraw|kill"
    r"|unlog|discard|take back|wipe|lose|nix|forget about|get rid of|undo|chuck|rub out|cross out"
)
RETRACTION = (
    rf"undo(?: {LAST})?|(?:{TAKING_BACK})(?: {LAST})|take {LAST} (?:back|out|off)"
    r"|scrub (?:(?:that|the|my) )?(?:last|previous)?(?: ?(?:one|entry|message|log|bit))?|scrub that"
    rf"|{LAST} (?:was|is) (?:a mistake|wrong|an error|not right|by mistake)"
    r"|(?:that |it )?(?:did not|didnt|didn't|never) happen(?:ed)?|wrong (?:one|entry|tub|chat|message|button)"
    r"|(?:sent|logged|entered|posted) (?:that )?(?:by|in) (?:mistake|error|accident)"
    rf"|never mind (?:{LAST})|cancel|scratch|strike that|go back|as you were|(?:i )?take (?:that|it) back"
    rf"|(?:don't|do not|dont) (?:log|save|write|record|keep|count) {LAST}"
)
MANNERS = (
    r"please|pls|thanks|ta|cheers|again|sorry|one|entry|will you|would you|mate|love|luv|hun|darling|dear|pal|buddy|bot|i was wrong|it was wrong|wrong tub"
    r"|my mistake|my bad|for me|x|lol|haha+|lmao|plz|thx|tysm|ty|bro|bruh|man|dude|then|completely|altogether|i just (?:sent|logged|wrote|made)"
    r"|you just (?:logged|wrote|made)|i got (?:it|that) wrong"
)
REASON = (
    r"wrong (?!about\b)[a-z]+|i got (?:it|that) wrong"
    r"|(?:that|it) was (?:wrong|a mistake)|my mistake|wrong"
    r"|(?:i|it|that)(?:'m|'s| was| were| am| is| had| got| put| meant| looked| typed)?(?: [a-z]+){0,3} wrong(?: [a-z]+)?"
)
RETRACT = re.compile(
    rf"^{LEAD}(?:{RETRACTION})(?:[ ,]+(?:and )?(?:{RETRACTION}))*(?:[ ,]+(?:{MANNERS}))*[ .!x,:(-]*(?:{REASON})?[ .!]*$"
)
PICTOGRAPHS = re.compile("[\u2600-\u27bf\ufe0f\U0001f300-\U0001faff]")
LONGEST_REASON = 15  # items
LONGEST_TAKING_BACK = 150  # characters
LARGEST_CONTRAST = 2  # fields
REASONING = {"the", "i", "my", "it", "its", "that", "she", "he", "kid", "kids", "wrong", "was", "just", "someone"}
"""Words that a reason may begin with where no mark parts it from what is taken back."""

CUTS = {",", ".", "!", "?", ";", "-", "(", "\n"}
CHANGED_IN_CARE = ("water", "watering", "substrate", "dampness", "equipment", "fullclean", "leftovers")
MEASURED = {"temperature_c", "humidity_pct", "value"}


def read_retraction(text: str) -> Amend | None:
    """The taking back of the last entries ("undo", "scrap that last one"), or None."""
    flat = re.sub(r"\s+", " ", PICTOGRAPHS.sub(" ", text.lower().replace("\u2019", "'"))).strip()
    starts = {0, regret_end(flat)}
    return Amend("retract") if any(RETRACT.match(flat[start:]) for start in starts) else None


def takes_back(tagged: Tagged) -> bool:
    """Whether a message takes the last entries back and gives a reason that tells nothing of care ("…, my brain is mush")."""
    items = tagged.items if len(tagged.text) < LONGEST_TAKING_BACK else ()
    starts = (at for at, item in enumerate(items) if at and _may_reason(item) and len(items) - at < LONGEST_REASON)
    return any(
        not any(map(_tells, items[at:])) and read_retraction(tagged.text[: items[at].start].rstrip(" ,.!?;-(\n"))
        for at in starts
    )


def _may_reason(item: Item) -> bool:
    return item.text in REASONING or (item.kind == "mark" and item.text in CUTS)


def _tells(item: Item) -> bool:
    """Whether an item tells of care, so that it is no part of a reason."""
    if item.kind in {"name", "date"} or item.prey or item.sense("outcome") or item.sense("sign"):
        return True
    return item.verb(*ACTS) or (item.quantity is not None and item.raw.isdigit())


def read_change(tagged: Tagged, *, acts: bool, last: Sequence[Entry] = ()) -> tuple[Amend | None, Made]:
    """The change a whole message asks for, with the items that made each field; None where it is no correction.

    `acts` says that the message tells an act of its own with a name: then only a plain opener makes it a correction.
    `last` are the entries written last.
    """
    items = refine(_after_regrets(tagged), tagged.index)
    of_one, made = (None, []) if acts else _of_one(items, tagged, last)
    if of_one is not None:
        return of_one, made
    turn = contrast_in(items)
    changes = contrasted(items, turn) if turn is not None else _opened(items, tagged, acts=acts)
    if turn is not None and acts and len(set(changes.fields) - {"on", "at", "part"}) > LARGEST_CONTRAST:
        return None, []  # "not 2 but 3 roaches for B, she took the lot"
    return (Amend("change", changes.fields), changes.made) if changes.fields else (None, [])


def _after_regrets(tagged: Tagged) -> list[Item]:
    """The items without the regrets before an opener that stands for itself ("brain like a sieve this week, I meant B")."""
    end = regrets_of(tagged)
    return [item for item in tagged.items if item.start >= end]


def _of_one(items: list[Item], tagged: Tagged, last: Sequence[Entry]) -> tuple[Amend | None, Made]:
    """The number that a correction gives the entry of one of those written last: "no, D was 5"."""
    opener = opener_of(tagged)
    if opener is None or not last:
        return None, []
    changes = changes_in([item for item in items if item.start >= opener.end])
    whose = tuple(changes.fields.get("subjects", ()))
    known = any(set(entry.subjects) == set(whose) for entry in last)
    if not known or set(changes.fields) != {"subjects", "quantity"}:
        return None, []
    return Amend("change", {"quantity": changes.fields["quantity"]}, whose), changes.made


def _opened(items: list[Item], tagged: Tagged, *, acts: bool) -> Changes:
    """The changes of a message that opens as a correction, or only reaches back with "after all"."""
    opener = opener_of(tagged) if not denies_all(items) else None
    if opener is None:
        return changes_in(items) if reaches_back(tagged) and not acts else Changes()
    if any(item.text == "either" for item in items):
        return Changes()  # "it was either A or B that I fed"
    following = next((item for item in items if item.start >= opener.end), None)
    if opener.words.startswith("change") and following is not None and following.thing(*CHANGED_IN_CARE):
        return Changes()  # "change the water for B weekly"
    says_more = _says_more(items, opener.end)
    if not opener.strong and (acts or says_more):
        return Changes()
    if not opener.decided and acts and says_more:
        return Changes()  # "it was a quick round tonight, I just topped up the water for everyone"
    changes = changes_in([item for item in items if item.start >= opener.end])
    if "count should" in opener.words and "quantity" in changes.fields:
        changes.fields["count"] = changes.fields.pop("quantity")
    return Changes() if _too_many(changes, opener) else changes


def _too_many(changes: Changes, opener: Opener) -> bool:
    """Whether the words tell more than one field, so that they correct nothing unless they say so outright."""
    if opener.decided:
        return False
    fields = set(changes.fields)
    fed_anew = {"quantity", "prey"} <= fields
    elsewhere = bool(MEASURED & fields) and "subjects" in fields
    return elsewhere or len(fields - {"on", "at", "part"}) > (2 if fed_anew else 1)


def _says_more(items: list[Item], start: int) -> bool:
    """Whether a message goes on to tell something of its own, so that its "no" or "it was" opens no correction."""
    rest = [item for item in items if item.start >= start]
    opening = {item.text for item in items if item.start < start}
    loose = [item for item in rest if item.kind == "plain" and item.text.isalpha() and item.text not in SMALL_WORDS]
    if len(loose) > 1 or len(rest) > 12:
        return True
    if not rest:
        return False
    none_of_it = "no" in opening and bool(rest[0].thing() or rest[0].sense("sign") or rest[0].prey)
    denied = "not" in opening and rest[0].sense("verb") is not None
    return none_of_it or denied
