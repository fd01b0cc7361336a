"""A head count held against the book: said aloud, with one short question where the two do not agree.

The count is written as it was said, and so sets the book. Only "recount later" changes that: the count becomes a note of its
day, in its own words, and the book stands as before. A question that nobody answers leaves the count standing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from bot.answers.feeding_take import take_of
from bot.answers.heads import count_of, number_of
from bot.answers.view import Target, View
from bot.care.reconcile import ABOVE, AGREES, BELOW, Explanation, Reconciled, reconcile
from bot.conversation import amending
from bot.conversation.answer import Answer, said
from bot.conversation.doubts import STALE
from bot.conversation.echo import entry_of, say_row
from bot.conversation.recent import last_spoke
from bot.conversation.scene import Scene
from bot.conversation.writing import Written, refuse_viewers
from bot.wording import join_names, say_range
from storage import journal, questions
from storage.journal import EntryRow
from storage.questions import QuestionRow
from storage.roster import OccupantRow

LATER = "recount later"
"""The choice that keeps the count as a note and leaves the book as it was."""

_SETS = re.compile(
    r"(?:yes,? ?)?(?:set|keep|use|take)(?: it| that| the book| them)?(?: to (?:\d+|the counts?))?", re.IGNORECASE
)
_LATERS = re.compile(r"(?:no,? ?)?(?:re-?count|count again)(?: (?!\d)\S+){0,4}|later", re.IGNORECASE)
_BRIEF = {
    "1": True,
    "2": False,
    "y": True,
    "yes": True,
    "yep": True,
    "yeah": True,
    "no": False,
    "it was": True,
    "it was short": True,
}
"""Answers that only mean the question where it was the last thing said."""

_LOOK = {
    "hides": "in the hides",
    "lid": "round the lid",
    "remains": "for remains and exuviae in the substrate",
    "size_spread": "whether some outgrew the rest",
}


@dataclass(frozen=True, slots=True)
class Held:
    """A count entry of one group, and how it stands to the book as it was before it."""

    row: EntryRow
    group: OccupantRow
    found: Reconciled


def reconciled(scene: Scene, rows: Sequence[EntryRow], answer: Answer) -> Answer:
    """The answer that says back these entries, with how each count stands to the book, and the question if any does not agree."""
    view = View.open(scene.session, scene.collection.id, scene.now)
    held = [one for row in rows for one in _held(scene, view, row)]
    apart = [one for one in held if one.found.verdict != AGREES]
    lines = [line for one in held for line in _lines(view, one, alone=len(held) == 1)]
    if not lines:
        return answer
    choices: tuple[str, ...] = ()
    asked = None
    if apart:
        choices = (_set_label(apart), LATER)
        asked = _ask(scene, apart, choices)
        lines = [*lines, _question(view, apart)]
    reply = replace(answer.reply, text="\n".join([answer.reply.text, *lines]), choices=choices)
    return replace(answer, reply=reply, question=asked)


def answered(scene: Scene, text: str) -> Answer | None:
    """What a text settles of the open question about a count; None where there is none or it is no answer to it."""
    row = _open(scene)
    if row is None or scene.now - row.asked_at > STALE:
        return None
    sets = _sets(row, text, was_last=last_spoke(scene) == row.asked_at)
    return None if sets is None else settle(scene, row, sets=sets)


def settle(scene: Scene, row: QuestionRow, *, sets: bool) -> Answer:
    """Let the counts of a question stand, or make notes of them."""
    refuse_viewers(scene)
    questions.settle(scene.session, row.id, scene.message.id, "set" if sets else "later")
    entries = [journal.entry(scene.session, entry_id) for entry_id in row.pending["counted"]]
    standing = [entry for entry in entries if entry.current and entry.kind == "count"]
    if not standing:
        return said("That count does not stand any more, so there is nothing to settle.")
    focus = tuple(dict.fromkeys(scene.names.name(subject) for one in standing for subject in one.subjects))
    if sets:
        numbers = join_names([say_range(number_of(one) or (None, None)) for one in standing])
        return said(f"{join_names(focus)}: the book is at {numbers} now.", focus=focus)
    written = Written()
    for entry in standing:
        written += amending.rewrite(scene, entry, replace(entry_of(scene, entry), kind="note", fields={}))
    notes = written.rows(scene)
    return said(
        f"Kept as a note, and the book stands as before: {'; '.join(say_row(scene, one) for one in notes)}.",
        f"Count {join_names(focus)} again at the next move; no digging for it.",
        about=scene.message.id,
        focus=focus,
    )


def _sets(row: QuestionRow, text: str, *, was_last: bool) -> bool | None:
    """Whether a text lets the counts stand (True), takes them back to notes (False), or answers nothing (None)."""
    words = " ".join(text.lower().split()).strip(" .!")
    if words == row.pending["labels"][0].lower():
        return True
    if words == LATER:
        return False
    if not was_last:
        return None
    if _LATERS.fullmatch(words):
        return False
    return True if _SETS.fullmatch(words) else _BRIEF.get(words)


def _open(scene: Scene) -> QuestionRow | None:
    found = questions.open_questions(scene.session, scene.member.id)
    return next((row for row in found if "counted" in row.pending), None)


def _ask(scene: Scene, apart: Sequence[Held], labels: tuple[str, ...]) -> int:
    """Keep the question; an older one of its kind is passed over, so that its counts stand."""
    older = _open(scene)
    if older is not None:
        questions.settle(scene.session, older.id, scene.message.id, "passed over")
    pending = {"aside": True, "counted": list(dict.fromkeys(one.row.id for one in apart)), "labels": list(labels)}
    return questions.ask(scene.session, scene.collection.id, scene.member.id, scene.message.id, pending, scene.now)


def _held(scene: Scene, view: View, row: EntryRow) -> Iterator[Held]:
    """How a count stands to the book of each group that it is of; nothing for any other entry, and where a book says nothing."""
    counted = number_of(row) if row.kind == "count" else None
    if counted is None or row.on is None:
        return
    for group in _groups(scene, row):
        book = count_of(view, group, row)
        if book.known:
            yield Held(row, group, reconcile(book, counted, row.on))


def _groups(scene: Scene, row: EntryRow) -> Iterator[OccupantRow]:
    """The groups that an entry is about, by name or by the place where one lives alone."""
    for subject in row.subjects:
        if subject.enclosure_id is None:
            found = tuple(one for one in scene.names.animals if one.id == subject.occupant_id)
        else:
            found = scene.names.living_in(subject.enclosure_id)
        if len(found) == 1 and found[0].kind == "group":
            yield found[0]


def _lines(view: View, held: Held, *, alone: bool) -> list[str]:
    found, name = held.found, held.group.name
    counted, book = say_range(found.counted), say_range(found.book)
    if found.verdict == AGREES:
        exact = found.counted[0] == found.counted[1] and found.book[1] is not None
        return [f"{'That' if alone else name} fits the book ({book})."] if exact else []
    head = f"{name}: counted {counted}; the book said {book}:"
    if found.verdict == ABOVE:
        return [f"{head} {_least(found)} more than it can explain{_calm(view, held)}."]
    look = "; ".join(_LOOK[key] for key in found.look_at)
    return [
        f"{head} {_least(found)} unaccounted for, not taken as dead.",
        *_first_sign(view, held),
        f"Count again at the next move, no digging. Till then look {look}.",
    ]


def _least(found: Reconciled) -> str:
    """By how many a count and the book are apart at least: the number the keeper would reckon too."""
    low, high = found.by
    return say_range((low, low)) if high is None or found.verdict == ABOVE else say_range((low, high))


def _calm(view: View, held: Held) -> str:
    since = held.found.nothing_lost_since
    calm = since is not None and held.row.on is not None and since < held.row.on
    return f", nothing lost since {view.bare_day(since)}" if since is not None and calm else ""


def _first_sign(view: View, held: Held) -> list[str]:
    """That less of the prey is taken lately, where the feedings show it."""
    trend = None if held.row.on is None else take_of(view, Target(occupant=held.group), held.row.on)
    if trend is None or not trend.falls:
        return []
    lately, before = (f"{100 * one.estimate:.0f} %" for one in (trend.lately, trend.before))
    said_of_both = (
        f"Less prey is taken lately, a first sign of losses: {lately} of it in {trend.feedings[1]} feedings, "
        f"before {before} in {trend.feedings[0]}."
    )
    return [said_of_both]


def _set_label(apart: Sequence[Held]) -> str:
    return f"set to {say_range(apart[0].found.counted)}" if len(apart) == 1 else "set to the counts"


def _question(view: View, apart: Sequence[Held]) -> str:
    """The one short question: what may have been wrong, if there is one thing; else what the book shall say."""
    if len(apart) > 1:
        return "Set the book to these counts?"
    found = apart[0].found
    if found.verdict == BELOW:
        return f"Set the book to {say_range(found.counted)}?"
    enough = [one for one in found.explanations if one.enough]
    first = next((one for one in enough if one.what != "last_count"), None)
    basis = next((one for one in enough if one.what == "last_count"), None)
    asked = [_doubted(view, one) for one in (basis, first) if one is not None]
    return " ".join(asked) or f"Set the book to {say_range(found.counted)}?"


def _doubted(view: View, one: Explanation) -> str:
    when = view.bare_day(one.event.on)
    match one.what:
        case "last_count":
            return "Was the last count short?" if one.event.what == "count" else f"Was the number of {when} short?"
        case "young":
            return f"Or are young of {when} among them?"
        case "loss":
            return f"Or were fewer gone on {when}?"
        case _:
            return f"Or did more come on {when}?"
