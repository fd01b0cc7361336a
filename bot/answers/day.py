"""Everything of a day or of some days: "what did I do yesterday"."""

from __future__ import annotations

from itertools import groupby

from bot.answers.span import Span, span_of
from bot.answers.view import View
from bot.care.days import shifted
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import join_names, noun
from storage import journal
from storage.journal import EntryRow

SHOWN = 60


def answer(ask: Ask, view: View) -> Reply:
    """Tell all that is written of a span (today, when none is named), day by day in the order of the day."""
    span = span_of(ask, view.today)
    if span == Span():
        span = Span(view.today, view.today)
    found = _found(ask, view, span)
    if not found:
        what = "Nothing" if ask.kind is None else f"No {noun(ask.kind)}"
        return Reply(f"{what}{_of(ask)} is written {span.said(view.today)}. {_before(ask, view, span)}".strip())
    lines: list[str] = []
    for on, entries in groupby(found[:SHOWN], key=lambda entry: entry.on):
        lines.append(f"{view.day(on)}:")
        lines += [f"- {_line(view, entry)}" for entry in entries]
    if len(found) > SHOWN:
        lines.append(f"… and {len(found) - SHOWN} more. Ask for fewer days to see them.")
    return Reply("\n".join(lines))


def _found(ask: Ask, view: View, span: Span) -> list[EntryRow]:
    kinds = None if ask.kind is None else (ask.kind,)
    if not ask.subjects:
        return journal.between(view.session, view.collection_id, span.since, span.until, ("log",), kinds)
    found = {
        entry.id: entry
        for target in view.targets(ask.subjects)
        for entry in view.history(target, kinds, span.since, span.until)
    }
    return sorted(found.values(), key=lambda entry: (entry.moment or view.now.replace(tzinfo=None), entry.id))


def _line(view: View, entry: EntryRow) -> str:
    names = join_names(view.names(entry))
    return f"{names}: {view.act(entry)}" if names else view.act(entry)


def _of(ask: Ask) -> str:
    return f" of {join_names(ask.subjects)}" if ask.subjects else ""


def _before(ask: Ask, view: View, span: Span) -> str:
    """Say when something was last written before the span, looking back a year."""
    if span.since is None:
        return ""
    until = shifted(span.since, -1)
    found = _found(ask, view, Span(shifted(until, -365), until)) if until < span.since else []
    return f"The last before that is {view.day(found[-1].on)}: {_line(view, found[-1])}." if found else ""
