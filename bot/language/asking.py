"""Questions: what is asked about, of whom, and over what time."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from bot.language.ask_rules import about_of, asked_of
from bot.language.ask_special import special_of
from bot.language.ask_words import Words
from bot.language.meaning import Ask

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from bot.language.clauses import Clause
    from bot.language.dates import DateSpan
    from bot.language.items import Item

OF_A_KIND = {"last", "did", "who", "next", "day", "history"}
WITHOUT_TIME = {
    "next", "size", "headcount", "climate", "why", "due", "help", "last", "sheet", "stock", "meter", "same_air", "air_why",
}  # fmt: skip
RUNNING_PERIOD = re.compile(r"(?:so far |for |in |during )?this (?:week|wk|month|mth|year|yr)\b")
CALENDAR_PERIODS = ("last week", "last month", "last year", "weekend", "january", "february")
PERIOD_DAYS = (
    (14, ("fortnight",)),
    (7, ("week", "weekly", "a week", "per week", "weeks")),
    (30, ("month", "monthly")),
)

Span = tuple["date | None", "date | None", int | None]
"""since, until and days of a question."""


def read_ask(clauses: Sequence[Clause], today: date) -> Ask | None:
    """What these clauses ask, or None where it cannot be told."""
    items = [item for clause in clauses for item in clause.items]
    words = Words(items)
    about, kind = about_of(words)
    special = special_of(words, kind)
    fields: Mapping[str, Any] = {}
    if special is not None:
        about, fields = special
    if about is None:
        return None
    since, until, days = _span(words, about, today)
    late = about == "due" and words.any("overdue", "late", "behind")
    return Ask(about, _kind_asked(words, about, kind), asked_of(items), since, until, days, bool(late), fields)


def _kind_asked(words: Words, about: str, kind: str | None) -> str | None:
    """The kind a question is limited to; "why are there 44" is about a count."""
    if about == "why":
        counted = any(item.quantity and not item.quantity.article for item in words.items) and not words.any(
            "due", "skip", "held"
        )
        return "count" if counted else None
    if about == "due":
        return kind if kind != "count" and words.verb_said() else None
    return kind if about in OF_A_KIND else None


def doubtful(items: list[Item]) -> tuple[str, ...]:
    """Names of which only one is meant, where a question leaves it open."""
    return next((item.name.subjects for item in items if item.name and item.name.how == "either"), ())


def _span(words: Words, about: str, today: date) -> Span:
    """since, until, days of a question (the parse contract's rules)."""
    spans = [item.date for item in words.items if item.date]
    span = next((span for span in spans if span.on or span.days or span.since or span.vague), None)
    if about == "feeders":
        return None, None, _feeder_days(words, span)
    if span is None or about in WITHOUT_TIME:
        return None, None, None
    closing = next((other for other in spans if other.till and other.on), None)
    said = next(item.text.lower() for item in words.items if item.date is span)
    running = RUNNING_PERIOD.match(said) is not None
    if span.days and not (span.on and (span.since or running)) and not _is_calendar_period(said):
        return None, None, span.days
    if span.on is None:
        return None, None, None
    return span.on, None if running and not span.since else _until(span, closing, today), None


def _until(span: DateSpan, closing: DateSpan | None, today: date) -> date | None:
    """The last day asked about; None where the time is open to today."""
    if span.on is None:
        return None
    end = (closing.until or closing.on) if closing else None
    if span.since:
        return end
    if span.until and span.until != span.on:
        later = closing.on if closing and closing.on and closing.on > span.until else None
        return later or min(span.until, max(today, span.on))
    return end or (None if span.on == today else span.on)


def _is_calendar_period(words: str) -> bool:
    return any(period in words for period in CALENDAR_PERIODS)


def _feeder_days(words: Words, span: DateSpan | None) -> int | None:
    """For how many days food is asked for: a length of time told, else a word for a period, else one day."""
    if span is not None and span.days:
        return span.days
    if span is not None and span.on and span.until:
        return (span.until - span.on).days + 1
    period = next((days for days, said in PERIOD_DAYS if words.any(*said)), None)
    return period or (1 if span is not None and span.on else None)
