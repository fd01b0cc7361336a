"""The day of each draft: its own, one told before it, or one told at the end of its sentence."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, zip_longest
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bot.language.clauses import Clause
    from bot.language.dates import DateSpan
    from bot.language.drafts import Draft
    from bot.language.items import Item

MEASURED = {"C", "F", "deg", "%", "g", "kg", "mm", "cm", "in"}
"""Units of what a thermometer, a scale or a ruler shows."""

STRETCHES = ("this week", "this month", "this year", "this wk")
DENIALS = ("not", "no ", "have not", "has not", "did not")
LEADS = {"on", "from", "so", "this", "that", "the"}
REACHING_JOINERS = {"and", "&", "+", "then", ""}

ROUNDS = ("round", "rounds", "report", "update", "check", "checks", "catchup")
"""What a day is told of where a sentence of its own heads the others: "Late round tonight."."""

Dates = dict[int, "Item | None"]
"""The date that holds for each clause, by the clause's identity."""


def settle_dates(drafts: list[Draft], clauses: list[Clause]) -> None:
    """Give every draft the date that holds for it. `clauses` are those that were told, in order."""
    dates = _held_dates(clauses)
    made = {id(draft.clause) for draft in drafts}
    _told_after(clauses, dates, made)
    _back(clauses, dates, made)
    for draft in drafts:
        draft.date = dates.get(id(draft.clause)) or draft.date


def _held_dates(clauses: list[Clause]) -> Dates:
    """A date holds to the end of its sentence; one that opens its clause holds over full stops too."""
    held: Item | None = None
    leading = False
    sentence = -1
    dates: Dates = {}
    for clause, following in zip_longest(clauses, clauses[1:]):
        if clause.number != sentence and not leading:
            held = None
        sentence = clause.number
        own = usable(clause)
        if own is not None:
            held = own
            leading = _leads(clause, own) or _heads(clause, following)
        elif _up_to_now(clause) and not clause.dates:
            held = None  # "sold 6 on tuesday, 34 in there now"
        dates[id(clause)] = held
    return dates


def _up_to_now(clause: Clause) -> bool:
    """Whether a clause tells how things stand: "34 in there now", "no sign of them since"."""
    just = clause.plain("just")
    done = clause.after(just)[:1] if just is not None else ()
    just_now = bool(done) and "past" in done[0].forms  # "fed B last night, just misted C"
    return just_now or clause.plain("now") is not None or clause.texts[-1] in {"since", "since then"}


def usable(clause: Clause) -> Item | None:
    """The clause's date that says when: not a length of time, nor the end of one."""
    own = [item for item in clause.dates if item.date and _says_when(item.date) and not _no_day(clause, item)]
    points = [item for item in own if item.date and _is_point(item.date)]
    ranges = [item for item in own if item.date and item.date.on and not item.date.since and not item.date.days]
    found = points or ranges
    return (_together(found) if len(found) > 1 else found[0]) if found else None


def _says_when(date: DateSpan) -> bool:
    return not date.till and bool(date.on or date.vague or date.impossible or date.at or date.part)


def _is_point(date: DateSpan) -> bool:
    return not date.since and (date.vague or not (date.days and date.until))


def _no_day(clause: Clause, item: Item) -> bool:
    """Whether a date tells a stretch, not the day of what is told: "this month", "not seen in three days"."""
    words, date = item.text.lower(), item.date
    if words.startswith(STRETCHES):
        return True
    if date is None or not words.startswith("in "):
        return False
    unseen = bool(date.days) and any(other.text.startswith(DENIALS) for other in clause.items)
    within = date.relation == "future" and date.at is not None and bool(clause.senses("outcome"))  # "gone in 5 min"
    return unseen or within


def _together(points: Sequence[Item]) -> Item:
    """Two pieces told apart ("yesterday … at 9pm") are one date: the day of one, the time of the other."""
    day = next((item for item in points if item.date and item.date.on and not item.date.at), points[0])
    others = (item.date for item in points if item is not day and item.date)
    time = next((date for date in others if date.at or date.part), None)
    if time is None or day.date is None:
        return points[0]
    return replace(day, date=replace(day.date, at=day.date.at or time.at, part=day.date.part or time.part))


