"""How a clause is meant: told as done, asked, planned, wished for, or small talk."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.language.ask_air import asks_in
from bot.language.mood_asked import WH_WORDS, asks
from bot.language.mood_planned import plans
from bot.language.mood_told import is_told, repeats
from bot.language.ruling import ACTS, names_sheet, ruling, tells_taste, wants_band
from bot.language.sparing import goes_away, puts_off, skips

if TYPE_CHECKING:
    from bot.language.clauses import Clause
    from bot.language.items import Item

SOFT_WISHES = {
    "probably", "maybe", "perhaps", "hope", "hoping", "not sure", "wonder", "would", "could", "whether", "fancy",
    "when she", "when he", "once she", "once he", "once they", "may", "in case",
}  # fmt: skip
TASKS = ("feeding", "misting", "watering", "cleaning", "weighing")
POLITE_ORDERS = {"can you", "could you", "can", "could", "will you", "would you"}
SEEING = {"see", "find", "say", "guess", "count", "spot"}


def mood_of(clause: Clause, earlier: str, end: str, *, last: bool) -> str:
    """`ask`, `plan`, `stop`, `wish` or `log`. `earlier` is the mood of the clause before in the same sentence."""
    opening = _opening(clause)
    if not opening:
        return _mood_of_nothing(earlier, end, last=last)
    if _stops(clause):
        return "stop"
    goes_on_asking = (
        earlier == "ask" and opening[0].text in WH_WORDS
    )  # "tell me how many are left and when they last ate"
    mood = "ask" if goes_on_asking else _asked_or_laid_down(clause, opening, end, last=last)
    if mood is not None:
        return mood
    told = is_told(clause)
    if _wishes(clause) or (earlier == "wish" and not told):
        return "wish"
    if plans(clause, opening, earlier):
        return "plan"
    return earlier if earlier in {"plan", "stop", "ask"} and not told else "log"


def _asked_or_laid_down(clause: Clause, opening: list[Item], end: str, *, last: bool) -> str | None:
    if asks_in(clause):
        return "ask"
    laid_down = _laid_down(clause, opening, end)
    return "ask" if laid_down is None and asks(clause, opening, end, last=last) else laid_down


def _laid_down(clause: Clause, opening: list[Item], end: str) -> str | None:
    """The mood of a clause on how somebody is kept or when the keeper is away; None for any other, or for a question."""
    if any("past" in item.forms and "base" not in item.forms for item in clause.items):
        return None  # what was done lays nothing down
    polite = opening[0].text in POLITE_ORDERS
    if (end == "?" or opening[0].sense("question")) and not polite and not opening[0].sense("plan"):
        return "ask" if names_sheet(clause) else None
    if ruling(clause) or goes_away(clause) or skips(clause):
        return "plan"
    if puts_off(clause):
        return "stop"
    if wants_band(clause) or tells_taste(clause):
        return "wish"  # a taste, and a band that no rule can hold, are kept as notes
    return "ask" if names_sheet(clause) else None


def _mood_of_nothing(earlier: str, end: str, *, last: bool) -> str:
    """The mood of a clause of nothing but small words."""
    if earlier != "log":
        return earlier
    return "ask" if end == "?" and last else "log"


def _opening(clause: Clause) -> list[Item]:
    """The clause without the marks, days, greetings and small words before its first word."""
    items = list(clause.items)
    while items and _is_preamble(items[0]):
        items = items[1:]
    return items


def _is_preamble(item: Item) -> bool:
    if item.kind in {"mark", "date"}:
        return True
    small = item.sense("filler") or item.sense("chat")
    return item.kind == "word" and bool(small) and not item.sense("question") and not item.sense("verb")


def _stops(clause: Clause) -> bool:
    """Whether reminders are told to stop; a stop of anything else is none."""
    words = (item for item in clause.items if item.kind != "name")
    word = next((item for item in words if item.sense("plan", "stop")), None)
    refused = {"no", "no more", "not"} & set(clause.texts)
    if word is None:
        until = any(item.date and item.date.till for item in clause.dates)
        return bool(refused) and any(item.thing("reminder") or (until and item.thing(*TASKS)) for item in clause.items)
    pinging = word.text.startswith(("stop pinging", "stop nudging", "stop bugging"))
    if pinging or any(part in word.text for part in ("remind", "nag", "telling")):
        return True
    if any(item.thing("reminder") or item.verb("remind") for item in clause.items):
        return True
    ordered = clause.items[0] is word or _opening(clause)[:1] == [word]
    return (
        ordered
        and bool(clause.names)
        and any(item.thing(*TASKS) or item.forms == {"ing"} for item in clause.after(word))
    )


def _wishes(clause: Clause) -> bool:
    """Whether the clause only hopes, guesses, sets a condition or thinks of "next time"."""
    return (
        clause.texts[:2] == ["next", "time"]
        or _only_wanted(clause)
        or any(
            item.sense("plan", "wish") and not _is_no_wish(clause, item)
            for item in clause.items
            if item.kind not in {"name", "date", "number"}
        )
    )


def _only_wanted(clause: Clause) -> bool:
    """Whether the keeper only wanted to do it: "wanted to weigh B but the scale was dead"."""
    wanted = clause.plain("wanted")
    following = clause.after(wanted)[:2] if wanted is not None else ()
    return len(following) == 2 and following[0].text == "to" and following[1].verb(*ACTS)


def _is_no_wish(clause: Clause, item: Item) -> bool:
    """Whether a word for wishes ("would", "could", "if", "may") tells none where it stands."""
    before = [other.text for other in clause.before(item)[-1:]]
    after = [other.text for other in clause.after(item)[:2]]
    return bool(
        (item.text in {"would", "could", "should", "would like"} and _asks_for_reminder(clause))
        or (item.text in {"could", "would", "can"} and SEEING & set(after))
        or (item.text in {"could", "would"} and after[:1] == ["not"])
        or (item.text in {"want", "wants"} and repeats(clause))
        or (item.text == "if" and before in (["as"], ["even"]))
        or (item.text in {"may", "might"} and not after)
        or (item.text in SOFT_WISHES and is_told(clause))
    )


def _asks_for_reminder(clause: Clause) -> bool:
    words = (item for item in clause.items if item.kind == "word")
    return repeats(clause) or any(item.verb("remind") or "remind" in item.text for item in words)
