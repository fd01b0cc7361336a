"""Words of the trade that their neighbours make part of a phrase: "clean slipped my mind", "too hot to move", "the house move"."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.items import Item

WIDTH = 6
"""So many items on each side are looked at."""

OWN = r"\b(?:the|my|our|your|a|this)$"
MEASURED_OFF = r"\bmeasured? (?:off|from|by|on) (?:\w+ ){0,2}\w+$"
THINGS = (
    r"(?:scales?|batter(?:y|ies)|phone|mobile|ac|a/c|air con|car|van|bike|laptop|computer|torch|timer|pump|boiler|internet|wifi|router"
    r"|signal|tv|kettle|fridge|freezer|camera|clock|plants?|ficus|pothos)"
)
IS = r"(?: (?:was|is|are|were|went|has|have|had|just|suddenly|all))*$"
PLACED = r"(?: (?:in|of|for|on|under|by) [^,.;]+?)"
WORN_OUT = rf"\b{THINGS}{IS}|^(?:(?:the|my|our|a) )?{THINGS}{PLACED}{IS}"
"""What dies and is no animal."""

OF_THINGS = r"(?:the|my|a|her|his|its|their|any) (?:dish|bowl|lid|tongs|skin|shed|moult|scales?|torch|label|sac|spray|bottle|exuvia)\b"
PHRASES: dict[str, tuple[tuple[str, str], ...]] = {
    "clean": (("", r"(?:slipped|forgot|forgotten|missed|went|gone|bowled|through)\b"),),
    "move": ((r"\btoo [\w ]+ to$", ""), (r"\bhouse$", "")),
    "moving": ((r"\bhouse$", ""),),
    "house": ((OWN, ""), (r"\b(?:since|before|after|around|round|the whole)$", "")),
    "running around": ((r"\b(?:me|us|i am|i was)$", ""),),
    "heap": (("", r"of\b"),),
    "not moved": (("", r"yet\b"),),
    "did not make it": ((r"\b(?:i|we)$", ""), ("", r"(?:to|home|back|in time|out|round)\b")),
    "was": (("", r"the (?:day|night|evening|morning|afternoon|week|time) (?:i|we|he|she|they|it|when|that)\b"),),
    "skin": ((MEASURED_OFF, ""),),
    "moult": ((MEASURED_OFF, ""),),
    "dead": ((WORN_OUT, ""), ("", r"(?:lea(?:f|ves)|plants?|moss|batter(?:y|ies)|wood|bulbs?|twigs?|branch|grass)\b")),
    "died": ((WORN_OUT, ""),),
    "was dead": ((WORN_OUT, ""),),
    "is dead": ((WORN_OUT, ""),),
    "end": ((r"\bin the$", ""),),
    "loose": (
        (r"\b(?:lids?|doors?|vents?|mesh|cover|hinge|latch|top)(?: (?:was|is|were|are|a|bit|little|came))*$", ""),
    ),
    "lazy": (
        (
            "",
            r"(?:round|day|evening|night|week|morning|afternoon|weekend|monday|tuesday|wednesday|thursday|friday|saturday|sunday)\b",
        ),
    ),
    "quiet": (("", r"(?:round|day|evening|night|week|morning|afternoon|weekend)\b"),),
    **dict.fromkeys(("could not find", "cannot find", "not find"), (("", OF_THINGS),)),
    "out": ((r"\b(?:i|we|had|have|has|just)(?: \w+)? (?:ran|run|running|popped|nipped|went|eating|dining)$", ""),),
    "could not see": (("", r"(?:into|in|inside|through|past|behind|under|much|properly|well)\b"),),
    "on the lid": ((r"\b(?:condensation|droplets|drops|water|mildew|frass)$", ""),),
}
"""For each word what stands right before and right after it, of which both must be so; any pair will do."""

_SEEN = {
    text: tuple((re.compile(before), re.compile(after)) for before, after in pairs) for text, pairs in PHRASES.items()
}


def in_phrase(items: Sequence[Item], at: int) -> bool:
    """Whether a word is only part of a phrase, and tells nothing of the animals."""
    pairs = _SEEN.get(items[at].text)
    if pairs is None:
        return False
    before = " ".join(item.text for item in items[max(0, at - WIDTH) : at])
    after = " ".join(item.text for item in items[at + 1 : at + 1 + WIDTH])
    return any(led.search(before) is not None and follows.match(after) is not None for led, follows in pairs)


def is_ordinal(items: Sequence[Item], at: int) -> bool:
    """Whether a figure counts in order, not heads: the 3 of "3rd feed"."""
    following = items[at + 1] if at + 1 < len(items) else None
    ends = following is not None and following.text in {"st", "nd", "rd", "th"} and following.start == items[at].end
    return items[at].kind == "number" and ends
