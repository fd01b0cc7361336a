"""When the keeper is spared: away on holiday, a task let go this once, one put off."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

from bot.language import care_words as words_for
from bot.language.ask_words import Words
from bot.language.dates import read_dates
from bot.language.ruling import is_act

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date, datetime

    from bot.language.clauses import Clause
    from bot.language.dates import DateSpan
    from bot.language.items import Item


def goes_away(clause: Clause) -> bool:
    """Whether the keeper says when they are away: of nobody on the roster, with a day, and not as something past."""
    words = Words(list(clause.items))
    if clause.names or not clause.dates or is_act(clause) or words_for.PAST & set(clause.texts):
        return False
    of_self = bool(words_for.SELF & set(clause.texts))
    return words.any(*words_for.AWAY) or (of_self and words.any(*words_for.AWAY_OF_ONE))


def comes_back(clause: Clause) -> bool:
    """Whether a clause says when the keeper is back: "…, back on the 20th"."""
    words = Words(list(clause.items))
    return not clause.names and bool(clause.dates) and not is_act(clause) and words.any(*words_for.COMING_BACK)


def skips(clause: Clause) -> bool:
    """Whether the clause orders a task to be let go."""
    if clause.texts[:2] == ["skip", "to"]:
        return False
    needless = is_act(clause) and _ordered(clause, words_for.SKIPPING_ACTS)
    return needless or _ordered(clause, words_for.SKIPPING) or _ordered_around(clause)


def puts_off(clause: Clause) -> bool:
    """Whether the clause orders reminders to wait."""
    held = is_act(clause) and _ordered(clause, words_for.PUTTING_OFF_ACTS)
    return held or _ordered(clause, words_for.PUTTING_OFF)


def _ordered(clause: Clause, orders: Sequence[str]) -> bool:
    """Whether one of these orders is what the clause begins with, small words aside, and it is about somebody."""
    words = [item for item in clause.items if item.kind != "date" and not item.sense("filler") and item.kind != "mark"]
    opening = " ".join(item.text for item in words[:4])
    said = any(f"{opening} ".startswith(f"{order} ") for order in orders)
    later = any(f" {order} " in f" {opening} " for order in orders if " " in order)
    return (said or later) and (bool(clause.names) or is_act(clause) or clause.plain("it", "them", "that") is not None)


def _ordered_around(clause: Clause) -> bool:
    words = Words([item for item in clause.items if not item.sense("filler") and item.kind != "mark"])
    about = is_act(clause) and bool(clause.names)
    return about and any(
        words.joined.startswith(f" {lead} ") and end in words.joined for lead, end in words_for.SKIPPING_AROUND
    )


def days_away(dates: Sequence[Item], back: Sequence[Item], text: str, now: datetime) -> dict[str, Any]:
    """The `since` and `until` of a time away, both days included, as ISO dates; empty where they cannot be told or are past.

    `dates` are the days told of going, `back` those of coming back, all to be read as lying ahead.
    """
    today = now.date()
    since, until = _stretch([_ahead(item, text, now) for item in dates], today)
    returns = next((span.on for item in back if (span := _ahead(item, text, now)) and span.on), None)
    if returns is not None:
        until = returns - timedelta(days=1)
    until = until or since
    return {"since": since.isoformat(), "until": until.isoformat()} if until >= max(since, today) else {}


def _stretch(spans: Sequence[DateSpan | None], today: date) -> tuple[date, date | None]:
    """The first and the last day: of one span, or of a day and then a length or an end."""
    since: date | None = None
    until: date | None = None
    for span in spans:
        if span is None:
            continue
        if span.till and span.on:
            until = span.on
        elif span.on:
            since, until = since or span.on, (span.until if span.until and span.until != span.on else until)
        elif span.days:
            until = (since or today) + timedelta(days=span.days - 1)
    return since or today, until


def _ahead(item: Item, text: str, now: datetime) -> DateSpan | None:
    spans = read_dates(text[item.start : item.end], now, "future")
    return next((span for span in spans if span.on or span.days), item.date)
