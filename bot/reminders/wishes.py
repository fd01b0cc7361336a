"""What a member says of the pushes themselves: "morning list at 7:30", "quiet hours 22 to 7", "no look-ins"."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import time

from bot.conversation.answer import Answer, said
from bot.conversation.scene import Scene
from bot.reminders.model import LEFTOVERS, LOOK_IN, MORNING, PLAN, PURPOSES
from bot.reminders.profile import Profile, profile
from storage import preferences
from storage.preferences import PreferenceRow

_CLOCK = r"(?P<{0}hour>[01]?\d|2[0-3])(?:[:.h](?P<{0}minute>[0-5]\d))? ?(?P<{0}half>[ap]\.?m\.?)?"
_WHAT = {
    MORNING: r"(?:(?:the |my )?(?:morning|daily) (?:list|digest|message|round)s?)",
    LOOK_IN: r"(?:(?:the |my )?(?:evening )?look[ -]?ins?(?: questions?)?)",
    PLAN: r"(?:(?:the |my )?(?:plan|planned) reminders?)",
    LEFTOVERS: r"(?:(?:the |my )?left ?overs? questions?)",
}
_NAMES = {
    MORNING: "morning list",
    LOOK_IN: "look-in questions",
    PLAN: "plan reminders",
    LEFTOVERS: "leftovers questions",
}
_SEND = r"(?:please )?(?:(?:send|give|ask)(?: me)?(?: about)? )?"

_AT = {
    what: re.compile(rf"{_SEND}{_WHAT[what]} at {_CLOCK.format('')}[.!]*", re.IGNORECASE) for what in (MORNING, LOOK_IN)
}
_NO = {
    what: re.compile(
        rf"(?:please )?(?:no(?: more)?|stop|don['\u2019]?t send(?: me)?|without) {named}[.!]*", re.IGNORECASE
    )
    for what, named in _WHAT.items()
}
_AGAIN = {
    what: re.compile(rf"{_SEND}{named} (?:again|on|please|back)[.!]*", re.IGNORECASE) for what, named in _WHAT.items()
}
_QUIET = re.compile(
    rf"(?:my )?quiet hours(?: are)?(?: from)? {_CLOCK.format('from_')} ?(?:to|till|until|-|and) ?{_CLOCK.format('to_')}[.!]*",
    re.IGNORECASE,
)
_NO_QUIET = re.compile(r"(?:no|without) quiet hours[.!]*", re.IGNORECASE)
_ASKED = re.compile(r"(?:what do you send me|when do you (?:write|message) me)[?.!]*", re.IGNORECASE)

Change = Callable[[PreferenceRow, Profile], PreferenceRow]


def wished(scene: Scene, text: str) -> Answer | None:
    """Change what the member receives, and say how it is then; None for a text about something else."""
    if _ASKED.fullmatch(text):
        return said(_standing(profile(scene.session, scene.member.id)))
    change = _change(text)
    if change is None:
        return None
    own = preferences.preference(scene.session, scene.member.id)
    preferences.prefer(scene.session, scene.member.id, change(own, profile(scene.session, scene.member.id)))
    return said(_standing(profile(scene.session, scene.member.id)))


def _change(text: str) -> Change | None:
    quiet = _QUIET.fullmatch(text)
    if quiet is not None:
        start, end = _time(quiet, "from_"), _time(quiet, "to_")
        return None if start is None or end is None else lambda own, _: replace(own, quiet_from=start, quiet_until=end)
    if _NO_QUIET.fullmatch(text):
        return lambda own, _: replace(own, quiet_from=None, quiet_until=None)
    return _change_of_time(text) or _change_of_purposes(text)


def _change_of_time(text: str) -> Change | None:
    for what, pattern in _AT.items():
        found = pattern.fullmatch(text)
        at = None if found is None else _time(found, "")
        if at is not None:
            field = "morning_at" if what == MORNING else "look_in_at"
            return lambda own, now, at=at, field=field, what=what: replace(  # type: ignore[misc]  # bound as they are here
                own, **{field: at}, receives=_ordered(now.receives | {what})
            )
    return None


def _change_of_purposes(text: str) -> Change | None:
    for what in PURPOSES:
        if _NO[what].fullmatch(text):
            return lambda own, now, what=what: replace(own, receives=_ordered(now.receives - {what}))  # type: ignore[misc]
        if _AGAIN[what].fullmatch(text):
            return lambda own, now, what=what: replace(own, receives=_ordered(now.receives | {what}))  # type: ignore[misc]
    return None


def _ordered(purposes: frozenset[str]) -> tuple[str, ...]:
    return tuple(purpose for purpose in PURPOSES if purpose in purposes)


def _time(found: re.Match[str], of: str) -> time | None:
    """The time of day that was named; None for one that the clock does not have ("14 pm")."""
    hour, minute = int(found[f"{of}hour"]), int(found[f"{of}minute"] or 0)
    half = (found[f"{of}half"] or "")[:1].lower()
    if half and not 1 <= hour <= 12:
        return None
    return time(hour % 12 + (12 if half == "p" else 0) if half else hour, minute)


def _standing(own: Profile) -> str:
    """What a member receives, in a few lines."""
    times = {MORNING: f" at {own.morning_at:%H:%M}", LOOK_IN: f" at {own.look_in_at:%H:%M}", PLAN: " at their time"}
    sent = [f"{_NAMES[what]}{times.get(what, ' in the morning')}" for what in PURPOSES if what in own.receives]
    lines = [f"I send you: {', '.join(sent)}." if sent else "I send you nothing unasked."]
    if own.quiet is not None:
        lines.append(f"Quiet hours are {own.quiet.start:%H:%M} to {own.quiet.end:%H:%M}; what falls in them waits.")
    return "\n".join(lines)
