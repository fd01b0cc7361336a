"""What was written, said back: exactly that, with the absolute date and the names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from bot.conversation.limits import shorten
from bot.conversation.scene import Scene
from bot.language.meaning import Entry
from bot.wording import say_entry, say_measure
from bot.wording.laid_down import LAID_DOWN
from storage.journal import EntryRow

INTERNAL = frozenset(
    {"to_enclosure_id", "part_of_group", "new_occupant_id", "joined", "made_place", "restores", "plan"}
)
"""Fields that the journal keeps for its own reckoning and no contract names."""

_SET = LAID_DOWN | {"skip"}
"""Plans that are no tasks."""

COMPANIONS = frozenset({"placed", "ended"})
"""Kinds that only go along with another act: first placing, and the end of a group that joined another."""


def shown(rows: Iterable[EntryRow]) -> list[EntryRow]:
    """The entries that a keeper spoke of, without those that only go along with them."""
    return [row for row in rows if row.kind not in COMPANIONS]


def entry_of(scene: Scene, row: EntryRow) -> Entry:
    """A journal row as the reader's own Entry, its subjects by name."""
    return Entry(
        kind=row.kind,
        subjects=tuple(scene.names.name(subject) for subject in row.subjects),
        on=row.on,
        at=row.at,
        part=row.part,
        fields={key: value for key, value in row.fields.items() if key not in INTERNAL},
        words=row.words,
    )


def say_row(scene: Scene, row: EntryRow) -> str:
    """One journal row in words, without the full stop."""
    fields: Mapping[str, Any] = row.fields
    if row.kind == "note":
        fields = {**fields, "text": f"“{shorten(row.words)}”"}
    public = {key: value for key, value in fields.items() if key not in INTERNAL or key == "part_of_group"}
    names = [scene.names.name(subject) for subject in row.subjects]
    said = say_entry(
        row.kind, names, public, row.on, row.at, row.part, scene.today, scene.collection.units, mood=row.mood
    )
    anchor = _anchor(row)
    return f"{said} ({anchor})" if anchor else said


def _anchor(row: EntryRow) -> str:
    """The day of the week or month that a repeating plan keeps to."""
    every = row.fields.get("every_days") if row.mood == "plan" else None
    if not isinstance(every, int | float) or row.on is not None:
        return ""
    from bot.care.due.repeats import say_anchor  # noqa: PLC0415 - the due engine is no part of a plain log's start

    return say_anchor(every, row.words)


def say_rows(scene: Scene, rows: Sequence[EntryRow], log: str = "Written", plan: str = "Planned") -> list[str]:
    """Journal rows in words, a line for what was done, planned and laid down; those that go along are left out."""
    lines = []
    for head, sort in ((log, "log"), (plan, "plan"), (plan if plan != "Planned" else "Set", "laid down")):
        said = [_say_together(scene, alike) for alike in _alike(row for row in shown(rows) if _sort(row) == sort)]
        if sort == "plan":
            # The head of the line says already that these are plans.
            said = [re.sub(r"\bplan(?: to|:) ", "", line, count=1) for line in said]
        if said:
            lines.append(f"{head}: {'; '.join(said)}.")
    return lines


def _alike(rows: Iterable[EntryRow]) -> Iterator[list[EntryRow]]:
    """Entries one by one, and sizes of one measure of the same animals at the same time together."""

    def place(row: EntryRow) -> object:
        plain = row.kind == "measurement" and row.fields.keys() == {"measure", "value"} and row.mood == "log"
        return (row.subjects, row.on, row.at, row.part, row.fields["measure"]) if plain else row.id

    for _place, alike in groupby(rows, place):
        yield list(alike)


def _say_together(scene: Scene, rows: Sequence[EntryRow]) -> str:
    """Several sizes in one line: "group B: legspan 12 mm, 13 mm, 13 mm, Tue 3 Mar 2026"."""
    line = say_row(scene, rows[0])
    if len(rows) == 1:
        return line
    sizes = [say_measure(row.fields["value"], row.fields["measure"], scene.collection.units) for row in rows]
    return line.replace(sizes[0], ", ".join(sizes), 1)


def _sort(row: EntryRow) -> str:
    """What a row is said under: its mood, or that it lays down how things are kept."""
    return "laid down" if row.mood == "plan" and row.kind in _SET else row.mood