def _leads(clause: Clause, date: Item) -> bool:
    """Whether a date stands before all else in its clause; then it holds for what follows, over full stops too."""
    earlier = (item for item in clause.items if item.start < date.start)
    return clause.joiner not in {"and", ","} and all(_says_nothing(item) for item in earlier)


def _heads(clause: Clause, following: Clause | None) -> bool:
    """Whether a date is told over a list, with nobody named: "Readings from 10:15: tub 1 24 C; tub 2 25 C"."""
    if following is None or (clause.names and not _only_place(clause)):
        return False
    apart = following.number != clause.number and bool(following.names)
    line = clause.end == "\n" or (not clause.names and clause.plain(*ROUNDS) is not None)
    return (apart and line) or ((following.joiner == ":" or following.headed) and not clause.names)


def _only_place(clause: Clause) -> bool:
    """Whether a name and a day are all that is told: "Rack A tonight"."""
    return all(item.kind in {"name", "date"} for item in clause.items)


def _says_nothing(item: Item) -> bool:
    if item.kind == "mark" or item.sense("filler") or item.sense("chat"):
        return True
    return item.kind == "plain" and item.text in LEADS


def _told_after(clauses: list[Clause], dates: Dates, made: set[int]) -> None:
    """A date in a clause without an act is of the act before: "fed B, that was yesterday", "… forgot which day"."""
    telling = {clause.number for clause in clauses if id(clause) in made}
    for before, later in pairwise(clauses):
        own = usable(later)
        earlier = _act_before(before, later, clauses, made)
        alone = later.number == earlier.number or later.number not in telling
        if own is None or not alone or later.names or _is_month(own) or _heads_lines(before, later, clauses):
            continue
        if id(earlier) in made and id(later) not in made and usable(earlier) is None:
            dates[id(earlier)] = own


def _heads_lines(before: Clause, later: Clause, clauses: list[Clause]) -> bool:
    """Whether a day alone on its line heads those after it, and is not told of the act before."""
    alone = later.end == "\n" and all(item.kind == "date" for item in later.items) and later.number != before.number
    return alone and later is not clauses[-1]


def _act_before(before: Clause, later: Clause, clauses: list[Clause], made: set[int]) -> Clause:
    """The clause that a day told later may be of: the one before it, or the act that it was told beside ("… while we were away, …")."""
    if id(before) in made or before.names or before.dates or before.number != later.number:
        return before
    told = [clause for clause in clauses[: clauses.index(before)] if clause.number == later.number]
    return told[-1] if told else before


def _is_month(item: Item) -> bool:
    if item.date is None or item.date.on is None or item.date.until is None:
        return False
    return (item.date.until - item.date.on).days > 20


def _back(clauses: list[Clause], dates: Dates, made: set[int]) -> None:
    """A date at the end reaches back over clauses joined by "and": "fed A and misted B yesterday"."""
    for earlier, later in reversed(list(pairwise(clauses))):
        own = usable(later)
        if dates[id(earlier)] is not None or own is None or earlier.number != later.number:
            continue
        of_one_sort = (_by_keeper(earlier) and _by_keeper(later)) or (_reads_off(earlier) and _reads_off(later))
        alike = {id(earlier), id(later)} <= made and of_one_sort
        if later.joiner in REACHING_JOINERS and alike and own.start > later.items[0].start:
            dates[id(earlier)] = dates[id(later)]


def _by_keeper(clause: Clause) -> bool:
    senses = (sense for item in clause.items for sense in item.senses)
    return any(sense.agent == "keeper" and sense.category == "verb" for sense in senses)


def _reads_off(clause: Clause) -> bool:
    """Whether a clause tells what a meter, a scale or a ruler showed."""
    return any(item.quantity is not None and item.quantity.unit in MEASURED for item in clause.items)
