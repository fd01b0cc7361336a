"""How it stands with those just seen or measured, by the due engine: a size that passed a limit, settling after a move."""

from __future__ import annotations

from collections.abc import Sequence

from bot.answers.settled import Usual
from bot.answers.view import View
from bot.answers.wards import make_round, tasks_of
from bot.care.due import Ward
from bot.care.rules import effective, rules_of
from bot.care.settling import LOOK_IN_DAYS, LookIns, look_ins
from bot.conversation.scene import Scene
from bot.reminders import told
from bot.reminders.agenda import task_key
from bot.wording import sentence
from storage.journal import EntryRow
from storage.roster import OccupantRow

About = Sequence[tuple[EntryRow, OccupantRow]]
"""Entries, each with one of those whom it is about."""


def sizes(scene: Scene, measured: About) -> list[str]:
    """That a length just measured passes a limit of the care sheet; kept, so that the morning list does not say it again."""
    lines = []
    view = _view(scene)
    for row, animal in measured:
        for task in tasks_of(view, make_round(view, [animal.name])):
            if task.kind == "size" and row.id in task.rests_on:
                remark = told.remark(scene.member, task_key(view, task), task.earliest or scene.today, scene.now)
                lines += [] if told.was_told(scene.session, remark) else [sentence(task.reason)]
                told.keep(scene.session, [remark])
    return lines


def settled(scene: Scene, seen: About) -> list[str]:
    """That a sighting ends the look-ins after a move, and how long it took; once, by the entry that does it."""
    found = []
    for row, animal in seen:
        ward, look = _look(scene, animal)
        if ward is not None and look is not None and look.ended_on is not None and row.id in look.rests_on[-1:]:
            found.append(_with_usual(scene, ward, f"{animal.name}: {look.text}"))
    return list(dict.fromkeys(found))


def unseen(scene: Scene, hidden: About) -> list[str]:
    """How it stands after a move with those of whom it was told that nothing was seen."""
    found = []
    for _row, animal in hidden:
        ward, look = _look(scene, animal)
        if ward is not None and look is not None and look.ended_on is None:
            found.append(_with_usual(scene, ward, f"{animal.name}: {look.text}"))
    return list(dict.fromkeys(found))


def _look(scene: Scene, animal: OccupantRow) -> tuple[Ward | None, LookIns | None]:
    """How the look-ins stand after the latest move of an animal."""
    ward = next((one for one in make_round(_view(scene), [animal.name]).wards if one.name == animal.name), None)
    if ward is None or ward.moved is None:
        return ward, None
    after = effective(ward.sheet, rules_of(ward.rules)).look_in_days
    return ward, look_ins(ward.moved, ward.facts, scene.today, after.value if after else LOOK_IN_DAYS)


def _with_usual(scene: Scene, ward: Ward, text: str) -> str:
    learned = Usual(_view(scene)).say(ward)
    return " ".join(sentence(part) for part in (text, learned) if part)


def _view(scene: Scene) -> View:
    return View.open(scene.session, scene.collection.id, scene.now)
