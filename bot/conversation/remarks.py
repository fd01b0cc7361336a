"""What the keeper is told beside the echo of what was written: cautions, a size that passed a limit, how settling goes, a vet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta

from bot.care.cautions import CAUTIONED_ACTS, caution_line, vet_note
from bot.care.settling import SIGHTINGS
from bot.care.sheet import suggest
from bot.conversation.scene import Scene
from bot.reminders import told
from bot.reminders.model import Caution
from storage import journal
from storage.journal import EntryRow
from storage.roster import OccupantRow

SETTLING = timedelta(days=60)
"""A move longer ago than this has nothing to do with a sighting of today."""


def remarks(scene: Scene, rows: Sequence[EntryRow]) -> list[str]:
    """What there is to say beside the echo of entries, a line each; what was said is kept, so that it is not said again."""
    rows = [row for row in rows if row.mood == "log"]
    measured = list(_about(scene, [row for row in rows if row.kind == "measurement"]))
    seen = _moved_lately(scene, [row for row in rows if row.kind in SIGHTINGS])
    lines = _cautions(scene, rows)
    if measured or seen:
        from bot.conversation import standing  # noqa: PLC0415 - the due engine, which most messages do without

        lines += [*standing.sizes(scene, measured), *standing.settled(scene, seen)]
    return [*lines, *_vet(rows)]


def unseen(scene: Scene, rows: Sequence[EntryRow]) -> list[str]:
    """How it stands after a move with those of whom it was told that nothing was seen."""
    hidden = [row for row in rows if row.kind == "observation" and "hiding" in row.fields.get("signs", ())]
    about = _moved_lately(scene, hidden)
    if not about:
        return []
    from bot.conversation import standing  # noqa: PLC0415 - as above

    return standing.unseen(scene, about)


def _about(scene: Scene, rows: Sequence[EntryRow]) -> Iterator[tuple[EntryRow, OccupantRow]]:
    """Each entry with each of those whom it is about, by name or by the place where they live."""
    animals = {row.id: row for row in scene.names.animals}
    for row in rows:
        for subject in row.subjects:
            if subject.enclosure_id is not None:
                yield from ((row, one) for one in scene.names.living_in(subject.enclosure_id))
            elif subject.occupant_id in animals:
                yield row, animals[subject.occupant_id]


def _moved_lately(scene: Scene, rows: Sequence[EntryRow]) -> list[tuple[EntryRow, OccupantRow]]:
    """Sightings of those whose latest move was not long before."""
    return [(row, animal) for row, animal in _about(scene, rows) if _was_moved(scene, animal, row)]


def _was_moved(scene: Scene, animal: OccupantRow, row: EntryRow) -> bool:
    moves = journal.last_of_kind(scene.session, occupant_id=animal.id, kind="move")
    days = [move.on for move in moves if move.on is not None]
    return row.on is not None and any(day < row.on <= day + SETTLING for day in days)


def _cautions(scene: Scene, rows: Sequence[EntryRow]) -> list[str]:
    """The words of caution for what was moved or fed, the first time in a week; a correction needs none."""
    acts = [row for row in rows if row.kind in CAUTIONED_ACTS and row.supersedes is None]
    found = []
    for animal in dict.fromkeys(animal for _, animal in _about(scene, acts)):
        line = caution_line(suggest(animal.species, animal.kind, animal.name))
        if line is not None:
            found.append(Caution(f"caution occupant {animal.id}", animal.name, line))
    lines, kept = told.fresh_cautions(scene.session, scene.member, found, scene.today, scene.now)
    told.keep(scene.session, kept)
    return lines


def _vet(rows: Sequence[EntryRow]) -> list[str]:
    """Who may help where what was seen is medical."""
    seen = {str(sign) for row in rows if row.kind == "observation" for sign in row.fields.get("signs") or ()}
    note = vet_note(seen)
    return [] if note is None else [note]
