"""When was it last done: "when did B last eat", "how long since tub 2 was misted"."""

from __future__ import annotations

from bot.answers.view import Target, View, refused
from bot.conversation.reply import Reply
from bot.language.meaning import Ask
from bot.wording import join_names, noun
from storage.journal import EntryRow


def answer(ask: Ask, view: View) -> Reply:
    """Tell the last entry of the kind asked for; without subjects the last one anywhere."""
    found = [(target, view.last(target, ask.kind)) for target in view.asked(ask)]
    if not ask.subjects:
        return Reply(_anywhere(ask, view, found))
    # One act on several places is one entry: it is told once, with the names it answers for.
    shared: dict[int | None, list[Target]] = {}
    entries: dict[int | None, EntryRow | None] = {}
    for target, entry in found:
        key = None if entry is None else entry.id
        shared.setdefault(key, []).append(target)
        entries[key] = entry
    return Reply("\n".join(_told(ask, view, targets, entries[key]) for key, targets in shared.items()))


def _anywhere(ask: Ask, view: View, found: list[tuple[Target, EntryRow | None]]) -> str:
    entries = [entry for _target, entry in found if entry is not None and entry.moment is not None]
    if not entries:
        return f"No {noun(ask.kind)} is written yet."
    newest = max(entries, key=lambda entry: (entry.moment, entry.id))
    return f"The last {noun(ask.kind)} is {view.day(newest.on)}: {join_names(view.names(newest))}, {view.act(newest)}."


def _told(ask: Ask, view: View, targets: list[Target], entry: EntryRow | None) -> str:
    names = join_names([target.name for target in targets])
    if entry is None:
        return f"No {noun(ask.kind)} of {names} is written."
    said = f"{names}: last {noun(ask.kind)} {view.day(entry.on)}: {view.act(entry)}{written_for(view, targets, entry)}."
    return said + " ".join(["", *_taken(view, targets)]) if ask.kind == "feeding" and refused(entry) else said


def _taken(view: View, targets: list[Target]) -> list[str]:
    """After a refusal: when each of them last took something, for that is what "eat" asks for."""
    lines = []
    for target in targets:
        entry = view.last_taken(target)
        of = f" of {target.name}" if len(targets) > 1 else ""
        lines.append(
            f"No feeding{of} that was not refused is written."
            if entry is None
            else f"Last feeding{of} not refused: {view.day(entry.on)}: {view.act(entry)}."
        )
    return lines


def written_for(view: View, targets: list[Target], entry: EntryRow) -> str:
    """Say whom an entry names, where it reaches those asked about only by way of where they live or lived."""
    names = view.names(entry)
    if not names or any(target.name in names for target in targets):
        return ""
    return f" (written for {join_names(names)})"
