"""The words in which a keeper lays down how somebody is kept: what they like, the care sheet, going away, letting go."""

from __future__ import annotations

import re

WANTING = (
    "likes", "like it", "like to be", "prefers", "prefer", "loves", "love", "enjoys", "enjoy", "wants", "want", "needs",
    "need", "does best", "do best", "is best", "are best", "best at", "best with", "best kept", "happiest", "happy at",
    "comfortable at", "thrives", "thrive", "keep", "hold", "maintain", "aim for", "aiming for", "aim at", "target",
    "ideal", "ideally", "should be", "should have", "should stay", "should sit", "ought to be", "is to be", "are to be",
    "must be", "must stay", "has to be", "have to be", "needs to be", "need to be", "needs be", "wants to be",
    "want to be", "from now on", "set", "range for", "band for", "limits for", "to be kept", "settings for",
)  # fmt: skip
"""Words that make a temperature or a humidity one to be kept, and no reading."""

HATING = ("hates", "hate", "dislikes", "dislike", "not like", "not stand", "not want")
RANGING = {"to", "-", "till", "and"}
OF_A_READING = {"was", "were", "been", "reads", "read", "reading", "shows", "showing", "showed", "now", "currently"}
OF_A_PART = {"night", "nights", "daytime", "overnight", "winter", "summer", "noon", "midday", "mornings", "evenings"}
OWNERS_OF_LIKING = {"they", "both", "all", "these", "those"}
"""Words before "like" that make it a verb."""

SHEET_SURELY = ("care sheet", "care sheets", "caresheet", "caresheets", "care guide", "care settings", "care values", "care rules")  # fmt: skip
OWN_RULES = (
    "settings", "my rules", "own rules", "my own rules", "rules for", "rules of", "overrides", "preferences for",
    "set up for", "defaults for",
)  # fmt: skip
_SHEET = (
    r"(?:(?:the|its|their|her|his|own|care|default|standard|normal|usual) )+"
    r"(?:sheets?|settings|values|intervals|guide|care)|caresheets?|(?:the )?defaults"
)
BACK_TO_SHEET = re.compile(
    r" (?:(?:go |goes |going |put .{1,40} )?back (?:to|on|onto|by)|reset .{0,40}(?:to|on)|returns? (?:.{0,40} )?to"
    rf"|reverts? (?:.{{0,40}} )?to|restore|use|follows?|go(?:es)? by|stick to|by) (?:{_SHEET})(?: .{{0,40}} again)? "
    rf"| (?:{_SHEET}) .{{0,40}}\bagain "
)
"""Words that put somebody back on the care sheet, between blanks."""

DROPPING = ("forget", "drop", "clear", "delete", "remove", "undo", "lose", "discard", "scrap", "no more", "reset")
SHOWING = (
    "show", "show me", "what", "what is", "what are", "give me", "tell me", "see", "print", "list", "which", "how",
    "pull up", "bring up", "open", "can i see", "let me see", "look up",
)  # fmt: skip

LOOKING_IN = ("look ins", "look in", "lookins", "look-ins", "looks", "look in on", "check ins", "checks")
DAYS = {"day", "days", "night", "nights", "evenings"}
DAYS_OF_UNIT = {
    "day": 1, "days": 1, "night": 1, "nights": 1, "d": 1, "week": 7, "weeks": 7, "wk": 7, "wks": 7, "fortnight": 14,
    "fortnights": 14, "month": 30, "months": 30,
}  # fmt: skip
SETTLING = ("settle", "settling", "acclimat", "adjust")
"""Beginnings of words for getting used to a new place."""

LEAVING_BE = ("alone", "in peace", "be", "no food", "without food", "unfed", "not", "no feeding", "undisturbed")
AFTER_MOVING = ("after a move", "after moving", "after the move", "after every move", "after each move", "after moves", "after being moved", "after a rehouse", "after rehousing", "after a rehousing")  # fmt: skip

RESUMING = (
    "resume", "restart", "turn on", "switch on", "unmute", "unpause", "back on", "start again", "re enable", "enable",
    "take up", "start", "carry on", "continue", "turn back on", "switch back on", "reinstate",
)  # fmt: skip

AWAY = (
    "away", "on holiday", "on holidays", "holiday", "holidays", "on vacation", "vacation", "on leave", "out of town",
    "abroad", "travelling", "traveling", "on a trip", "off on a trip", "not at home", "not home", "not here",
    "out of the country", "not around",
)  # fmt: skip
AWAY_OF_ONE = ("gone", "off", "out", "leaving")
"""Words that say the keeper is away only after "I" or "we"."""

SELF = {"i", "we", "me", "us", "my", "our"}
PAST = {"was", "were", "been", "had", "went", "did", "came", "got"}
COMING_BACK = ("back", "home", "return", "returning", "be back", "home again", "back home", "back again")

KEEPING = ("how should i keep", "how do i keep", "how do i look after", "how to keep", "how should i look after")
"""Words that ask how somebody is kept."""

SKIPPING = (
    "skip", "let us skip", "leave out", "miss out", "give a miss", "pass over", "can skip", "skipping",
)  # fmt: skip
PUTTING_OFF = ("snooze", "put off", "postpone", "delay", "defer", "push back", "hold off", "hold off on", "put back")
SKIPPING_ACTS = ("no need to",)
SKIPPING_AROUND = (("give", " a miss "), ("leave", " out "), ("miss", " out "))
"""Orders to skip that stand around what is skipped: "give D's misting a miss"."""

PUTTING_OFF_ACTS = ("hold",)
"""Orders to skip or to put off that need an act beside them: "hold feeding for B until friday"."""
STARTING = ("start", "resume", "restart", "begin", "take up")
FOOD_LIKING = ("likes", "prefers", "prefer", "loves", "hates", "dislikes")
"""What is said of tastes, and tells of no meal."""
