"""What is written, newest first and a page at a time: "show me tub 4 since March"."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from bot.answers.span import span_of
from bot.answers.view import View
from bot.care.days import shifted
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import join_names, noun, nouns
from storage import journal
from storage.journal import EntryRow

PAGE = 15
MORE = "more"
HEADER = ("Day", "Who", "What")

_WHOLE_DAY = 100_000  # a page ends with a day, so a day is read whole, however much was written on it


@dataclass(frozen=True, slots=True)
class _Page:
    """Entries newest first, and the day up to which the next page reaches; None when there is no more."""

    entries: tuple[EntryRow, ...]
    rest_until: date | None = None


def answer(ask: Ask, view: View) -> Reply:
    """Give one page as a table and as text; `choices` holds "more" when there is more (see `continued`)."""
    page = _page(ask, view)
    of = f" of {join_names(ask.subjects)}" if ask.subjects else ""
    period = span_of(ask, view.today).said(view.today)
    if not page.entries:
        return Reply(f"No {noun(ask.kind)}{of} is written {period}. {_otherwise(ask, view)}".strip())
    rows = tuple((view.day(entry.on), join_names(view.names(entry)), view.act(entry)) for entry in page.entries)
    title = f"{nouns(ask.kind).capitalize()}{of} {period}, newest first:"
    lines = [f"{day}: {f'{who}: ' if who else ''}{what}" for day, who, what in rows]
    more = (f"There is more, up to {view.day(page.rest_until)}: say “more”.",) if page.rest_until else ()
    return Reply("\n".join([title, *lines, *more]), choices=(MORE,) if more else (), header=HEADER, rows=rows)


def continued(ask: Ask, view: View) -> Ask | None:
    """Return the question that gives the next page, None when there is none: the same, up to an earlier day."""
    rest = _page(ask, view).rest_until
    return None if rest is None else replace(ask, until=rest)


def _page(ask: Ask, view: View) -> _Page:
    """Take as many whole days as fit on a page, and at least one."""
    span = span_of(ask, view.today)
    found = _newest(ask, view, span.since, span.until, PAGE + 1)
    if len(found) <= PAGE:
        return _Page(tuple(found))
    cut = found[PAGE].on
    kept = [entry for entry in found[:PAGE] if entry.on != cut]
    if kept or cut is None:
        return _Page(tuple(kept), cut)
    earlier = shifted(cut, -1)
    day = _newest(ask, view, cut, cut, _WHOLE_DAY)
    return _Page(tuple(day), earlier if _newest(ask, view, span.since, earlier, 1) else None)


def _newest(ask: Ask, view: View, since: date | None, until: date | None, limit: int) -> list[EntryRow]:
    if since is not None and until is not None and since > until:
        return []
    kinds = None if ask.kind is None else (ask.kind,)
    if not ask.subjects:
        return _whole_collection(view, kinds, since, until, limit)
    found = {
        entry.id: entry
        for target in view.targets(ask.subjects)
        for entry in view.history(target, kinds, since, until, limit)
    }
    return sorted(found.values(), key=_newest_first)[:limit]


def _whole_collection(
    view: View, kinds: tuple[str, ...] | None, since: date | None, until: date | None, limit: int
) -> list[EntryRow]:
    """Look back by longer and longer stretches, so that the newest page of a long journal costs little."""
    end = until or view.today
    for days in (31, 365, None):
        start = since if days is None else shifted(end, -days)
        start = max(start, since) if start is not None and since is not None else start
        found = journal.between(view.session, view.collection_id, start, until, ("log",), kinds)
        if len(found) >= limit or start == since:
            break
    return sorted(found, key=_newest_first)[:limit]


def _newest_first(entry: EntryRow) -> tuple[float, int]:
    moment = entry.moment
    return (0.0 if moment is None else -(moment - moment.min).total_seconds(), -entry.id)


def _otherwise(ask: Ask, view: View) -> str:
    """Where the span holds nothing: when the last one was."""
    if ask.subjects:
        ends: list[EntryRow | None] = [view.last(target, ask.kind) for target in view.targets(ask.subjects)]
    else:
        ends = [*_newest(ask, view, None, None, 1)]
    last = min((entry for entry in ends if entry is not None), key=_newest_first, default=None)
    return "" if last is None else f"The last is {view.day(last.on)}: {join_names(view.names(last))}, {view.act(last)}."
