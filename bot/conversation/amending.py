"""Taking back and correcting what was told: "undo", "no, D not B", "that was yesterday", "make that 4"."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from bot.conversation.changes import changed, fits, renamed
from bot.conversation.echo import COMPANIONS, entry_of, say_row, say_rows
from bot.conversation.effects import bring_back, close_made_places, take_back
from bot.conversation.heads import Head, heads, heads_by
from bot.conversation.scene import Scene
from bot.conversation.writing import Origin, Written, add, refuse_viewers, subjects, write_entry
from bot.errors import Refusal
from bot.language.meaning import Amend, Choice, Entry, Meaning
from storage import journal
from storage.journal import EntryRow, NewEntry

_OF_PLANS = frozenset({"kind", "subjects", "on", "at", "part", "to", "every_days", "of"})

NOTHING = "There is nothing of yours to change: tell me what happened first."


def undo(scene: Scene, message_id: int) -> list[str]:
    """Take back what a message said, or the correction that it made; lines that say what stands now. Raises Refusal."""
    refuse_viewers(scene)
    standing = heads_by(scene.session, message_id)
    if not standing:
        raise Refusal("Nothing of that message stands any more, so there is nothing to take back.")
    corrected = [head for head in standing if head.former is not None and head.row.message_id == message_id]
    plain = [head.row for head in standing if head not in corrected]
    lines = say_rows(scene, [*plain, *(head.row for head in corrected)], "Taken back", "Taken back")
    rows = [head.row for head in standing]
    said = take_back(scene, rows)
    journal.retract(scene.session, [row.id for row in plain], scene.member.id, scene.message.id, scene.now)
    restored = [_restore(scene, head) for head in corrected]
    said += close_made_places(scene, rows)
    lines += say_rows(scene, restored, "As before", "As before")
    return [*lines, *said]


def amend(scene: Scene, change: Amend, message_id: int, only: int | None = None) -> Written | Meaning:
    """Change what a message said; `only` is the one entry that is meant. A question where several may be meant.

    Raises Refusal where nothing can be changed so.
    """
    refuse_viewers(scene)
    standing = [head for head in heads(scene.session, message_id) if head.row.kind not in COMPANIONS]
    if not standing:
        raise Refusal(NOTHING)
    meant = [head.row for head in standing if only in (None, head.row.id)]
    chosen = _meant(scene, change, meant)
    if isinstance(chosen, Meaning):
        return chosen
    written = Written()
    for row in chosen:
        written += rewrite(scene, row, _amended(scene, row, change))
    return written


def rewrite(scene: Scene, row: EntryRow, entry: Entry, message_id: int | None = None) -> Written:
    """Supersede an entry by another wording of it, told by the message of the scene or by `message_id`."""
    origin = Origin(scene.message.id if message_id is None else message_id, row.words)
    if row.mood != "log":
        return _rewrite_plan(scene, row, entry, origin)
    said = take_back(scene, [row])
    same_place = entry.fields.get("to") == row.fields.get("to")
    kept = {name: row.fields[name] for name in ("made_place", "plan") if row.fields.get(name)}
    if not same_place:
        kept.pop("made_place", None)
    written = write_entry(scene.refreshed(), entry, origin, row.id, kept)
    return written + Written(remarks=said + close_made_places(scene, [row]))


def _amended(scene: Scene, row: EntryRow, change: Amend) -> Entry:
    """The entry as the correction will have it. Raises Refusal for a correction that changes nothing."""
    entry = entry_of(scene, row)
    changes = renamed(entry, change.changes)
    if "subjects" in changes:
        changes["subjects"] = _swapped(scene, entry, changes["subjects"])
    amended = changed(entry, changes)
    if amended == entry:
        raise Refusal(f"It stands so already: {say_row(scene, row)}.")
    if row.kind != "move":
        return amended
    # Whether all or some went was settled when it was told; a corrected number does not reopen it.
    return changed(amended, {"part_of_group": bool(row.fields.get("part_of_group"))})


def _meant(scene: Scene, change: Amend, rows: Sequence[EntryRow]) -> list[EntryRow] | Meaning:
    """The entries that a correction is about: all for a day, those that can carry the field else; one, if that is in doubt."""
    entries = [(row, entry_of(scene, row)) for row in rows]
    if change.of:
        entries = [(row, entry) for row, entry in entries if set(entry.subjects) == set(change.of)] or entries
    able = [(row, entry) for row, entry in entries if all(_fits(row, entry, name) for name in change.changes)]
    if not able or not change.changes:
        raise Refusal(
            f"I cannot tell what that changes in: {'; '.join(say_row(scene, row) for row in rows)}. Nothing was changed."
        )
    if "subjects" in change.changes:
        named = [(row, entry) for row, entry in able if _mentioned(scene, entry)]
        able = named or able
        alike = len({entry.subjects for _, entry in able}) == 1
        certain = bool(named) or alike
    else:
        certain = change.changes.keys() <= {"on", "at", "part"} or len(able) == 1
    return [row for row, _ in able] if certain else _which(scene, change, [row for row, _ in able])


def _fits(row: EntryRow, entry: Entry, name: str) -> bool:
    return name in _OF_PLANS if row.mood == "plan" else fits(entry, name)


def _which(scene: Scene, change: Amend, rows: Sequence[EntryRow]) -> Meaning:
    choices = tuple(Choice(say_row(scene, row), {"entry": row.id}) for row in rows)
    return Meaning(
        "unclear", amend=change, missing=("entry",), question="Which of these shall I change?", choices=choices
    )


def _swapped(scene: Scene, entry: Entry, new: Sequence[str]) -> tuple[str, ...]:
    """The subjects with those put right that the correction mentions ("no, D not B"); all of them, if it mentions none."""
    wrong = _mentioned(scene, entry) - set(new)
    if not wrong or len(wrong) == len(entry.subjects):
        return tuple(new)
    first = next(place for place, name in enumerate(entry.subjects) if name in wrong)
    before = [name for name in entry.subjects[:first] if name not in wrong]
    after = [name for name in entry.subjects[first:] if name not in wrong]
    return tuple(dict.fromkeys([*before, *new, *after]))


def _mentioned(scene: Scene, entry: Entry) -> set[str]:
    """The subjects of an entry that the message of the scene names, by name or alias."""
    text = scene.message.text.lower()
    found = set()
    for name in entry.subjects:
        row = scene.names.animal(name) or scene.names.place(name)
        called = (name,) if row is None else (name, *row.aliases)
        if any(re.search(rf"(?<!\w){re.escape(word.lower())}(?!\w)", text) for word in called):
            found.add(name)
    return found


def _restore(scene: Scene, head: Head) -> EntryRow:
    """Say the former reading again, in the chain of corrections, as told by its own message."""
    former = head.former
    if former is None:
        raise ValueError(f"entry {head.row.id} corrects nothing")
    new = _copy(former, {**former.fields, "restores": former.id})
    [entry_id] = journal.append(
        scene.session, scene.collection.id, scene.member.id, former.message_id, scene.now, [new], [head.row.id]
    )
    bring_back(scene, [former])
    return journal.entry(scene.session, entry_id)


def _rewrite_plan(scene: Scene, row: EntryRow, entry: Entry, origin: Origin) -> Written:
    if entry.on is not None and entry.on < scene.today and entry.on != row.on:
        raise Refusal("A plan cannot lie in the past, so nothing was changed.")
    new = replace(
        _copy(row, entry.fields), on=entry.on, at=entry.at, part=entry.part, subjects=subjects(scene, entry.subjects)
    )
    return Written(tuple(add(scene, [new], origin, [row.id])))


def _copy(row: EntryRow, fields: Mapping[str, Any]) -> NewEntry:
    return NewEntry(row.kind, row.mood, row.on, row.at, row.part, row.zone, dict(fields), row.subjects, row.words)
