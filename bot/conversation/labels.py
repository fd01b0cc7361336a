"""The label of an enclosure, scanned: the member stands before it, and for ten minutes need not name it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import timedelta

from bot.answers.view import Target, View
from bot.conversation.answer import Answer, said
from bot.conversation.recent import before_label
from bot.conversation.scene import Scene
from bot.wording import join_names, noun, sentence
from storage import labels
from storage.roster import EnclosureRow

STANDS_FOR = timedelta(minutes=10)

UNKNOWN = "I do not know that label."

HERE = "here-"
"""Stands before the code of a label, in the link that is printed on it."""

_CODE = re.compile(HERE + r"(?P<code>[A-Za-z0-9_-]{1,59})")

_LAST = {"feeding": "fed", "watering": "watered", "misting": "misted"}


def code_in(text: str) -> str | None:
    """The code of a label that a text is; None for any other text."""
    found = _CODE.fullmatch(text)
    return None if found is None else found["code"]


def stand_before(scene: Scene, code: str) -> Answer:
    """Put the member before the enclosure whose label this is, and say who lives there and when it was last seen to."""
    label = labels.by_code(scene.session, code)
    if label is None or label.collection_id != scene.collection.id:
        return said(UNKNOWN)
    place = next((row for row in scene.names.places if row.id == label.enclosure_id), None)
    if place is None:
        return said("The place of that label is off the roster.")
    labels.stand_before(scene.session, scene.member.id, place.id, scene.now + STANDS_FOR)
    lines = [
        _who(scene, place),
        _last(scene, place),
        "For 10 minutes I take what names nobody for it: “fed 3” is enough.",
    ]
    return said(*lines, focus=before_label(scene))


def _who(scene: Scene, place: EnclosureRow) -> str:
    living = [row.name for row in scene.names.living_in(place.id)]
    return f"{place.name}: {join_names(living) or 'nobody lives there'}."


def _last(scene: Scene, place: EnclosureRow) -> str:
    """When those who live there were last fed, and the place watered and misted."""
    view = View.open(scene.session, scene.collection.id, scene.now)
    done, missing = [], []
    for kind, verb in _LAST.items():
        days = _days(view, Target(enclosure=place), kind)
        if days:
            done.append(f"{verb} {days}")
        else:
            missing.append(noun(kind))
    parts = [f"last {'; '.join(done)}"] if done else []
    parts += [f"no {_either(missing)} on record"] if missing else []
    return sentence("; ".join(parts))


def _days(view: View, place: Target, kind: str) -> str:
    """When something was last done there: one day if it is the same for all who live there, else the day of each."""
    targets = view.animals(place) if kind == "feeding" else [place]
    found = [(one.name, view.last(one, kind)) for one in targets]
    days = {name: view.day(entry.on) for name, entry in found if entry is not None}
    if len(days) == len(targets) and len(set(days.values())) == 1:
        return next(iter(days.values()))
    return ", ".join(f"{day} ({name})" for name, day in days.items())


def _either(words: Sequence[str]) -> str:
    """Words as a choice: "feeding, watering or misting"."""
    return " or ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)
