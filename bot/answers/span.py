"""The stretch of days that a question is about."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bot.care.days import shifted
from bot.language.meaning import Ask
from bot.wording import say_period


@dataclass(frozen=True, slots=True)
class Span:
    """From `since` to `until`, both included; None: without a beginning or an end."""

    since: date | None = None
    until: date | None = None

    def said(self, today: date) -> str:
        """Say the span as the end of a sentence."""
        return say_period(self.since, self.until, today)


def span_of(ask: Ask, today: date) -> Span:
    """Return the span of a question; `days` reaches back from today (ten days: today and the ten before it)."""
    since = ask.since
    if since is None and ask.days is not None:
        since = shifted(today, -ask.days)
        since = None if since == date.min else since
    return Span(since, ask.until)
