"""A picture as an answer has it before it is drawn, and the stretch of days that it shows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from bot.answers.span import span_of
from bot.answers.view import View
from bot.care.days import shifted
from bot.language.meaning import Ask
from bot.wording import say_period

YEAR = 365
"""Days that are shown where the question names no time, or fewer where the records begin later."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture still to be drawn: the finding and what it rests on, both drawn on it and said beside it.

    `paint` draws it in a theme (light or dark) and gives the bytes of a PNG; `name` is what to call it; `more` are
    lines that are said beside it only.
    """

    title: str
    basis: str
    name: str
    paint: Callable[[str], bytes]
    more: tuple[str, ...] = ()

    @property
    def caption(self) -> str:
        """The finding with its basis, as lines."""
        return "\n".join([self.title, self.basis, *self.more])

    @property
    def file_name(self) -> str:
        """The name with the ending of a PNG; a stroke, which parts folders, becomes a dash."""
        return f"{self.name.replace('/', '-').replace(chr(92), '-')}.png"


@dataclass(frozen=True, slots=True)
class Stretch:
    """The days shown, both ends included; `asked`: the question named them."""

    since: date
    until: date
    asked: bool

    def holds(self, day: date | None) -> bool:
        """Whether a day is shown."""
        return day is not None and self.since <= day <= self.until

    def said(self, view: View, first: date | None, *, older: bool) -> str:
        """Say the stretch as the end of a phrase: `first` is the first day with a record in it, `older` whether more lie before."""
        if self.asked:
            return say_period(self.since, self.until, view.today)
        if older or first is None:
            return f"in the last {_length((self.until - self.since).days)}"
        return f"since {view.bare_day(first)} (all there is)"


def stretch_of(ask: Ask, view: View, days: int = YEAR) -> Stretch:
    """The days that a question asks for, else the last `days` days."""
    span = span_of(ask, view.today)
    until = view.today if span.until is None else min(span.until, view.today)
    since = span.since if span.since is not None else shifted(until, -days)
    return Stretch(min(since, until), until, span.since is not None or span.until is not None)


def _length(days: int) -> str:
    return "year" if days >= YEAR else f"{round(days / 7)} weeks"
