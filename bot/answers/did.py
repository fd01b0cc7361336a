"""Was it done: "did I feed D this week". Never a bare "no": the last time is told with it."""

from __future__ import annotations

from bot.answers.last import written_for
from bot.answers.span import Span, span_of
from bot.answers.view import Target, View
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import noun, nouns
from storage.journal import EntryRow

SHOWN = 5


def answer(ask: Ask, view: View) -> Reply:
    """Tell what is written in the span (today, when the question names none), else what is written around it."""
    span = span_of(ask, view.today)
    if span == Span():
        span = Span(view.today, view.today)
    parts = [(target, _found(ask, view, target, span)) for target in view.asked(ask)]
    if not ask.subjects:
        parts = [(target, found) for target, found in parts if found]
        if not parts:
            return Reply(f"No {noun(ask.kind)} is written {span.said(view.today)}, of any place.")
    return Reply("\n".join(_told(ask, view, target, found, span) for target, found in parts))


def _found(ask: Ask, view: View, target: Target, span: Span) -> list[EntryRow]:
    kinds = None if ask.kind is None else (ask.kind,)
    return view.history(target, kinds, span.since, span.until)


def _told(ask: Ask, view: View, target: Target, found: list[EntryRow], span: Span) -> str:
    period = span.said(view.today)
    if not found:
        return f"No {noun(ask.kind)} of {target.name} is written {period}; {_around(ask, view, target, span)}."
    many = f"{len(found)} {noun(ask.kind) if len(found) == 1 else nouns(ask.kind)}"
    acts = [f"{view.day(entry.on)}, {view.act(entry)}{written_for(view, [target], entry)}" for entry in found[:SHOWN]]
    more = [f"and {len(found) - SHOWN} before that"] if len(found) > SHOWN else []
    return f"Yes, {many} of {target.name} {period}: {'; '.join([*acts, *more])}."


def _around(ask: Ask, view: View, target: Target, span: Span) -> str:
    """Say the last one before the span, and for a span that is over also the next one after it."""
    kinds = None if ask.kind is None else (ask.kind,)
    since, until = span.since, span.until
    before = view.history(target, kinds, until=since, limit=1) if since is not None else []
    after = view.history(target, kinds, since=until) if until is not None and until < view.today else []
    said = []
    if before:
        said.append(f"the last{' before' if after else ''} was {view.day(before[0].on)}, {view.act(before[0])}")
    if after:
        said.append(f"the next after it was {view.day(after[-1].on)}, {view.act(after[-1])}")
    return "; ".join(said) or "none is written at any other time"
