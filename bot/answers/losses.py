"""How a brood is doing: how many began, how many are alive by the book, and what became of the others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from bot.answers.brood_book import LEAVING, BroodBook, brood_of
from bot.answers.singles import said_of_singles
from bot.answers.view import Target, View
from bot.care.broods import BroodSurvival, Heads, brood_survival
from bot.care.headcount import UNTOLD, Event
from bot.care.intervals import clopper_pearson, made_it, wilson, zero_losses
from bot.care.survival import HANDFUL
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import say_range, say_share

SHOWN = 8
"""Broods told of at once where none is named."""

SHOWN_DAYS = 3
_BEGAN = {
    "start": "at set-up", "count": "counted", "arrival": "arrived", "joined": "with those that joined",
    "hatched": "hatched",
}  # fmt: skip


def answer(ask: Ask, view: View) -> Reply:
    """Tell of each brood asked about; of every group, a line each, where none is named."""
    targets = [one for target in view.targets(ask.subjects) for one in view.animals(target)]
    targets = list(dict.fromkeys(targets))
    groups = [one for one in targets if one.occupant is not None and one.occupant.kind == "group"]
    singles = [one for one in targets if one.occupant is not None and one.occupant.kind == "animal"]
    if ask.subjects:
        lines = [line for one in groups for line in _lines(view, one)]
        lines += said_of_singles(view, singles) if len(singles) > 1 else []
        return Reply("\n".join(lines) or _no_group(targets))
    if not groups:
        return Reply(_no_group([]))
    lines = [line for one in groups[:SHOWN] for line in _lines(view, one)[:1]]
    more = [f"And {len(groups) - SHOWN} more: ask by name."] if len(groups) > SHOWN else []
    return Reply("\n".join([*lines, *more]))


def _no_group(targets: Sequence[Target]) -> str:
    if not targets:
        return "There is no group on the roster whose losses could be told."
    return " ".join(f"{one.name} is no group: ask when it ate, moulted or was seen." for one in targets)


def _lines(view: View, target: Target) -> list[str]:
    book = None if target.occupant is None else brood_of(view, target.occupant)
    if book is None:
        return [f"{target.name}: no number at the start and no count is written, so no losses can be reckoned."]
    if book.brood is None:
        return [
            f"{target.name}: {said_of(view, book)}",
            "How many it began with is open, so no share can be told: the next full count begins one.",
        ]
    return [f"{target.name}: {said_of(view, book)}", *say_survival(book)]


def said_of(view: View, book: BroodBook) -> str:
    """Say the numbers: "60 hatched Mon 5 Jan, 8 weeks ago. Alive by the book 51 to 52; 6 died (…); 2 given on."."""
    number = "an untold number" if book.began.number is None else say_range(book.began.number)
    began = f"{number} {_BEGAN.get(book.began.what, book.began.what)} {view.day(book.began.on)}"
    alive = "none" if book.count.high == 0 else say_range((book.count.low, book.count.high))
    parts = [f"alive by the book {alive}", *_gone(view, book)]
    earlier = f" {_sum(book.earlier)} were lost or left before that." if book.earlier else ""
    return f"{began}: {'; '.join(parts)}.{earlier}"


def _gone(view: View, book: BroodBook) -> Iterator[str]:
    died, left = book.told("death"), book.told(*LEAVING)
    yield f"{_sum(died)} died ({_days(view, died)})" if died else "no death told"
    if left:
        yield f"{_sum(left)} sold, given or split off ({_days(view, left)})"
    missing = (0, 0) if book.brood is None else brood_survival(book.brood).missing
    if missing[1]:
        yield f"{say_range(missing)} unaccounted for, neither dead nor alive"


def _sum(events: Iterable[Event]) -> str:
    numbers = [event.number or UNTOLD for event in events]
    highs = [high for _low, high in numbers if high is not None]
    return say_range((sum(low or 0 for low, _ in numbers), sum(highs) if len(highs) == len(numbers) else None))


def _days(view: View, events: Sequence[Event]) -> str:
    """The days of some events, the latest of many."""
    days = list(dict.fromkeys(event.on for event in events))
    said = [view.bare_day(day) for day in days[-SHOWN_DAYS:]]
    return ", ".join(["last", *said] if len(days) > SHOWN_DAYS else said).replace("last, ", "last ")


def say_survival(book: BroodBook) -> list[str]:
    """The share alive with its interval, and how many made it; what is there instead where the heads are too few."""
    if book.brood is None:
        return []
    found = brood_survival(book.brood)
    days = f"{book.brood.until:.0f} day{'' if book.brood.until == 1 else 's'}"
    if found.basis < HANDFUL:
        return [f"{say_range(found.start)} to begin with: too few for a rate."]
    raised = " (raised: later counts found more than were told)" if found.raised else ""
    made = _made(book, found)
    if not book.brood.until:
        return ["That is today, so there is no survival to tell yet."]
    if not found.died[1] and found.died[1] is not None and not found.missing[1]:
        return [_no_loss(found.basis, found.left, days)]
    last = found.bands[-1]
    chance = f", 95 % interval {say_share(*last.interval)}" if last.interval else ""
    heads = f"{say_range(found.start)} heads{raised}"
    return [f"Alive after {days}: {say_share(last.low, last.high)} (Kaplan-Meier{chance}; {heads}).", *made]


def _no_loss(heads: int, left: Heads, days: str) -> str:
    """How high the chance of a loss may be with none seen, saying which bound it is."""
    followed = heads if left[1] is None else max(1, heads - left[1])
    bound = zero_losses(followed)
    rule = (
        ""
        if bound.rule_of_three is None
        else f"; the rule of three, 3/{followed}, gives {say_share(bound.rule_of_three)}"
    )
    return (
        f"No loss among {followed} followed for {days}: the chance of one in that time is at most "
        f"{say_share(bound.exact)} (exact, one-sided 95 %{rule})."
    )


def _made(book: BroodBook, found: BroodSurvival) -> list[str]:
    """How many of those that did not leave made it, the unaccounted perhaps too, with the exact and the Wilson interval."""
    start, left, missing = found.start, found.left, found.missing
    if left[1] is None or book.count.high is None or missing[1] is None:
        return []
    of = (max(1, start[0] - left[1]), start[1] - left[0])
    if of[1] < of[0]:
        return []
    most = of[1] - found.died[0]
    made = (min(book.count.low, most), min(book.count.high + missing[1], most))
    exact = clopper_pearson(made[0], of[0]) if made[0] == made[1] and of[0] == of[1] else made_it(made, of)
    low, high = wilson(made[0], of[1]).low, wilson(min(made[1], of[0]), of[0]).high
    stayed = " that stayed" if left[1] else ""
    interval = f"{say_share(exact.low, exact.high)} exact, {say_share(low, high)} Wilson"
    return [f"Made it: {say_range(made)} of {say_range(of)}{stayed}, 95 % interval {interval}."]
