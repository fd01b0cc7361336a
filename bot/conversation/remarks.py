"""What the keeper is told beside the echo of what was written: cautions, a size that passed a limit, how settling goes, a vet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta

from bot.answers.settled import usual
from bot.answers.view import View
from bot.answers.wards import make_round, tasks_of
from bot.care.cautions import CAUTIONED_ACTS, caution_line, vet_note
from bot.care.due import Task, Ward
from bot.care.rules import effective, rules_of
from bot.care.settling import LOOK_IN_DAYS, SIGHTINGS, LookIns, look_ins
from bot.care.sheet import suggest
from bot.conversation.scene import Scene
from bot.reminders import told
from bot.reminders.agenda import task_key
from bot.reminders.model import Caution
from bot.wording import sentence
from storage import journal
from storage.journal import EntryRow
from storage.roster import OccupantRow

SETTLING = timedelta(days=60)
"""A move longer ago than this has nothing to do with a sighting of today."""


def remarks(scene: Scene, rows: Sequence[EntryRow]) -> list[str]:
    """What there is to say beside the echo of entries, a line each; what was said is kept, so that it is not said again."""
    rows = [row for row in rows if row.mood == "log"]
    return [*_cautions(scene, rows), *_sizes(scene, rows), *_settled(scene, rows), *_vet(rows)]


def unseen(scene: Scene, rows: Sequence[EntryRow]) -> list[str]:
    """How it stands after a move with those of whom it was told that nothing was seen."""
    hidden = [row for row in rows if row.kind == "observation" and "hiding" in row.fields.get("signs", ())]
    found = []
    for row, animal in _about(scene, hidden):
        look = _look(scene, animal, row)
        if look is not None and look[1].ended_on is None:
            ward, standing = look
            found.append(_with_usual(scene, ward, f"{animal.name}: {standing.text}"))
    return found


def _about(scene: Scene, rows: Sequence[EntryRow]) -> Iterator[tuple[EntryRow, OccupantRow]]:
    """Each entry with each of those whom it is about, by name or by the place where they live."""
    animals = {row.id: row for row in scene.names.animals}
    for row in rows:
        for subject in row.subjects:
            if subject.enclosure_id is not None:
                yield from ((row, one) for one in scene.names.living_in(subject.enclosure_id))
            elif subject.occupant_id in animals:
                yield row, animals[subject.occupant_id]


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


def _sizes(scene: Scene, rows: Sequence[EntryRow]) -> list[str]:
    """That the length just measured passes a limit of the care sheet; kept, so that the morning list does not say it again."""
    measured = [row for row in rows if row.kind == "measurement"]
    lines = []
    for row, animal in _about(scene, measured):
        view = _view(scene)
        for task in _tasks(view, animal):
            if task.kind == "size" and row.id in task.rests_on:
                day = task.earliest or scene.today
                remark = told.remark(scene.member, task_key(view, task), day, scene.now)
                lines += [] if told.was_told(scene.session, remark) else [sentence(task.reason)]
                told.keep(scene.session, [remark])
    return lines


def _tasks(view: View, animal: OccupantRow) -> list[Task]:
    return tasks_of(view, make_round(view, [animal.name]))


def _settled(scene: Scene, rows: Sequence[EntryRow]) -> list[str]:
    """That a sighting ends the look-ins after a move, and how long it took; once, by the entry that does it."""
    seen = [row for row in rows if row.kind in SIGHTINGS]
    found = []
    for row, animal in _about(scene, seen):
        look = _look(scene, animal, row)
        if look is None or look[1].ended_on is None:
            continue
        ward, ended = look
        if row.id in ended.rests_on[-1:]:
            found.append(_with_usual(scene, ward, f"{animal.name}: {ended.text}"))
    return list(dict.fromkeys(found))


def _look(scene: Scene, animal: OccupantRow, row: EntryRow) -> tuple[Ward, LookIns] | None:
    """How the look-ins stand after the latest move of an animal; None where there was none lately before the sighting."""
    moves = journal.last_of_kind(scene.session, occupant_id=animal.id, kind="move")
    day = row.on
    if day is None or not any(move.on is not None and move.on < day <= move.on + SETTLING for move in moves):
        return None
    ward = next((one for one in make_round(_view(scene), [animal.name]).wards if one.name == animal.name), None)
    if ward is None or ward.moved is None:
        return None
    after = effective(ward.sheet, rules_of(ward.rules)).look_in_days
    return ward, look_ins(ward.moved, ward.facts, scene.today, after.value if after else LOOK_IN_DAYS)


def _with_usual(scene: Scene, ward: Ward, text: str) -> str:
    learned = usual(_view(scene), ward)
    return " ".join(sentence(part) for part in (text, learned) if part)


def _vet(rows: Sequence[EntryRow]) -> list[str]:
    """Who may help where what was seen is medical."""
    seen = {str(sign) for row in rows if row.kind == "observation" for sign in row.fields.get("signs") or ()}
    note = vet_note(seen)
    return [] if note is None else [note]


def _view(scene: Scene) -> View:
    return View.open(scene.session, scene.collection.id, scene.now)
